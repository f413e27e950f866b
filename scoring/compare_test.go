package scoring

import (
	"math"
	"testing"
	"time"
)

// year is a season whose stage passes 4.5 so many days after 1 September of the
// year, at a pace of 0.26 stages a day.
func year(t *testing.T, name string, y int, half float64, bloom time.Time) Year {
	out := Year{Season: name, Block: Block{Name: "North", Variety: "Gala"}, Bloom: bloom}
	first := time.Date(y, time.September, 1, 0, 0, 0, 0, time.UTC)
	for _, d := range []float64{0, 7, 14} {
		stage := 1 + 7/(1+math.Exp(-0.15*(d-half)))
		s := sampleOf(first.AddDate(0, 0, int(d)), fruits{stages: alike(stage), firmness: alike(19 - 0.15*d)})
		out.Samples = append(out.Samples, s)
	}
	return out
}

func TestCompareSeasons(t *testing.T) {
	bloom := func(y, d int) time.Time { return time.Date(y, time.April, d, 0, 0, 0, 0, time.UTC) }
	now := year(t, "2026", 2026, 12, bloom(2026, 25))
	last := year(t, "2025", 2025, 8, bloom(2025, 20)) // four days earlier by the calendar, one day later from bloom
	c, err := Compare(now, []Year{last, {Season: "2024", Block: now.Block, Bloom: bloom(2024, 22)}})
	if err != nil {
		t.Fatal(err)
	}
	if !c.FromBloom || c.Quantities[0].Quantity != StageOf || len(c.Quantities[0].Years) != 2 {
		t.Fatalf("%+v", c)
	}
	before := c.Quantities[0].Years[1]
	if !before.Known || math.Abs(before.Ahead-1) > 1 || before.Low >= before.Reached || before.High <= before.Reached {
		t.Errorf("from bloom: %+v", before)
	}
	if !before.HasRate || math.Abs(before.Rate.Value-0.26) > 0.06 {
		t.Errorf("rate %+v", before.Rate)
	}
	last.Bloom = time.Time{}
	c, err = Compare(now, []Year{last})
	if err != nil || c.FromBloom || math.Abs(c.Quantities[0].Years[1].Ahead+4) > 1 {
		t.Errorf("by the calendar: %v, %+v", err, c)
	}
	if _, err := Compare(Year{Season: "2026", Block: now.Block}, []Year{last}); err == nil {
		t.Error("a season without a sample was compared")
	}
}
