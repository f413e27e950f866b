package scoring

import (
	"math"
	"testing"

	"traystage/scoring/instrument"
)

func TestDescribeByHand(t *testing.T) {
	// 3, 4, 4, 5: mean 4, sd 0.8165, half width 0.96076 as in TestSummarizeByHand.
	s := describe(SolidsOf, brixUnit, []value{{1, 3}, {2, 4}, {3, 4}, {4, 5}}, Common{})
	if s.N != 4 || !near(s.Mean, 4) || math.Abs(s.Low-3.03924) > 1e-5 || math.Abs(s.High-4.96076) > 1e-5 {
		t.Errorf("%+v", s)
	}
	if s := describe(RedOf, percentUnit, []value{{1, 2}, {2, 98}}, Common{}); s.Low != 0 || s.High != 100 {
		t.Errorf("a share runs from %v to %v", s.Low, s.High)
	}
	if s := describe(RedOf, percentUnit, nil, Common{}); s.N != 0 || s.HasInterval() {
		t.Errorf("nothing: %+v", s)
	}
	if s := describe(RedOf, percentUnit, []value{{4, 60}}, Common{}); s.N != 1 || s.Mean != 60 || s.HasInterval() {
		t.Errorf("one fruit: %+v", s)
	}
}

// The uranium data of TestGrubbsFindsUraniumOutlier as readings.
func TestOutlierOfReadings(t *testing.T) {
	var readings []value
	for i, v := range values(t, "grubbs_uranium.csv") {
		readings = append(readings, value{i + 11, v})
	}
	s := describe(SolidsOf, brixUnit, readings, Common{})
	if s.Outlier == nil || s.Outlier.Number != 18 || math.Abs(s.Outlier.G-2.468764611) > 1e-8 || s.N != 8 {
		t.Errorf("%+v", s)
	}
}

func TestStatisticsOfSample(t *testing.T) {
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: []float64{3, 4, 5}, firmness: []float64{70, 80, 90}, solid: []float64{11, 12, 13}, unit: instrument.Newton})
	warm := 25.0 // 0.4 °Brix more at 20 °C; International scale of 1936, as OIV-MA-AS2-02
	s.Readings[2].Solids.Compensated, s.Readings[2].Solids.Celsius = false, &warm
	red := 60.0
	s.Readings[0].Red = &red
	s.Readings[0].Ground = &instrument.Ground{Score: 2, Scale: "1-4 card"}
	s.Readings[1].Ground = &instrument.Ground{Score: 3, Scale: "1-4 card"}
	s.Readings[2].Ground = &instrument.Ground{Score: 8, Scale: "0-10"}
	r, err := Assess(Block{Name: "North"}, []Sample{s}, nil, nil, Options{Today: s.Picked, Unit: instrument.KilogramForce})
	if err != nil {
		t.Fatal(err)
	}
	want := []struct {
		quantity Quantity
		unit     string
		n        int
		mean     float64
	}{
		{FirmnessOf, "kgf", 3, 80 / 9.80665},
		{SolidsOf, "°Brix", 3, 36.4 / 3},
		{RedOf, "%", 1, 60},
		{GroundOf, "1-4 card", 2, 2.5},
		{GroundOf, "0-10", 1, 8},
	}
	if len(r.Statistics) != len(want) {
		t.Fatalf("%+v", r.Statistics)
	}
	for i, w := range want {
		if s := r.Statistics[i]; s.Quantity != w.quantity || s.Unit != w.unit || s.N != w.n || math.Abs(s.Mean-w.mean) > 1e-9 {
			t.Errorf("%+v, want %+v", s, w)
		}
	}
	if r.Stained.N != 3 || math.Abs(r.Stained.Mean-400.0/7) > 1e-9 { // (8-4)/7
		t.Errorf("stained share %+v", r.Stained)
	}
}

// Plates that sit high or low move stages, and no share of stained flesh.
func TestStainedShareHasNoErrorOfPlates(t *testing.T) {
	ref := eightStages
	ref.Common = Common{Standard: 0.7}
	e, err := examine(sampleOf(day(t, "2026-09-14"), fruits{ref: ref, stages: alike(4)}), instrument.Newton, Common{}, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := e.stained.High - e.stained.Mean; got > 1e-9 || e.stage.High-e.stage.Mean < 1 {
		t.Errorf("half width %v %%, of the stage %v", got, e.stage.High-e.stage.Mean)
	}
}
