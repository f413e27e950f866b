package calibrate

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

func mustCheck(t *testing.T, s Set) Check {
	t.Helper()
	c, err := CheckSet(t.Context(), s, nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// wholeSet has a plate at every whole stage of any scale.
func wholeSet(t testing.TB, scale Scale) Set {
	t.Helper()
	var stages []float64
	for i := range 8 {
		stages = append(stages, scale.stageAt(scale.Span()*float64(i)/7))
	}
	return straightSet(t, scale, stages...)
}

func twoTrays(t *testing.T, s Set, grade func(i int, stage float64) float64) Set {
	t.Helper()
	stages := evenly(s.Scale, 16)
	return mustGrade(t, s, slices.Concat(gradedTray(0, s.Scale, grade, stages...), gradedTray(1, s.Scale, grade, stages...))...)
}

func TestCheckOfSoundSets(t *testing.T) {
	for _, scale := range scales {
		c := mustCheck(t, twoTrays(t, wholeSet(t, scale), asIs))
		if c.Verdict != FitForUse || !strings.HasPrefix(say(c.Why), "fit for use: it is off by 0.0") {
			t.Errorf("scale %g to %g: %s", scale.Stained, scale.Clear, c.Why)
		}
		if c.Plates.N != 6 || c.Graded.N != 32 || c.Plates.MeanAbs > 0.02*scale.Span() || c.Graded.MeanAbs > 0.02*scale.Span() {
			t.Errorf("scale %g to %g: plates %+v, graded %+v", scale.Stained, scale.Clear, c.Plates, c.Graded)
		}
		if len(c.Gaps)+len(c.Thin)+len(c.Disorder)+len(c.Suspects)+c.Needed > 0 || c.Coverage == nil || c.Coverage.N != 32 {
			t.Errorf("scale %g to %g: %+v", scale.Stained, scale.Clear, c)
		}
	}
}

func TestCheckFindsWhatIsWrong(t *testing.T) {
	whole := wholeSet(t, oneToEight)
	pair := func(at, other float64) Set { // two plates of stage 4
		s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
		next, err := s.Next(corePlate(at, other))
		if err != nil {
			t.Fatal(err)
		}
		return next
	}
	unlike := corePlate(4, 4.0/7)
	unlike.Zones = slices.Clone(unlike.Zones)
	slices.Reverse(unlike.Zones) // cleared from the rim
	twins, err := whole.Next(unlike)
	if err != nil {
		t.Fatal(err)
	}
	misread := func(i int, stage float64) float64 {
		if i == 3 {
			return stage + 3
		}
		return stage
	}
	alone := mustGrade(t, mustGrade(t, whole, gradedTray(0, oneToEight, misread, evenly(oneToEight, 16)...)...), gradedTray(1, oneToEight, asIs, evenly(oneToEight, 16)...)...)
	tests := []struct {
		name    string
		set     Set
		verdict Verdict
		want    string
	}{
		{"plates alone", whole, WithCare, "usable with care: its 90 % intervals rest on no grades: 9 more graded halves are needed; grade a tray of halves of all stages next"},
		{"two plates", straightSet(t, oneToEight, 1, 8), WithCare, "it has no plate between stage 1 and stage 8"},
		{"nothing above 6", straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6), WithCare, "photograph halves between stage 6.0 and stage 8.0 next"},
		{"out of order", pair(5.5, 3.0/7+0.01), WithCare, "plate 6 (stage 5.5) is as stained as plate 5 (stage 5)"},
		{"one stage, two looks", twins, WithCare, "plate 5 (stage 4) looks unlike plate 4 (stage 4)"},
		{"one week's fruit", mustGrade(t, whole, gradedTray(0, oneToEight, asIs, 1.2, 1.4, 1.6, 1.8, 2.2, 2.4, 2.6, 2.8, 3.2, 3.4)...), WithCare, "hardly a half was graded on 57 % of the scale; grade halves between stage 4.0 and stage 8.0 next"},
		{"one misread", alone, WithCare, "usable with care: 1 grade is far from what its half looks like: photo 0, half 4, graded 5.5 and called 2.5"},
		{"two misread", twoTrays(t, whole, misread), DoNotUse, "do not use: 2 grades are far from what their halves look like, first photo 0, half 4, graded 5.5 and called 2.5"},
		{"another variety", twoTrays(t, whole, func(_ int, stage float64) float64 { return 1 + (stage-1)*(stage-1)/7 }), DoNotUse, "do not use: it is off by"},
		{"one tray", mustGrade(t, whole, gradedTray(0, oneToEight, asIs, evenly(oneToEight, 16)...)...), FitForUse, "grade a second tray in another light next"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := mustCheck(t, tt.set)
			if all := say(c.Why) + "\n" + said(c.Findings); c.Verdict != tt.verdict || !strings.Contains(all, tt.want) {
				t.Errorf("%s; want %q and %q in it", c.Why, tt.verdict, tt.want)
			}
			if _, err := json.Marshal(c); err != nil {
				t.Error(err)
			}
		})
	}
}

// A tray of halves that the set calls 0.9 too clear.
func TestCheckOfTray(t *testing.T) {
	for _, scale := range []Scale{oneToEight, {8, 1, 0.1}} {
		s := twoTrays(t, wholeSet(t, scale), asIs)
		stages := evenly(scale, 12)
		more := func(_ int, stage float64) float64 { return scale.stageAt(scale.position(stage) - 0.9) }
		c := mustCheck(t, s)
		if err := c.AddTray(s, gradedTray(9, scale, more, stages[2:]...)); err != nil {
			t.Fatal(err)
		}
		if c.Verdict != DoNotUse || !strings.HasPrefix(say(c.Why), "do not use: it is off by 0.9") || !strings.Contains(say(c.Why), "mostly too clear") {
			t.Errorf("scale %g to %g: %s", scale.Stained, scale.Clear, c.Why)
		}
		if a := c.Tray.Agreement; a == nil || a.N != 10 || math.Abs(math.Abs(a.Bias)-0.9) > 0.05 {
			t.Errorf("agreement %+v", a)
		}
		if err := c.AddTray(s, gradedTray(9, scale, asIs, stages...)); err != nil || c.Verdict != FitForUse {
			t.Errorf("a tray that agrees: %v, %s", err, c.Why)
		}
	}
	s := twoTrays(t, wholeSet(t, oneToEight), asIs)
	c := mustCheck(t, s)
	if err := c.AddTray(s, nil); err == nil {
		t.Error("an empty tray was judged")
	}
	if err := c.AddTray(s, s.Graded[:4]); err == nil || !strings.Contains(err.Error(), "holds this tray already") {
		t.Errorf("a tray of the set itself: %v", err)
	}
}

// Graders: AB as the halves are, CD half a stage higher and read twice.
func TestCheckOfGraders(t *testing.T) {
	s := twoTrays(t, wholeSet(t, oneToEight), asIs)
	for reading, shift := range []float64{0.6, 0.4} {
		tray := gradedTray(0, oneToEight, func(_ int, stage float64) float64 { return math.Min(8, stage+shift) }, evenly(oneToEight, 14)...)
		for i := range tray {
			tray[i].Grades[0].By = "CD"
			tray[i].Seen = s.Graded[i].Seen
		}
		var err error
		if s, err = s.Grade([]Repeat{Refuse, Again}[reading], tray...); err != nil {
			t.Fatal(err)
		}
	}
	c := mustCheck(t, s)
	if len(c.Graders) != 2 {
		t.Fatalf("graders %+v", c.Graders)
	}
	ab, cd := c.Graders[0], c.Graders[1]
	if ab.By != "AB" || ab.Halves != 32 || ab.Repeats != 0 || ab.Others == nil || ab.Others.N != 14 {
		t.Errorf("AB: %+v", ab)
	}
	// Readings 0.2 apart lie 0.1 from their mean: sqrt(14 · 2 · 0.1² / 14).
	if cd.By != "CD" || cd.Halves != 14 || cd.Repeats != 14 || math.Abs(cd.Repeatability-math.Sqrt(0.02)) > 0.01 {
		t.Errorf("CD: %+v", cd)
	}
	if cd.Others.Bias < 0.3 || !strings.Contains(said(c.Findings), "CD grades +") {
		t.Errorf("CD against AB: %+v; %q", cd.Others, c.Findings)
	}
}

func TestDrift(t *testing.T) {
	old := wholeSet(t, oneToEight)
	var plates []Plate
	for _, p := range old.Plates {
		p.Stage = p.Stage + 0.35*math.Sin(math.Pi*(p.Stage-1)/7) // the middle is graded higher this season
		plates = append(plates, p)
	}
	s, err := New("larkfield", oneToEight, 0.2, plates...)
	if err != nil {
		t.Fatal(err)
	}
	c := mustCheck(t, s)
	if err := c.AddDrift(s, old); err != nil {
		t.Fatal(err)
	}
	if d := c.Drift; d.N != 16 || math.Abs(d.Worst-0.341) > 0.01 || d.At < 4 || d.At > 5 || !strings.Contains(say(c.Why), `have moved by +0.34 stage at stage`) {
		t.Errorf("drift %+v; %s", d, c.Why)
	}
	if err := c.AddDrift(s, wholeSet(t, Scale{1, 10, 0.1})); err == nil || !strings.Contains(err.Error(), "convert with traystage refs convert") {
		t.Errorf("another scale: %v", err)
	}
	old.StainedDensity = 0.3
	if err := c.AddDrift(s, old); err == nil || !strings.Contains(err.Error(), "density") {
		t.Errorf("another threshold: %v", err)
	}
}

// Any two grades off by two stages or more, wherever they are and however graders stray
// else, are not taken with care but refused.
func TestTwoGrossMisgradesAreRefused(t *testing.T) {
	whole := wholeSet(t, oneToEight)
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 21))
		wrong := rng.Perm(32)[:2]
		stray := 0.3 * rng.Float64()
		s := whole
		for photo := range 2 {
			s = mustGrade(t, s, gradedTray(photo, oneToEight, func(i int, stage float64) float64 {
				grade := stage + stray*rng.NormFloat64()
				if slices.Contains(wrong, 16*photo+i) {
					by := 2 + 2*rng.Float64()
					if stage > 4.5 {
						by = -by
					}
					grade = stage + by
				}
				return math.Max(1, math.Min(8, grade))
			}, evenly(oneToEight, 16)...)...)
		}
		if c := mustCheck(t, s); c.Verdict != DoNotUse {
			t.Errorf("seed %d, graders stray by %.2f: %s; suspects %+v", seed, stray, c.Why, c.Suspects)
		}
	}
}

// A check tells how far it is, and ends when it is no longer wanted.
func TestCheckTellsItsProgress(t *testing.T) {
	s := twoTrays(t, wholeSet(t, oneToEight), asIs)
	var seen []int
	if _, err := CheckSet(t.Context(), s, func(done, of int) {
		if of != len(s.Plates)+2 {
			t.Errorf("%d parts, want one for each plate and photo", of)
		}
		seen = append(seen, done)
	}); err != nil {
		t.Fatal(err)
	}
	if len(seen) != len(s.Plates)+2 || !slices.IsSorted(seen) {
		t.Errorf("told %v", seen)
	}
	ctx, cancel := context.WithCancel(t.Context())
	_, err := CheckSet(ctx, s, func(done, _ int) {
		if done == 3 {
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("after it was called off: %v", err)
	}
}

// A set of thirty photos: a check should take less than five seconds.
func BenchmarkCheckOfThirtyPhotos(b *testing.B) {
	s := wholeSet(b, oneToEight)
	for photo := range 30 {
		uneven := func(i int, stage float64) float64 { return stage + 0.1*float64((7*i+photo)%3-1) }
		s = mustGrade(b, s, gradedTray(photo, oneToEight, uneven, evenly(oneToEight, 16)...)...)
	}
	for b.Loop() {
		if _, err := CheckSet(b.Context(), s, nil); err != nil {
			b.Fatal(err)
		}
	}
}
