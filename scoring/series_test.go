package scoring

import (
	"math"
	"testing"

	"traystage/scoring/instrument"
)

func TestSeasonSeries(t *testing.T) {
	first := sampleOf(day(t, "2026-09-07"), fruits{stages: alike(3), firmness: alike(18)})
	second := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(4), firmness: alike(17), solid: alike(12)})
	other := sampleOf(day(t, "2026-08-31"), fruits{ref: tenStages, stages: alike(2)})
	r := assess(t, Block{Name: "North", Variety: "Gala", Market: "long CA"}, shipped(t), other, first, second)
	want := []struct {
		quantity      Quantity
		unit          string
		means         []float64
		opens, closes Limit
	}{
		{StageOf, "1-8", []float64{3, 4}, At(3), At(6)},
		{StainedOf, "%", []float64{600.0 / 7, 500.0 / 7, 400.0 / 7}, Limit{}, Limit{}},
		{FirmnessOf, "lbf", []float64{18, 17}, Limit{}, At(18)},
		{SolidsOf, "°Brix", []float64{12}, Limit{}, Limit{}},
		{StreifOf, "lbf, 1-8", []float64{17.0 / 48}, Limit{}, Limit{}},
	}
	if len(r.Season) != len(want) {
		t.Fatalf("%+v", r.Season)
	}
	for i, w := range want {
		s := r.Season[i]
		if s.Quantity != w.quantity || s.Unit != w.unit || s.Opens != w.opens || s.Closes != w.closes || len(s.Points) != len(w.means) {
			t.Errorf("%+v, want %+v", s, w)
			continue
		}
		for j, p := range s.Points {
			if math.Abs(p.Mean-w.means[j]) > 1e-9 || p.N != 10 || !p.HasInterval {
				t.Errorf("%s: %+v, want %v", s.Quantity, p, w.means[j])
			}
		}
	}
	if p := r.Season[0].Points[0]; !p.Day.Equal(first.Picked) {
		t.Errorf("first stage on %s", p.Day)
	}
}

// The clear share is asked for, the stained one drawn.
func TestSeriesOfClearShare(t *testing.T) {
	row := Standard{Variety: "Gala", Market: "store", Scale: percentClear, Opens: At(25), Closes: At(35), Firmness: Range{From: At(15)}, FirmnessUnit: instrument.PoundForce}
	r := assess(t, Block{Name: "North", Variety: "Gala", Market: "store"}, []Standard{row}, sampleOf(day(t, "2026-09-14"), fruits{stages: alike(4)}))
	for _, s := range r.Season {
		if s.Quantity == StainedOf && (s.Opens != At(75) || s.Closes != At(65)) {
			t.Errorf("stained share opens %v, closes %v", s.Opens, s.Closes)
		}
	}
}
