package scoring

import (
	"slices"
	"strings"
	"testing"

	"traystage/scoring/instrument"
)

// A row without a market adds what the market's own row does not ask.
func TestRowForAllMarkets(t *testing.T) {
	rows := []Standard{
		{Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: At(3), Closes: At(6)},
		{Variety: "Gala", Scale: "1-8", Opens: At(5), Solids: Range{From: At(12)}, Note: "all markets"},
		{Variety: "Gala", Scale: "1-10", Streif: Range{At(0.09), At(0.09)}, StreifUnit: instrument.KilogramForce},
	}
	block := Block{Name: "North", Variety: "Gala", Market: "long CA"}
	of := func(solid float64) Verdict {
		return assess(t, block, rows, sampleOf(day(t, "2026-09-14"), fruits{stages: alike(4), solid: alike(solid)})).Verdict
	}
	v := of(12.5)
	var quantities []Quantity
	for _, c := range v.Criteria {
		quantities = append(quantities, c.Quantity)
	}
	if !slices.Equal(quantities, []Quantity{StageOf, SolidsOf, StreifOf}) || v.Criteria[0].Opens != At(3) {
		t.Errorf("criteria %v, stage opens %v", quantities, v.Criteria[0].Opens)
	}
	if v.State != Open || !v.Sure {
		t.Errorf("an index on another scale counts: %s, sure %v: %q", v.State, v.Sure, v.Why)
	}
	if v := of(11); v.State != TooEarly {
		t.Errorf("solids of the row for all markets do not count: %s", v.State)
	}
	block.Market = ""
	if v := of(12.5); v.State != NoVerdict || len(v.Criteria) != 3 {
		t.Errorf("without a market: %s with %d criteria", v.State, len(v.Criteria))
	}
}

// Only markets that can be told, for fruit of the harvest, are offered.
func TestServesOnlyWhatCanBeTold(t *testing.T) {
	rows := []Standard{
		{Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: At(3), Closes: At(6)},
		{Variety: "Gala", Market: "from the store", Stored: true, Scale: "1-8", Opens: At(3)},
		{Variety: "Gala", Market: "another chart", Scale: "1-6", Opens: At(3)},
		{Variety: "Gala", Market: "firm", Firmness: Range{From: At(14)}, FirmnessUnit: instrument.PoundForce},
		{Variety: "Gala", Market: "short CA", Scale: "1-8", Opens: At(3)},
	}
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(6.5), firmness: alike(17)})
	v := assess(t, Block{Name: "North", Variety: "Gala", Market: "long CA"}, rows, s).Verdict
	if len(v.Serves) != 2 || v.Serves[0].State != Past || v.Serves[1].Market != "short CA" || v.Serves[1].State != Open {
		t.Errorf("%+v", v.Serves)
	}
	v = assess(t, Block{Name: "North", Variety: "Gala", Market: "another chart"}, rows, s).Verdict
	if v.State != NoVerdict || len(v.Serves) != 3 || v.Serves[1].State != NoVerdict || !strings.Contains(say(v.Serves[1].Why), "not compared") {
		t.Errorf("%s, %+v", v.State, v.Serves)
	}
}

// A share of stain that may lie on either side of a target, told as clear.
func TestClearShareKeepsItsInterval(t *testing.T) {
	row := Standard{Variety: "Gala", Market: "store", Scale: percentClear, Opens: At(50)}
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: []float64{2, 3, 4, 5, 6, 2, 3, 4, 5, 6}})
	c := assess(t, Block{Name: "North", Variety: "Gala", Market: "store"}, []Standard{row}, s).Verdict.Criteria[0]
	if !(c.Low < c.Value && c.Value < c.High) || c.Outcome != Unsure || c.Side != TooEarly {
		t.Errorf("%+v", c)
	}
}

// Firmness under a pear tip is shown, but not held against a standard.
func TestOtherTipIsNotCompared(t *testing.T) {
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(4), firmness: alike(12)})
	s.Readings[0].Firmness.Tip = 8
	r := assess(t, Block{Name: "North", Variety: "Gala", Market: "long CA"}, shipped(t), s)
	if c := r.Verdict.Criteria[1]; c.Outcome != NotJudged || !strings.Contains(say(c.Why), "another tip") || r.Verdict.State != Open || r.Verdict.Sure {
		t.Errorf("%s, sure %v: %+v", r.Verdict.State, r.Verdict.Sure, c)
	}
	if len(r.Statistics) != 1 || r.Statistics[0].Quantity != FirmnessOf {
		t.Errorf("firmness is not shown: %+v", r.Statistics)
	}
}

// Trays of one sample on two sets: as uncertain as the worse of them.
func TestTraysOnTwoSets(t *testing.T) {
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(4)})
	rough := eightStages
	rough.Name, rough.Calibrated, rough.Common = "rough", false, Common{Standard: 0.6}
	for _, order := range [][]Reference{{eightStages, rough}, {rough, eightStages}} {
		s.Trays = []Report{{Reference: order[0], Fruit: s.Trays[0].Fruit[:5]}, {Reference: order[1], Fruit: s.Fruit()[5:]}}
		r := assess(t, Block{Name: "North"}, nil, s)
		warned := allSaid(r.Warnings)
		if r.Stage.N != 10 || r.Stage.Common != 0.6 || !strings.Contains(warned, "not calibrated") || !strings.Contains(warned, "2 reference sets") {
			t.Errorf("n %d, common %v, %q", r.Stage.N, r.Stage.Common, warned)
		}
		if len(r.Origin.Sets) != 2 {
			t.Errorf("made from %+v", r.Origin.Sets)
		}
	}
}
