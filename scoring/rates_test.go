package scoring

import (
	"bytes"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"traystage/scoring/trend"
)

// closedSeason is a season of so many blocks of which the pace half way, stages a
// day, strays by a factor from block to block.
func closedSeason(t *testing.T, r *rand.Rand, name string, blocks int, pace, factor float64) Closed {
	s := Closed{Name: name}
	for b := range blocks {
		block := Block{Name: name + string(rune('A'+b)), Variety: "Gala"}
		own := pace * math.Exp(math.Log(factor)*r.NormFloat64())
		for i := range 4 {
			d := float64(7*i) - 14
			f := fruits{}
			for range 20 {
				v := 1 + 7/(1+math.Exp(-4*own/7*d)) + 0.15*r.NormFloat64() + 0.8*r.NormFloat64()
				f.stages = append(f.stages, min(max(v, 1), 8))
				f.firmness = append(f.firmness, 17-0.15*d+r.NormFloat64())
			}
			one := sampleOf(day(t, "2025-09-01").AddDate(0, 0, 7*i), f)
			one.Block = block.Name
			s.Samples = append(s.Samples, one)
		}
		s.Blocks = append(s.Blocks, block)
	}
	return s
}

func TestLearnRates(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	seasons := []Closed{closedSeason(t, r, "2024", 4, 0.3, 1.2), closedSeason(t, r, "2025", 4, 0.3, 1.2)}
	seasons[1].Blocks = append(seasons[1].Blocks, Block{Name: "never sampled", Variety: "Gala"})
	rates, skipped := LearnRates(seasons)
	if !slices.Equal(skipped, []string{"2025: never sampled"}) {
		t.Errorf("skipped %q", skipped)
	}
	if len(rates) != 2 || rates[0].Quantity != FirmnessOf || rates[1].Quantity != StageOf {
		t.Fatalf("%+v", rates)
	}
	stage, firm := rates[1], rates[0]
	if math.Abs(math.Log(stage.PerDay/0.3)) > 0.25 || stage.Spread < 0.1 || stage.Spread > 0.45 || stage.Blocks != 8 || stage.Seasons != 2 {
		t.Errorf("stage %+v", stage)
	}
	if math.Abs(math.Log(firm.PerDay/-0.15)) > 0.3 {
		t.Errorf("firmness %+v", firm)
	}
	again, err := ReadRates(bytes.NewReader(RatesTable(rates)), "rates")
	if err != nil || len(again) != 2 || math.Abs(again[1].PerDay-stage.PerDay) > 1e-4 {
		t.Errorf("read again: %+v, %v", again, err)
	}
	// Used when asked, and marked.
	samples := ripening(t, 8)
	opt := Options{Today: samples[0].Picked, Rates: again, Lean: true}
	rep, err := Assess(Block{Name: "North", Variety: "Gala", Market: "long CA"}, samples, shipped(t), nil, opt)
	if err != nil {
		t.Fatal(err)
	}
	if rep.Window == nil || !rep.Window.Closes.Usual || !strings.Contains(rep.Season[0].Trend.Prior.From, "8 blocks of 2 closed seasons") {
		t.Errorf("%+v", rep.Window)
	}
}

// The variance between studies of DerSimonian and Laird, worked by hand: effects
// 0, 1 and 2 of variance 0.25 each have Q = 8, so (8-2)/(12-48/12) = 0.75.
func TestBetweenBlocks(t *testing.T) {
	all := []learnt{{log: 0, variance: 0.25}, {log: 1, variance: 0.25}, {log: 2, variance: 0.25}}
	want := (2*0.75 + apartCounts*usualApart*usualApart) / (2 + apartCounts)
	if got := betweenBlocks(all); math.Abs(got-want) > 1e-12 {
		t.Errorf("%.4f, want %.4f", got, want)
	}
}

func TestReadRatesRefuses(t *testing.T) {
	head := strings.Join(rateColumns, ",") + "\n"
	for text, want := range map[string]string{
		"": "first line", "a,b\n": "first line",
		head + ",stage,1-8,0.2,0.3,1,1\n":               "rates:2: no variety",
		head + "Gala,size,mm,0.2,0.3,1,1\n":             "has no usual rate",
		head + "Gala,stage,1-8,fast,0.3,1,1\n":          "no rate a day",
		head + "Gala,stage,1-8,0.2,0,1,1\n":             "no spread",
		head + "Gala,firmness,lbf,0.2,0.3,1,1\n":        "firmness falls",
		head + "Gala,firmness,stone,-0.2,0.3,1,1\n":     "stone",
		head + "Gala,soluble solids,°Brix,-1,0.3,1,1\n": "solids rise",
		head + "Gala,stage,6-1,0.2,0.3,1,1\n":           "stages go to 1",
		head + "Gala,stage,ours,0.2,0.3,1,1\n":          "no scale",
	} {
		if _, err := ReadRates(strings.NewReader(text), "rates"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v, want %q", text, err, want)
		}
	}
}

func FuzzReadRates(f *testing.F) {
	f.Add(string(RatesTable([]UsualRate{{"Gala", StageOf, "1-8", 0.2, 0.3, 4, 2}})))
	f.Fuzz(func(t *testing.T, text string) {
		rates, err := ReadRates(strings.NewReader(text), "rates")
		if err != nil {
			return
		}
		again, err := ReadRates(bytes.NewReader(RatesTable(rates)), "rates")
		for _, r := range rates {
			if math.Abs(r.PerDay) < 1e-4 || r.Spread < 1e-3 {
				return // too small for the digits that are written
			}
		}
		if err != nil || len(again) != len(rates) {
			t.Errorf("%q: %v", text, err)
		}
	})
}

// A rate that was learnt is the block's own, with the doubt that its samples leave.
func TestPaceOfOneBlock(t *testing.T) {
	var samples []trend.Sample
	for i := range 5 {
		samples = append(samples, trend.Sample{Day: day(t, "2026-09-01").AddDate(0, 0, 7*i), Value: 19 - 0.14*float64(7*i), Standard: 0.2, N: 20})
	}
	rate, spread, err := trend.Pace(trend.Falling(), samples, trend.Options{})
	if err != nil || math.Abs(rate+0.14) > 0.03 || spread < 0.05 || spread > 0.4 {
		t.Errorf("%.3f with %.2f, %v", rate, spread, err)
	}
}
