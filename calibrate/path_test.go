package calibrate

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"traystage/vision/note"
)

var scales = []Scale{
	{1, 8, 0.1}, {8, 1, 0.1}, {1, 10, 0.5}, {10, 1, 0.5}, {0, 9, 0.1}, {9, 0, 0.1},
	{1, 6, 0.5}, {6, 1, 0.5}, {1, 5, 0.25}, {5, 1, 0.25}, {0, 10, 0.1}, {0, 6, 1},
}

// published gives the rows of the published relations of stain and stage.
// Source: testdata/checks/stain_vs_stage.csv, which names its own sources.
func published(t *testing.T) [][]string {
	t.Helper()
	f, err := os.Open("../testdata/checks/stain_vs_stage.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// seenAt is a half that is cleared from the core outward.
func seenAt(stained float64) Observation {
	return Observation{Zones: fromCore(stained, ringWeights), Weights: ringWeights, Stained: stained, StainedLow: stained, StainedHigh: stained}
}

// The straight law between the published end points (Doerflinger and others
// 2015: the index falls linearly with the stained area): a set that holds plates
// on the line gives the line back, on the scale 1 to 8, on 1 to 10 and from
// scale to scale. The set's plates stand at every whole stage but the one asked
// for, so that what is tested is the path between plates. Its profiles clear
// from the core outward and their zones are bent where a ring is used up, which
// may move a stage by a few hundredths.
func TestStraightLawOfPublishedTable(t *testing.T) {
	tested := 0
	for _, row := range published(t) {
		var scale Scale
		stage, value := row[1], row[3]
		switch {
		case strings.HasSuffix(row[2], "(straight line between the end points)") && row[0] == "1-8":
			scale = Scale{1, 8, 0.1}
		case strings.HasSuffix(row[2], "(straight line between the end points)") && row[0] == "1-10":
			scale = Scale{1, 10, 0.1}
		default:
			continue
		}
		want := number(t, stage)
		share := number(t, value) / 100
		if strings.HasPrefix(row[2], "clear") {
			share = 1 - share
		}
		var stages []float64
		for s := scale.Stained; s <= scale.Clear; s++ {
			if s != want || s == scale.Stained || s == scale.Clear {
				stages = append(stages, s)
			}
		}
		got := mustFit(t, straightSet(t, scale, stages...)).Call(seenAt(share)).Stage
		if math.Abs(got-want) > 0.05 {
			t.Errorf("%s: stained %.4f gives stage %.3f, want %g", row[0], share, got, want)
		}
		tested++
	}
	if tested != 18 {
		t.Errorf("%d rows tested, want the 8 of the scale 1-8 and the 10 of the scale 1-10", tested)
	}
}

// Same table: the stained shares that open and close market windows.
func TestPublishedWindows(t *testing.T) {
	p := mustFit(t, straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8))
	tests := []struct{ share, stage float64 }{
		{0.60, 3.8}, {0.40, 5.2}, {0.20, 6.6}, // storage, immediate sale
		{0.85, 2.05}, {0.75, 2.75}, {0.80, 2.4}, // long storage
		{0.70, 3.1}, // 30 % unstained
	}
	for _, tt := range tests {
		if got := p.Call(seenAt(tt.share)).Stage; math.Abs(got-tt.stage) > 0.05 {
			t.Errorf("stained %.2f gives %.3f, want %.2f", tt.share, got, tt.stage)
		}
	}
}

// Same table: the same share on two scales.
func TestSameShareOnAnotherScale(t *testing.T) {
	tested := 0
	for _, row := range published(t) {
		from, to, ok := strings.Cut(row[0], " to ")
		if !ok {
			continue
		}
		a, b := scaleOf(t, from), scaleOf(t, to)
		stage := number(t, row[1])
		share := 1 - a.position(stage)/a.Span()
		every := func(s Scale) []float64 {
			var out []float64
			for i := range 8 {
				out = append(out, s.stageAt(s.Span()*float64(i)/7))
			}
			return out
		}
		got := mustFit(t, straightSet(t, b, every(b)...)).Call(seenAt(share)).Stage
		if want := number(t, row[3]); math.Abs(got-want) > 0.05 {
			t.Errorf("%s: stage %g gives %.3f, want %g", row[0], stage, got, want)
		}
		tested++
	}
	if tested < 30 {
		t.Errorf("%d rows tested, want 30 or more", tested)
	}
}

func scaleOf(t *testing.T, name string) Scale {
	t.Helper()
	a, b, _ := strings.Cut(name, "-")
	return Scale{number(t, a), number(t, b), 0.1}
}

func TestEndsOfEveryScale(t *testing.T) {
	for _, s := range scales {
		mid := (s.Stained + s.Clear) / 2
		p := mustFit(t, straightSet(t, s, s.Stained, mid, s.Clear))
		for stained, want := range map[float64]float64{1: s.Stained, 0.5: mid, 0: s.Clear} {
			if got := p.Call(seenAt(stained)).Stage; got != want {
				t.Errorf("scale %g to %g: stained %g gives %g, want %g", s.Stained, s.Clear, stained, got, want)
			}
		}
	}
}

// randomSet makes a set of up to twelve plates and eight zones whose totals
// fall and whose zones follow them loosely, so that some zones rise from
// plate to plate, as those of halves that clear in patches do.
func randomSet(rng *rand.Rand, scale Scale) (Set, error) {
	n, rings := 2+rng.IntN(11), 1+rng.IntN(8)
	weights := make([]float64, rings)
	for j := range weights {
		weights[j] = float64(2*j+1) / float64(rings*rings)
	}
	loose := 0.4 * rng.Float64()
	power := math.Exp(rng.NormFloat64())
	var plates []Plate
	for i := range n {
		u := (float64(i) + 0.6*rng.Float64()) / float64(n)
		total := math.Pow(1-u, power)
		zones := fromCore(total, weights)
		for j := range zones {
			zones[j] = unit(zones[j] + loose*(rng.Float64()-0.5))
		}
		plates = append(plates, Plate{Stage: scale.stageAt(u * scale.Span()), Stained: total, Zones: zones, Weights: weights})
	}
	return New("random", scale, 0.2, plates...)
}

func unit(v float64) float64 { return math.Max(0, math.Min(1, v)) }

// eachRandomPath runs the check on many sets; those whose plates cannot be told
// apart are passed over, and must be few.
func eachRandomPath(t *testing.T, check func(rng *rand.Rand, s Set, p *Path)) {
	t.Helper()
	const tries = 150
	fitted := 0
	for seed := range uint64(tries) {
		rng := rand.New(rand.NewPCG(seed, 7))
		s, err := randomSet(rng, scales[rng.IntN(len(scales))])
		if err != nil {
			t.Fatal(err)
		}
		p, err := Fit(s)
		if err != nil {
			continue
		}
		fitted++
		check(rng, s, p)
	}
	if fitted < tries*9/10 {
		t.Errorf("%d of %d random sets could be fitted, want nine in ten", fitted, tries)
	}
}

func randomHalf(rng *rand.Rand, zones int) Observation {
	o := Observation{Zones: make([]float64, zones), Stained: rng.Float64()}
	for j := range o.Zones {
		o.Zones[j] = unit(o.Stained + 0.8*(rng.Float64()-0.5))
	}
	return o
}

// tiny allows for rounding.
const tiny = 1e-7

func TestMoreStainIsNeverNearerClear(t *testing.T) {
	eachRandomPath(t, func(rng *rand.Rand, s Set, p *Path) {
		for range 40 {
			a := randomHalf(rng, len(s.Plates[0].Zones))
			b := a
			b.Zones = slices.Clone(a.Zones)
			for j := range b.Zones {
				if rng.IntN(2) == 0 {
					b.Zones[j] = unit(a.Zones[j] + rng.Float64()*rng.Float64())
				}
			}
			if rng.IntN(2) == 0 {
				b.Stained = unit(a.Stained + 0.3*rng.Float64())
			}
			less, more := s.Scale.position(p.Call(a).Stage), s.Scale.position(p.Call(b).Stage)
			if more > less+tiny {
				t.Fatalf("set %+v\n%+v lies at %g,\nmore stained %+v at %g", s, a, less, b, more)
			}
		}
	})
}

func TestExactAtPlates(t *testing.T) {
	exact := 0
	eachRandomPath(t, func(_ *rand.Rand, s Set, p *Path) {
		if len(p.knots) < len(s.Plates) {
			return // plates that look the same were joined
		}
		exact++
		for i, plate := range s.Plates {
			o := Observation{Zones: plate.Zones, Weights: plate.Weights, Stained: plate.Stained}
			if got := p.Call(o).Stage; got != plate.Stage {
				t.Errorf("%s is called %v, want %v", s.plate(i), got, plate.Stage)
			}
		}
	})
	if exact < 120 {
		t.Errorf("%d random sets tested, want 120 or more", exact)
	}
}

// On a straight walk through profile space the half that moves the stage most
// is halved again and again. A jump would be closed in on and keep its size.
func TestContinuous(t *testing.T) {
	eachRandomPath(t, func(rng *rand.Rand, s Set, p *Path) {
		n := len(s.Plates[0].Zones)
		a, b := randomHalf(rng, n), randomHalf(rng, n)
		at := func(u float64) float64 {
			o := Observation{Zones: make([]float64, n), Stained: a.Stained + u*(b.Stained-a.Stained)}
			for j := range o.Zones {
				o.Zones[j] = a.Zones[j] + u*(b.Zones[j]-a.Zones[j])
			}
			return s.Scale.position(p.Call(o).Stage)
		}
		from, to := 0.0, 1.0
		for range 40 { // close in on the half of the walk that moves most
			mid := from + (to-from)/2
			if math.Abs(at(mid)-at(from)) > math.Abs(at(to)-at(mid)) {
				to = mid
			} else {
				from = mid
			}
		}
		if jump := math.Abs(at(to) - at(from)); jump > 1e-3*s.Scale.Span() {
			t.Errorf("the stage jumps by %g between %g and %g of the walk", jump, from, to)
		}
	})
}

// Turning the scale round, 1 to 8 into 8 to 1, turns the stages round.
func TestScaleMayRunEitherWay(t *testing.T) {
	eachRandomPath(t, func(rng *rand.Rand, s Set, p *Path) {
		turn := func(stage float64) float64 { return s.Scale.Stained + s.Scale.Clear - stage }
		r := s
		r.Scale.Stained, r.Scale.Clear = s.Scale.Clear, s.Scale.Stained
		r.Plates = nil
		for _, plate := range s.Plates {
			plate.Stage = turn(plate.Stage)
			r.Plates = append(r.Plates, plate)
		}
		back := mustFit(t, r)
		for range 10 {
			o := randomHalf(rng, len(s.Plates[0].Zones))
			a, b := p.Call(o), back.Call(o)
			for _, pair := range [][2]float64{{a.Stage, b.Stage}, {a.Low, b.High}, {a.High, b.Low}, {a.Between[0], b.Between[0]}, {a.Between[1], b.Between[1]}} {
				if math.Abs(turn(pair[0])-pair[1]) > 1e-6 {
					t.Fatalf("%+v turned round is %+v", a, b)
				}
			}
			if !note.Same(a.Reasons, b.Reasons) && !strings.Contains(fmt.Sprint(a.Reasons), "plate") {
				t.Errorf("reasons %q and, turned round, %q", a.Reasons, b.Reasons)
			}
		}
	})
}

// Two plates of one total are told apart by their pattern, and so is a half
// between them: its pattern is halfway, its total is theirs.
func TestPatternDecidesWhereTotalStandsStill(t *testing.T) {
	weights := []float64{0.25, 0.75}
	plates := []Plate{
		{Stage: 1, Stained: 1, Zones: []float64{1, 1}, Weights: weights},
		{Stage: 3, Stained: 0.70, Zones: []float64{0.9, 0.6}, Weights: weights},
		{Stage: 5, Stained: 0.70, Zones: []float64{0.1, 0.6}, Weights: weights}, // the core has cleared
		{Stage: 8, Stained: 0, Zones: []float64{0, 0}, Weights: weights},
	}
	s, err := New("still", oneToEight, 0.2, plates...)
	if err != nil {
		t.Fatal(err)
	}
	got := mustFit(t, s).Call(Observation{Zones: []float64{0.5, 0.6}, Stained: 0.70}).Stage
	if math.Abs(got-4) > 0.1 {
		t.Errorf("halfway between the patterns of 3 and 5 is called %.3f, want 4", got)
	}
}

// Where the total falls steadily an error of the core, 4 % of the flesh, must
// hardly move the stage, and an error of the total must move it nearly by what
// the straight law says: 0.07 of the face is 0.49 of a stage. The zones hold it
// back by their share of the information, which is one part in five at most.
func TestTotalDecidesWhereItFalls(t *testing.T) {
	p := mustFit(t, straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8))
	o := seenAt(0.5)
	o.Zones[0] = 0.3 // of the core, where the plates have 0
	if got := p.Call(o).Stage; math.Abs(got-4.5) > 0.05 {
		t.Errorf("a core misread by 0.3 moves the stage from 4.5 to %.3f", got)
	}
	o = seenAt(0.5)
	o.Stained = 0.57
	if got := p.Call(o).Stage; got < 4.01 || got > 4.11 {
		t.Errorf("a total of 0.57 with the pattern of 0.50 is called %.3f, want 4.01 to 4.11", got)
	}
}

func TestFitMeansTwins(t *testing.T) {
	plates := append(straightPlates(oneToEight, 1, 8), corePlate(4, 0.55), corePlate(4, 0.59))
	s, err := New("twins", oneToEight, 0.2, plates...)
	if err != nil {
		t.Fatal(err)
	}
	if got := mustFit(t, s).knots[1].total; math.Abs(got-0.57) > 1e-12 {
		t.Errorf("twins of 0.55 and 0.59 count as %g, want 0.57", got)
	}
}

// Graded halves of neighbouring stages often look the same: they are joined, and
// the path still reaches from end to end.
func TestFitJoinsNeighboursThatLookTheSame(t *testing.T) {
	plates := append(straightPlates(oneToEight, 1, 8), corePlate(1.2, 1), corePlate(4, 0.5), corePlate(4.4, 0.5), corePlate(7.9, 0))
	s, err := New("graded", oneToEight, 0.2, plates...)
	if err != nil {
		t.Fatal(err)
	}
	p := mustFit(t, s)
	for stained, want := range map[float64]float64{1: 1, 0.5: 4.2, 0: 8} {
		if got := p.Call(seenAt(stained)).Stage; math.Abs(got-want) > tiny {
			t.Errorf("stained %g is called %g, want %g", stained, got, want)
		}
	}
}

func TestFitNamesPlatesItCannotTellApart(t *testing.T) {
	plates := append(straightPlates(oneToEight, 1, 8), corePlate(4, 0.5), corePlate(5, 0.5))
	s, err := New("same", oneToEight, 0.2, plates...)
	if err != nil {
		t.Fatal(err)
	}
	_, err = Fit(s)
	if want := "the plates of stage 4 and stage 5 cannot be told apart"; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("Fit: %v, want %q in it", err, want)
	}
}

func BenchmarkCall(b *testing.B) {
	p := mustFit(b, straightSet(b, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8))
	o := seenAt(0.53)
	for b.Loop() {
		p.Call(o)
	}
}
