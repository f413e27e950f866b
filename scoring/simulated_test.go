package scoring

import (
	"flag"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"traystage/scoring/instrument"
)

var blocks = flag.Int("blocks", 60, "simulated blocks of the test of decisions; 600 give more than 10,000 days")

// simulated is a block whose stage, firmness and solids are known on every day.
type simulated struct {
	stage, firmness, solids func(day float64) float64
	samples                 []Sample
	start                   time.Time
}

// newSimulated draws a block and samples it weekly. Stages run along a logistic
// or a straight line, with a spell of weather; day errors are shared by the fruit of
// a day, the plates' error and that of instrument and hand by all samples.
func newSimulated(t *testing.T, r *rand.Rand) simulated {
	pace, half := 0.12*math.Pow(0.35/0.12, r.Float64()), 10+10*r.Float64()
	from, strength := 25*r.Float64(), 0.5+1.5*r.Float64()
	age := func(d float64) float64 { return d - half + (strength-1)*(min(max(d, from), from+7)-from) }
	b := simulated{start: day(t, "2026-08-20")}
	if r.IntN(2) == 0 {
		b.stage = func(d float64) float64 { return 1 + 7/(1+math.Exp(-4*pace/7*age(d))) }
	} else {
		b.stage = func(d float64) float64 { return min(max(4.5+pace*age(d), 1), 8) }
	}
	soft, hard := 0.08+0.15*r.Float64(), 18+2*r.Float64()
	b.firmness = func(d float64) float64 { return hard - soft*(d-0.3*(half-age(d)-d)) }
	sweet, first := 0.05+0.1*r.Float64(), 10+1.5*r.Float64()
	b.solids = func(d float64) float64 { return first + sweet*d }

	plates, hand := 0.3*r.NormFloat64(), 0.7*r.NormFloat64()
	n, fruit, sd := 2+r.IntN(4), 10+r.IntN(11), 0.6+0.9*r.Float64()
	ref := eightStages
	ref.Common = Common{Standard: 0.3}
	for i := range n {
		d := float64(7 * i)
		day := [3]float64{0.2 * r.NormFloat64(), 0.25 * r.NormFloat64(), 0.2 * r.NormFloat64()}
		f := fruits{ref: ref}
		for range fruit {
			z := r.NormFloat64()
			f.stages = append(f.stages, min(max(math.Round(10*(b.stage(d)+plates+day[0]+sd*z))/10, 1), 8))
			f.firmness = append(f.firmness, b.firmness(d)+hand+day[1]-0.4*z+1.1*r.NormFloat64())
			f.solid = append(f.solid, b.solids(d)+day[2]+0.2*z+0.7*r.NormFloat64())
		}
		if i > 0 && r.IntN(4) == 0 {
			f.firmness, f.solid = nil, nil // nobody read them that day
		}
		b.samples = append(b.samples, sampleOf(b.start.AddDate(0, 0, 7*i), f))
	}
	return b
}

// truth is how the block stands to the row on a day.
func (b simulated) truth(row Standard, d float64) State {
	s, f, x := b.stage(d), b.firmness(d), b.solids(d)
	switch {
	case s > row.Closes.Value || f < row.Firmness.From.Value:
		return Past
	case s < row.Opens.Value || x < row.Solids.From.Value:
		return TooEarly
	}
	return Open
}

// On more than ten thousand days of simulated blocks (-blocks 600) without new data: the
// state never goes back and is the one that window and chance of the day give;
// what is sure is wrong in at most one case of twenty, and chances are honest.
func TestDecisionsOfSimulatedBlocks(t *testing.T) {
	t.Parallel()
	row := Standard{
		Variety: "Braeburn", Market: "store", Scale: "1-8", Opens: At(3), Closes: At(6),
		Firmness: Range{From: At(15)}, FirmnessUnit: instrument.PoundForce, Solids: Range{From: At(11)},
	}
	r := rand.New(rand.NewPCG(2026, 11))
	days, sure, wrong, contradictions := 0, 0, 0, 0
	var stated, right float64
	for range *blocks {
		b := newSimulated(t, r)
		last := daysBetween(b.start, b.samples[len(b.samples)-1].Picked)
		var before State
		for d := last; d < last+20; d++ {
			rep, err := Assess(Block{Name: "North", Variety: "Braeburn", Market: "store"}, b.samples, []Standard{row}, nil,
				Options{Today: b.start.AddDate(0, 0, d), Brief: true})
			if err != nil {
				t.Fatal(err)
			}
			now, w := rep.Now, rep.Window
			if now == Closing {
				now = Open
			}
			truth := b.truth(row, float64(d))
			days++
			stated += rep.Verdict.Chance
			if now == truth {
				right++
			}
			if rep.NowSure {
				sure++
				if now != truth {
					wrong++
				}
			}
			inside := w != nil && (w.Opens.Reach == "reached" && !w.On.Before(w.Opens.Day) || w.Opens.Reach == "met all along") &&
				(w.Closes.Day.IsZero() && w.Closes.Reach != "met all along" || !w.Closes.Day.IsZero() && !w.On.After(w.Closes.Day))
			back := before != "" && laterOf(before, now) != now
			if w != nil && inside != (now == Open) || back || slices.Contains([]State{NoVerdict, ""}, now) {
				contradictions++
				t.Errorf("day %d: %s after %s, window %v to %v", d, now, before, w.Opens, w.Closes)
			}
			before = now
		}
	}
	t.Logf("%d days: %d contradictions; %d sure, %.1f %% of them wrong; right %.3f where %.3f was stated",
		days, contradictions, sure, 100*float64(wrong)/float64(sure), right/float64(days), stated/float64(days))
	if float64(wrong) > 0.05*float64(sure) {
		t.Errorf("%d of %d sure statements are wrong", wrong, sure)
	}
	if math.Abs(right-stated)/float64(days) > 0.08 {
		t.Errorf("right %.3f, stated %.3f", right/float64(days), stated/float64(days))
	}
}
