package calibrate

import (
	"bytes"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"traystage/vision/note"
)

// The rank of the split conformal quantile for 90 %: ⌈0.9 (n+1)⌉, with n = 9
// the least for which there is one (Lei and others 2018, section 2.2).
func TestConformalRank(t *testing.T) {
	for n, want := range map[int]int{8: 9, 9: 9, 10: 10, 18: 18, 19: 18, 29: 27, 32: 30, 99: 90} {
		if got := conformalRank(n); got != want {
			t.Errorf("of %d scores number %d is taken, want %d", n, got, want)
		}
		if ok := conformalRank(n) <= n; ok != (n >= fewestGraded) {
			t.Errorf("%d halves suffice: %v, and fewestGraded is %d", n, ok, fewestGraded)
		}
	}
}

// Among n+1 scores that could stand in any order the newest lies within the rank
// with a probability of rank/(n+1), which the bounds of Lei and others 2018,
// theorem 2.2, hold: at least 0.9 and at most 0.9 + 1/(n+1). Every order is tried.
func TestConformalCoverageOfEveryOrder(t *testing.T) {
	for _, n := range []int{9, 10, 16, 32, 48} {
		inside := 0
		for place := 1; place <= n+1; place++ { // of the newest among all
			if place <= conformalRank(n) {
				inside++
			}
		}
		share := float64(inside) / float64(n+1)
		if share < 0.9-tiny || share > 0.9+1/float64(n+1) {
			t.Errorf("%d halves: %.4f of the orders are inside", n, share)
		}
	}
}

// A new half of a tray like the graded one is inside nine times in ten: with
// one graded photo the bounds are those of the split conformal interval. The share
// among 1800 calls of 60 sets has a standard error of about 0.9 %, as coverage
// differs from set to set; the bounds get three of them.
func TestIntervalsHoldWhatTheyPromise(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	const n, trials, fresh = 32, 100, 20
	inside := 0
	for seed := range uint64(trials) {
		rng := rand.New(rand.NewPCG(seed, 5))
		half := func(i int) Graded {
			stage := 1.2 + 6.6*rng.Float64()
			// Graders differ with a long tail on one side: nothing here is Gaussian.
			grade := stage + 0.3*(rng.ExpFloat64()-1)
			return gradedHalf(0, i+1, unit(1-(stage-1)/7+0.01*rng.NormFloat64()), "AB", math.Max(1, math.Min(8, grade)))
		}
		var halves []Graded
		for i := range n {
			halves = append(halves, half(i))
		}
		p := mustFit(t, mustGrade(t, s, halves...))
		for i := range fresh {
			h := half(i)
			if c := p.Call(h.Seen); c.Low <= h.Stage() && h.Stage() <= c.High {
				inside++
			}
		}
	}
	share := float64(inside) / (trials * fresh)
	if low, high := 0.90-0.03, 0.90+1.0/(n+1)+0.03; share < low || share > high {
		t.Errorf("%.3f of the grades lie in their intervals, want %.3f to %.3f", share, low, high)
	}
}

func TestCalibratedFromNineHalvesOn(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	wide := mustFit(t, s).Call(seenAt(0.5))
	if s.Calibrated() || s.GradedNeeded() != 9 {
		t.Errorf("plates alone: calibrated %v, %d needed", s.Calibrated(), s.GradedNeeded())
	}
	eight := mustGrade(t, s, gradedTray(0, oneToEight, asIs, evenly(oneToEight, 8)...)...)
	if c := mustFit(t, eight).Call(seenAt(0.5)); eight.Calibrated() || eight.GradedNeeded() != 1 || c.High-c.Low < wide.High-wide.Low-tiny {
		t.Errorf("eight halves: calibrated %v, %d needed, interval %g to %g", eight.Calibrated(), eight.GradedNeeded(), c.Low, c.High)
	}
	nine := mustGrade(t, eight, gradedHalf(1, 1, 0.5, "AB", 4.5))
	p := mustFit(t, nine)
	if c := p.Call(seenAt(0.5)); !nine.Calibrated() || nine.GradedNeeded() != 0 || c.High-c.Low > 0.8*(wide.High-wide.Low) {
		t.Errorf("nine halves: calibrated %v, %d needed, interval %g to %g", nine.Calibrated(), nine.GradedNeeded(), c.Low, c.High)
	}
	if _, _, ok := mustFit(t, s).CommonError(); ok {
		t.Error("plates alone tell a common error")
	}
}

// Where nobody graded, the interval stays as wide as without graded halves.
func TestIntervalFarFromGradedHalves(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	bare := mustFit(t, s)
	p := mustFit(t, mustGrade(t, s, gradedTray(0, oneToEight, asIs, 2, 2.2, 2.4, 2.6, 2.8, 3, 3.2, 3.4, 3.6, 3.8)...))
	width := func(p *Path, stained float64) float64 { c := p.Call(seenAt(stained)); return c.High - c.Low }
	if near, far := width(p, 0.7), width(p, 0.2); near > 0.7*width(bare, 0.7) || far < width(bare, 0.2)-0.05 {
		t.Errorf("%.2f wide near the graded halves and %.2f far from them; without them %.2f and %.2f", near, far, width(bare, 0.7), width(bare, 0.2))
	}
}

// A poorer photo has a wider interval.
func TestIntervalAdaptsToThePhoto(t *testing.T) {
	uneven := func(i int, stage float64) float64 { return stage + 0.1*float64(1-i%3) }
	s := mustGrade(t, straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8), gradedTray(0, oneToEight, uneven, evenly(oneToEight, 16)...)...)
	p := mustFit(t, s)
	plain := p.Call(seenAt(0.5))
	open, masked, doubtful := seenAt(0.5), seenAt(0.5), seenAt(0.5)
	open.StainedLow, open.StainedHigh = 0.45, 0.55
	masked.Masked = 0.3
	doubtful.Doubts = []note.Note{note.New("photo.glare")}
	for name, o := range map[string]Observation{"threshold": open, "hidden": masked, "doubt": doubtful} {
		if c := p.Call(o); c.High-c.Low < 1.1*(plain.High-plain.Low) || c.Stage != plain.Stage {
			t.Errorf("%s: %.3f to %.3f, without it %.3f to %.3f", name, c.Low, c.High, plain.Low, plain.High)
		}
	}
}

// Graded trays on which everything is easy do not make less of what a hard photo leaves open: 0.05 of
// the flesh to either side is 0.35 stage of a straight set from 1 to 8.
func TestEasyTraysDoNotTalkAHardPhotoDown(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	for i := range 2 {
		s = mustGrade(t, s, gradedTray(i, oneToEight, asIs, evenly(oneToEight, 16)...)...)
	}
	hard := seenAt(0.5)
	hard.StainedLow, hard.StainedHigh = 0.45, 0.55
	if c := mustFit(t, s).Call(hard); c.Stage-c.Low < 0.35 || c.High-c.Stage < 0.35 {
		t.Errorf("%.3f to %.3f about %.3f, want 0.35 to either side", c.Low, c.High, c.Stage)
	}
}

// Two trays whose medians are 0.2 and -0.1 off, on top of a prior worth four of
// 0.012 times the 5 stages that a unit of light moves a half.
func TestCommonError(t *testing.T) {
	var halves []leftOut
	for i, off := range []float64{0.1, 0.3, 0.2, -0.1, 5, -0.1} {
		halves = append(halves, leftOut{photo: photoHash(i / 3), off: off, swing: 5, doubt: doubt{called: 1}})
	}
	trays := traysOf(halves, oneToEight)
	var g grades
	g.reach(halves, trays)
	g.share(halves, trays)
	standard, freedom, ok := (&Path{grades: &g}).CommonError()
	if want := math.Sqrt((4*sq(0.06) + 0.2*0.2 + 0.1*0.1) / 6); !ok || freedom != 6 || math.Abs(standard-want) > tiny {
		t.Errorf("%g with %g degrees of freedom, %v; want %g with 6", standard, freedom, ok, want)
	}
	// The lights are -0.04 and 0.02: of 1.943, the 95th percentile of Student's t with 6 degrees
	// of freedom (any table), times the root of (4 x 0.012² + 0.04² + 0.02²) / 6.
	if want := 1.943 * math.Sqrt((4*sq(0.012)+sq(0.04)+sq(0.02))/6); math.Abs(g.light-want) > 1e-5 {
		t.Errorf("the light of a new photo reaches %.5f, want %.5f", g.light, want)
	}
	// Once the light is taken away, the fifth half is 5.1 off: six scores have no rank of 90 %, so that the
	// largest stands.
	if math.Abs(g.own-5.1) > tiny {
		t.Errorf("a half reaches %g times its doubt by itself, want 5.1", g.own)
	}
}

func TestTargets(t *testing.T) {
	p := mustFit(t, straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8))
	free, hit := p.Call(seenAt(0.5), 2, 7), p.Call(seenAt(0.5), 2, 4.7)
	if free.Borderline || math.Abs(free.Worth-0.517) > 0.03 {
		t.Errorf("targets far off: borderline %v, worth %g; want false and 0.517", free.Borderline, free.Worth)
	}
	if want := []note.Note{note.New(CallStraddles, note.Stage("target", 4.7))}; !note.Same(hit.Reasons, want) || math.Abs(hit.Worth-free.Worth-7) > tiny {
		t.Errorf("a target in the interval: reasons %q, worth %g; want %q and %g", hit.Reasons, hit.Worth, want, free.Worth+7)
	}
}

// A call made again from a set that was written and read is the same to the
// last bit.
func TestCallsCanBeMadeAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	s := straightSet(t, oneToEight, 1, 2, 4, 6, 8)
	s = mustGrade(t, s, gradedTray(0, oneToEight, asIs, evenly(oneToEight, 12)...)...)
	s = mustGrade(t, s, gradedTray(1, oneToEight, func(i int, v float64) float64 { return math.Max(1, v-0.2) }, evenly(oneToEight, 7)...)...)
	text := encoded(t, s)
	p := mustFit(t, s)
	for range 3 {
		again, err := Decode(bytes.NewReader([]byte(text)))
		if err != nil {
			t.Fatal(err)
		}
		q := mustFit(t, again)
		for range 20 {
			o := randomHalf(rng, 5)
			if a, b := p.Call(o, 3), q.Call(o, 3); !reflect.DeepEqual(a, b) {
				t.Fatalf("called %+v, again %+v", a, b)
			}
		}
	}
	if !strings.Contains(text, `"reading": 1`) {
		t.Error("grades are not in the file")
	}
}
