package scoring

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"traystage/calibrate"
	"traystage/vision/note"
)

var eightStages = Reference{
	Name: "Gala", Version: "3", Calibrated: true,
	Scale: calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1},
}

func sample(stages ...float64) []Fruit {
	var out []Fruit
	for i, s := range stages {
		out = append(out, Fruit{Number: i + 1, Call: calibrate.Call{Stage: s}})
	}
	return out
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

func TestSummarizeByHand(t *testing.T) {
	// 3, 4, 4, 5: mean 4, squares 1+0+0+1 over 3 -> sd 0.8165, sd/√4 = 0.40825,
	// t(0.95, 3) = 2.353363 -> half width 0.96076.
	s := Summarize(sample(3, 4, 4, 5), eightStages, 0.5)
	if s.N != 4 || !near(s.Mean, 4) || !near(s.SD, math.Sqrt(2.0/3)) {
		t.Errorf("n %d, mean %v, sd %v", s.N, s.Mean, s.SD)
	}
	if math.Abs(s.Low-3.03924) > 1e-5 || math.Abs(s.High-4.96076) > 1e-5 {
		t.Errorf("interval %.5f to %.5f, want 3.03924 to 4.96076", s.Low, s.High)
	}
}

func TestSummarizeFewFruit(t *testing.T) {
	none := Summarize(nil, eightStages, 0)
	if none.N != 0 || none.HasInterval() || len(none.Bins) != 8 {
		t.Errorf("no fruit: %+v", none)
	}
	one := Summarize(sample(3.4), eightStages, 0)
	if one.N != 1 || one.Mean != 3.4 || one.HasInterval() || one.Needed != 0 {
		t.Errorf("one fruit: %+v", one)
	}
	if alike := Summarize(sample(3, 3), eightStages, 0); alike.SD != 0 || alike.Low != 3 || alike.High != 3 {
		t.Errorf("two alike without common error: %+v", alike)
	}
}

func TestSummarizeLeavesUnscoredOut(t *testing.T) {
	fruit := sample(3, 7, 4, 5)
	fruit[1].Clipped = true
	fruit[2].Unscored = note.New(NoFlesh)
	fruit[3].Call.Borderline = true
	s := Summarize(fruit, eightStages, 0)
	if s.N != 2 || !near(s.Mean, 4) || !slices.Equal(s.Unscored, []int{2, 3}) || !slices.Equal(s.Borderline, []int{4}) {
		t.Errorf("%+v", s)
	}
}

func TestIntervalStaysOnScale(t *testing.T) {
	for _, scale := range []calibrate.Scale{{Stained: 1, Clear: 8}, {Stained: 8, Clear: 1}} {
		s := Summarize(sample(1, 8), Reference{Scale: scale}, 0)
		if s.Low != 1 || s.High != 8 {
			t.Errorf("%+v: %v to %v", scale, s.Low, s.High)
		}
	}
}

// The common error must not shrink with more fruit.
func TestCommonErrorDoesNotAverageOut(t *testing.T) {
	c := Common{Standard: 0.3}
	if got, want := meanInterval(1, 1_000_000, c, Confidence), 1.644854*0.3; math.Abs(got-want) > 1e-4 {
		t.Errorf("a million fruit: %.5f, want %.5f", got, want)
	}
	// sd²/n = 0.09 = c²: u = √0.18, ν = 0.18²/(0.09²/9) = 36, t(0.95, 36) = 1.688298.
	if got, want := meanInterval(math.Sqrt(0.9), 10, c, Confidence), 1.688298*math.Sqrt(0.18); math.Abs(got-want) > 1e-6 {
		t.Errorf("quadrature: %.6f, want %.6f", got, want)
	}
	// The same with 4 degrees of freedom behind c: ν = 0.18²/(0.09²/9 + 0.09²/4) = 11.0769.
	withFew := meanInterval(math.Sqrt(0.9), 10, Common{Standard: 0.3, Freedom: 4}, Confidence)
	if want := tQuantile(0.95, 0.18*0.18/(0.09*0.09/9+0.09*0.09/4)) * math.Sqrt(0.18); !near(withFew, want) {
		t.Errorf("few degrees of freedom: %v, want %v", withFew, want)
	}
}

// Blocks of known mean, fruit of known spread, measuring error both of each
// half and common to the tray: nine in ten intervals must hold the block's
// mean. 4000 blocks give the share to ± 0.015 (three standard errors).
func TestIntervalCoversTruth(t *testing.T) {
	const blocks = 4000
	for _, row := range []struct {
		n                     int
		fruit, noise, commonC float64
	}{
		{10, 0.8, 0.2, 0},
		{10, 0.8, 0.2, 0.2},
		{10, 0.4, 0.3, 0.5},
		{4, 0.8, 0.2, 0.3},
		{30, 0.8, 0.2, 0.3},
	} {
		rng := rand.New(rand.NewPCG(1, uint64(row.n)))
		held := 0
		for range blocks {
			const truth = 50.0
			common := rng.NormFloat64() * row.commonC
			var stages []float64
			for range row.n {
				stages = append(stages, truth+rng.NormFloat64()*row.fruit+rng.NormFloat64()*row.noise+common)
			}
			ref := Reference{Scale: calibrate.Scale{Stained: 0, Clear: 100}, Common: Common{Standard: row.commonC}}
			if s := Summarize(sample(stages...), ref, 1); s.Low <= truth && truth <= s.High {
				held++
			}
		}
		if share := float64(held) / blocks; math.Abs(share-Confidence) > 0.015 {
			t.Errorf("%+v: %.3f of intervals hold the truth", row, share)
		}
	}
}

func TestFruitNeeded(t *testing.T) {
	n, ok := FruitNeeded(0.8, Common{}, 0.5)
	if !ok || meanInterval(0.8, n, Common{}, Confidence) > 0.5 || meanInterval(0.8, n-1, Common{}, Confidence) <= 0.5 {
		t.Errorf("%d fruit is not the smallest number", n)
	}
	// 1.645 · 0.4 = 0.66 > 0.5 however many fruit.
	if n, ok := FruitNeeded(0.8, Common{Standard: 0.4}, 0.5); ok {
		t.Errorf("%d fruit cannot beat the common error", n)
	}
}

func TestUncalibratedIsAStageEitherWay(t *testing.T) {
	for _, scale := range []calibrate.Scale{{Stained: 1, Clear: 8}, {Stained: 8, Clear: 1}} {
		if got := Uncalibrated(scale).Standard; !near(got, 1/math.Sqrt(3)) {
			t.Errorf("%+v: %v", scale, got)
		}
	}
}

func TestBins(t *testing.T) {
	below := math.Nextafter(2.5, 0)
	for _, row := range []struct {
		name           string
		stained, clear float64
		stages         []float64
		want           []int
	}{
		{"whole stages, borders towards clear", 1, 8, []float64{1, 1.49, 1.5, below, 2.5, 8}, []int{2, 2, 1, 0, 0, 0, 0, 1}},
		{"a scale that falls", 5, 1, []float64{5, 4.5, 1, 1.2}, []int{1, 1, 0, 0, 2}},
		{"percent clear", 0, 100, []float64{0, 4, 5, 100}, []int{2, 1, 0, 0, 0, 0, 0, 0, 0, 0, 1}},
		{"a scale of one", 0, 1, []float64{0.1, 1}, []int{0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 1}},
		{"beyond the ends", 1, 3.5, []float64{-4, 40}, nil},
		{"no scale", 1, 1, []float64{1}, nil},
	} {
		got := bins(sample(row.stages...), calibrate.Scale{Stained: row.stained, Clear: row.clear})
		var counts []int
		total := 0
		for _, b := range got {
			counts = append(counts, b.Count)
			total += b.Count
		}
		if row.want != nil && !reflect.DeepEqual(counts, row.want) {
			t.Errorf("%s: %v, want %v", row.name, counts, row.want)
		}
		if got != nil && total != len(row.stages) {
			t.Errorf("%s: %d of %d stages counted", row.name, total, len(row.stages))
		}
	}
}

func TestNoOutlierAmongFewOrAlike(t *testing.T) {
	if o := Summarize(sample(3, 3, 3, 3, 3, 8), eightStages, 0).Outlier; o != nil {
		t.Errorf("six fruit are too few: %+v", *o)
	}
	if o := Summarize(sample(3, 3, 3, 3, 3, 3, 3, 3), eightStages, 0).Outlier; o != nil {
		t.Errorf("all alike: %+v", *o)
	}
}

func TestWarnings(t *testing.T) {
	ten := []float64{3.1, 3.9, 3.4, 4.2, 3.6, 2.8, 3.3, 3.8, 3.5, 3.0}
	clipped := append(sample(ten...), Fruit{Number: 11, Clipped: true}, Fruit{Number: 12, Clipped: true})
	common := eightStages
	common.Common = Common{Standard: 0.6}
	open := eightStages
	open.Calibrated = false
	for _, row := range []struct {
		name  string
		fruit []Fruit
		ref   Reference
		want  string // part of the only warning; empty for none
	}{
		{"ten good fruit", sample(ten...), eightStages, ""},
		{"none", nil, eightStages, "no half was scored"},
		{"one", sample(3), eightStages, "no interval"},
		{"nine", sample(ten[:9]...), eightStages, "only 9 fruit"},
		{"uncalibrated", sample(ten...), open, "not calibrated"},
		{"clipped", clipped, eightStages, "halves 11 and 12"},
		{"one clipped", clipped[:11], eightStages, "half 11 has no stage"},
		{"common error", sample(ten...), common, "calibrate the reference set"},
		{"at the end", sample(8, 8, 8, 8, 8, 7.8, 7.6, 7.9, 7.7, 7.5), eightStages, "5 of 10 fruit lie at stage 8.0"},
		{"apart", sample(3, 3.1, 3.2, 3, 3.1, 3.2, 3, 3.1, 3.2, 4.5), eightStages, "fruit 10, at stage 4.5"},
		{"uneven", sample(1.2, 7, 2, 6, 3, 5, 4, 4, 2.2, 6.5), eightStages, "fruit like these"},
	} {
		got := said(Summarize(row.fruit, row.ref, 0).Warnings)
		if row.want == "" && len(got) > 0 || row.want != "" && (len(got) != 1 || !strings.Contains(got[0], row.want)) {
			t.Errorf("%s: %q, want one with %q", row.name, got, row.want)
		}
	}
}
