package scoring

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"traystage/calibrate"
	"traystage/scoring/instrument"
)

var tenStages = Reference{
	Name: "ten", Version: "1", Calibrated: true,
	Scale: calibrate.Scale{Stained: 1, Clear: 10, Step: 0.1},
}

// Worked values of the index in testdata/checks/streif.csv: firmness / (soluble
// solids × stage), in kgf and, times 9.80665, in N.
func TestStreifWorkedValues(t *testing.T) {
	done := 0
	for _, row := range checkRows(t, "streif.csv") {
		var f, brix, stage, newton float64
		if _, err := fmt.Sscanf(row["item"], "worked example F=%f kgf SSC=%f starch=%f", &f, &brix, &stage); err != nil {
			continue
		}
		if _, err := fmt.Sscanf(row["note"], "N form %f", &newton); err != nil {
			t.Fatal(err)
		}
		s := sampleOf(day(t, "2026-09-14"), fruits{ref: tenStages, stages: alike(stage), firmness: alike(f), solid: alike(brix), unit: instrument.KilogramForce})
		for unit, want := range map[instrument.Unit]float64{instrument.KilogramForce: number(t, row["lower"]), instrument.Newton: newton} {
			e, err := examine(s, instrument.KilogramForce, Common{}, 0)
			if err != nil {
				t.Fatal(err)
			}
			got := e.streif(unit)
			if got == nil || math.Abs(got.OfMeans-want) > 1e-6 || math.Abs(got.OfFruit.Mean-want) > 1e-6 || got.OfFruit.N != 10 {
				t.Errorf("%s in %s: %+v, want %v", row["item"], unit, got, want)
			}
		}
		done++
	}
	if done != 4 {
		t.Errorf("%d worked values done, want 4", done)
	}
}

// The means of the published Gala sample of 26 August 2024, on 1-8.
func TestStreifOfPublishedMeans(t *testing.T) {
	s := sampleOf(day(t, "2024-08-26"), fruits{stages: alike(6), firmness: alike(17.2), solid: alike(12.8)})
	r := assess(t, Block{Name: "North", Variety: "Gala"}, shipped(t), s)
	if r.Streif == nil || r.Streif.Unit != instrument.PoundForce || math.Abs(r.Streif.OfMeans-17.2/(12.8*6)) > 1e-12 {
		t.Fatalf("in the unit read: %+v", r.Streif)
	}
	e, err := examine(s, instrument.PoundForce, Common{}, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := e.streif(instrument.Newton).OfMeans; math.Abs(got-0.996216) > 1e-6 {
		t.Errorf("%v N, want 0.996216", got)
	}
}

func TestIndexOfMeansIsNotMeanOfIndices(t *testing.T) {
	// Two fruit: 6/(10·2) = 0.3 and 9/(12·5) = 0.15, mean 0.225; of means 7.5/(11·3.5) = 0.194805.
	s := sampleOf(day(t, "2026-09-14"), fruits{ref: tenStages, stages: []float64{2, 5}, firmness: []float64{6, 9}, solid: []float64{10, 12}, unit: instrument.KilogramForce})
	e, err := examine(s, instrument.KilogramForce, Common{}, 0)
	if err != nil {
		t.Fatal(err)
	}
	got := e.streif(instrument.KilogramForce)
	if math.Abs(got.OfMeans-7.5/38.5) > 1e-12 || math.Abs(got.OfFruit.Mean-0.225) > 1e-12 {
		t.Errorf("of means %v, of fruit %v", got.OfMeans, got.OfFruit.Mean)
	}
}

// The index of two fruit that differ much cannot be below nothing.
func TestStreifIntervalStaysAboveNothing(t *testing.T) {
	s := sampleOf(day(t, "2026-09-14"), fruits{ref: tenStages, stages: []float64{1, 9}, firmness: []float64{10, 5}, solid: []float64{9, 15}, unit: instrument.KilogramForce})
	if r := assess(t, Block{Name: "North"}, nil, s); r.Streif.Low != 0 || r.Streif.High <= r.Streif.OfMeans {
		t.Errorf("%+v", r.Streif)
	}
}

// An index belongs to its unit and its scale of starch.
func TestStreifIsNotComparedAcross(t *testing.T) {
	s := sampleOf(day(t, "2026-09-14"), fruits{ref: tenStages, stages: alike(6), firmness: alike(7), solid: alike(13), unit: instrument.KilogramForce}) // 0.0897 kgf
	for _, row := range []struct {
		name     string
		standard Standard
		side     State
		want     string
	}{
		{"within", Standard{Scale: "1-10", StreifUnit: instrument.KilogramForce, Streif: Range{At(0.08), At(0.1)}}, Open, "0.090 is within 0.080 to 0.100"},
		{"within, in N", Standard{Scale: "1-10", StreifUnit: instrument.Newton, Streif: Range{At(0.8), At(0.9)}}, Open, "0.88 is within 0.80 to 0.90"},
		{"too high is too early", Standard{Scale: "1-10", StreifUnit: instrument.KilogramForce, Streif: Range{At(0.05), At(0.08)}}, TooEarly, "has 0.010 to go to 0.080, where the standard opens"},
		{"too low is past", Standard{Scale: "1-10", StreifUnit: instrument.KilogramForce, Streif: Range{At(0.1), At(0.2)}}, Past, "is 0.010 past 0.100, where the standard closes"},
		{"optimum", Standard{Scale: "1-10", StreifUnit: instrument.KilogramForce, Streif: Range{At(0.09), At(0.09)}}, Open, "from the optimum 0.090"},
		{"another scale", Standard{Scale: "1-8", StreifUnit: instrument.KilogramForce, Streif: Range{At(0.08), At(0.1)}}, NoVerdict, "scale 1-8, that of the block on 1-10"},
		{"no scale", Standard{StreifUnit: instrument.KilogramForce, Streif: Range{At(0.08), At(0.1)}}, NoVerdict, "on which scale"},
		{"no unit", Standard{Scale: "1-10", Streif: Range{At(0.08), At(0.1)}}, NoVerdict, "in which unit"},
	} {
		row.standard.Variety, row.standard.Market = "Gala", "store"
		c := assess(t, Block{Name: "North", Variety: "Gala", Market: "store"}, []Standard{row.standard}, s).Verdict.Criteria[0]
		if c.Side != row.side || !strings.Contains(say(c.Why), row.want) {
			t.Errorf("%s: %s, %q", row.name, c.Side, say(c.Why))
		}
	}
	if r := assess(t, Block{Name: "North"}, nil, numbered(t, []int{1, 2}, []int{1, 2})); r.Streif != nil {
		t.Errorf("without firmness: %+v", r.Streif)
	}
	for _, scale := range []calibrate.Scale{{Stained: 6, Clear: 1, Step: 0.1}, {Stained: 0, Clear: 10, Step: 0.1}} {
		s = sampleOf(day(t, "2026-09-14"), fruits{ref: Reference{Scale: scale}, stages: alike(3), firmness: alike(7), solid: alike(13), unit: instrument.KilogramForce})
		if r := assess(t, Block{Name: "North"}, nil, s); r.Streif != nil {
			t.Errorf("on a scale that falls or begins at 0: %+v", r.Streif)
		}
	}
}

// Blocks whose ripe fruit are soft, sweet and clear at once: nine in ten
// intervals must hold the index of the block's true means. 3000 blocks give the
// share to ± 0.016 (three standard errors).
func TestStreifIntervalCoversTruth(t *testing.T) {
	const blocks = 3000
	rng := rand.New(rand.NewPCG(7, 7))
	truth := streifIndex(7.5, 12, 4)
	held := 0
	for range blocks {
		var f fruits
		f.ref, f.unit = tenStages, instrument.KilogramForce
		for range 12 {
			ripe := rng.NormFloat64()
			f.stages = append(f.stages, 4+0.5*ripe+0.2*rng.NormFloat64())
			f.firmness = append(f.firmness, 7.5-0.4*ripe+0.3*rng.NormFloat64())
			f.solid = append(f.solid, 12+0.5*ripe+0.3*rng.NormFloat64())
		}
		e, err := examine(sampleOf(day(t, "2026-09-14"), f), f.unit, Common{}, 0)
		if err != nil {
			t.Fatal(err)
		}
		if s := e.streif(f.unit); s.Low <= truth && truth <= s.High {
			held++
		}
	}
	if share := float64(held) / blocks; math.Abs(share-Confidence) > 0.016 {
		t.Errorf("%.3f of intervals hold the truth", share)
	}
}
