package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// evenly gives n stages spread over the scale, ends left out.
func evenly(scale Scale, n int) []float64 {
	var out []float64
	for i := range n {
		out = append(out, scale.stageAt(scale.Span()*(float64(i)+0.5)/float64(n)))
	}
	return out
}

// On every scale and either way round, halves graded as the plates have them
// leave the path where it is.
func TestGradedHalvesThatAgreeLeaveThePath(t *testing.T) {
	for _, scale := range scales {
		s := straightSet(t, scale, evenly(scale, 8)...)
		plates := mustFit(t, s)
		graded := mustFit(t, mustGrade(t, s, gradedTray(0, scale, asIs, evenly(scale, 16)...)...))
		for i := range 21 {
			o := seenAt(float64(i) / 20)
			a, b := plates.Call(o).Stage, graded.Call(o).Stage
			if math.Abs(a-b) > 0.012*scale.Span() {
				t.Errorf("scale %g to %g: stained %.2f is called %.3f, with graded halves %.3f", scale.Stained, scale.Clear, o.Stained, a, b)
			}
		}
	}
}

// Two plates and graded halves on a curved law: the law comes back.
func TestGradedHalvesFillTheGapsOfPlates(t *testing.T) {
	law := func(u float64) float64 { return math.Pow(1-u, 1.6) }
	for _, scale := range scales {
		s := straightSet(t, scale, scale.Stained, scale.Clear)
		var halves []Graded
		for i := range 32 {
			u := (float64(i) + 0.5) / 32
			halves = append(halves, gradedHalf(i/16, i%16+1, law(u), "AB", scale.stageAt(u*scale.Span())))
		}
		p := mustFit(t, mustGrade(t, s, halves...))
		for _, u := range []float64{0.1, 0.3, 0.5, 0.7, 0.9} {
			got := scale.position(p.Call(seenAt(law(u))).Stage) / scale.Span()
			if math.Abs(got-u) > 0.02 {
				t.Errorf("scale %g to %g: what the law has at %.2f of it is called at %.3f", scale.Stained, scale.Clear, u, got)
			}
		}
	}
}

// Three of sixteen grades wrong by two stages move no call by more than 0.05 stage.
func TestMisreadStagesDoNotBendThePath(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	right := mustFit(t, mustGrade(t, s, gradedTray(0, oneToEight, asIs, evenly(oneToEight, 16)...)...))
	for seed := range uint64(10) {
		rng := rand.New(rand.NewPCG(seed, 1))
		wrong := rng.Perm(16)
		misread := func(i int, stage float64) float64 {
			switch {
			case wrong[i] >= 3:
				return stage
			case stage < 4.5:
				return stage + 2
			}
			return stage - 2
		}
		p := mustFit(t, mustGrade(t, s, gradedTray(0, oneToEight, misread, evenly(oneToEight, 16)...)...))
		for i := range 101 {
			o := seenAt(float64(i) / 100)
			if shift := p.Call(o).Stage - right.Call(o).Stage; math.Abs(shift) > 0.05 {
				t.Errorf("seed %d: stained %.2f moved by %.3f stages", seed, o.Stained, shift)
			}
		}
	}
}

// Whatever is graded, the path stays monotone and every call on the scale.
func TestDrawnPathIsMonotone(t *testing.T) {
	for seed := range uint64(25) {
		rng := rand.New(rand.NewPCG(seed, 3))
		scale := scales[rng.IntN(len(scales))]
		s, err := randomSet(rng, scale)
		if err != nil {
			t.Fatal(err)
		}
		var halves []Graded
		for i := range 3 + rng.IntN(30) {
			o := randomHalf(rng, len(s.Plates[0].Zones))
			o.Weights = s.Plates[0].Weights
			halves = append(halves, Graded{Photo: photoHash(i % 3), Half: i + 1, Source: fmt.Sprint(i),
				Grades: []Grade{{Stage: scale.stageAt(rng.Float64() * scale.Span())}}, Seen: o})
		}
		s = mustGrade(t, s, halves...)
		p, err := Fit(s)
		if err != nil {
			continue // its plates cannot be told apart
		}
		for range 40 {
			a := randomHalf(rng, len(s.Plates[0].Zones))
			b := Observation{Zones: make([]float64, len(a.Zones)), Stained: unit(a.Stained + 0.2*rng.Float64())}
			for j := range b.Zones {
				b.Zones[j] = unit(a.Zones[j] + 0.3*rng.Float64())
			}
			less, more := p.Call(a), p.Call(b)
			if scale.position(more.Stage) > scale.position(less.Stage)+tiny {
				t.Fatalf("seed %d: more stained lies at %g, less at %g", seed, more.Stage, less.Stage)
			}
			if !(less.Low <= less.Stage && less.Stage <= less.High) || !scale.Contains(less.Low) || !scale.Contains(less.High) {
				t.Fatalf("seed %d: call %+v on scale %+v", seed, less, scale)
			}
		}
	}
}

// Half of the sectors of a streaked half can rise without the total falling:
// monotone in every bearing too.
func TestSectorsCarryStage(t *testing.T) {
	plates := straightPlates(oneToEight, 1, 3, 5, 8)
	side := func(clear float64) []float64 { // cleared from one side on
		out := make([]float64, 12)
		for i := range out {
			out[i] = unit(float64(i+1) - 12*clear)
		}
		return out
	}
	for i, clear := range []float64{0, 0.2, 0.45, 1} {
		plates[i].Sectors = side(clear)
		plates[i].Stained = 1 - clear
	}
	// The totals of stages 3 and 5 are made the same: only the bearings tell.
	plates[2].Stained, plates[2].Zones = plates[1].Stained, plates[1].Zones
	s, err := New("sides", oneToEight, 0.2, plates...)
	if err != nil {
		t.Fatal(err)
	}
	p := mustFit(t, s)
	o := Observation{Stained: plates[1].Stained, Zones: plates[1].Zones, Sectors: side(0.32)}
	if got := p.Call(o).Stage; got < 3.3 || got > 4.7 {
		t.Errorf("a half whose bearings lie between those of 3 and 5 is called %.2f", got)
	}
	o.Sectors = nil
	if c := p.Call(o); len(c.Reasons) == 0 || c.Reasons[0].Code != CallSideMissing {
		t.Errorf("without bearings: reasons %q", c.Reasons)
	}
}
