package report

import (
	"slices"
	"strings"
	"testing"
	"time"

	"traystage/scoring"
)

// past are two earlier seasons of the north block's stage: one nine days ahead, one that was
// followed much longer.
func past(t *testing.T, b Block) scoring.Comparison {
	t.Helper()
	i := slices.IndexFunc(b.Season, func(s scoring.Series) bool { return s.Quantity == scoring.StageOf })
	if i < 0 {
		t.Fatal("the block has no course of its stage")
	}
	now := b.Season[i]
	year := func(name string, year, shift int, means ...float64) scoring.YearCurve {
		out := scoring.YearCurve{Season: name}
		for k, mean := range means {
			day := now.Points[0].Day.AddDate(0, 0, shift+7*k)
			out.Points = append(out.Points, scoring.YearPoint{
				Day:     day.Sub(time.Date(day.Year(), 1, 1, 0, 0, 0, 0, time.UTC)).Hours() / 24,
				DayMean: scoring.DayMean{Day: day.AddDate(year-day.Year(), 0, 0), Mean: mean},
			})
		}
		return out
	}
	own := year("larkfield-2026", now.Points[0].Day.Year(), 0, now.Points[0].Mean)
	return scoring.Comparison{Quantities: []scoring.Compared{{Quantity: now.Quantity, Unit: now.Unit, Years: []scoring.YearCurve{
		own, year("larkfield-2025", 2025, -9, 2, 2.9, 3.8, 4.6), year("larkfield-2024", 2024, -60, 1, 1, 1, 1, 1, 1, 1, 1.3, 1.9, 2.2, 3, 3.5, 5.1),
	}}}}
}

func TestEarlierSeasonsBehindACourse(t *testing.T) {
	b := Block{BlockReport: northBlock(t).BlockReport}
	b.Earlier = past(t, b)
	for _, c := range b.Season {
		earlier := b.earlier(c)
		if c.Quantity != scoring.StageOf {
			if len(earlier) > 0 {
				t.Errorf("%s has earlier seasons of another quantity", c.Quantity)
			}
			continue
		}
		if len(earlier) != 2 {
			t.Fatalf("%d earlier seasons, want 2", len(earlier))
		}
		first := c.Points[0].Day
		if got, want := earlier[0].points[0].day, first.AddDate(0, 0, -9); !got.Equal(want) || earlier[0].year != 2025 {
			t.Errorf("%d begins on %v of this year, want %v", earlier[0].year, got, want)
		}
		// Sixty days before is out of sight.
		if got := earlier[1].points[0].day; got.Before(first.AddDate(0, 0, -before)) {
			t.Errorf("the long season is drawn from %v", got)
		}
		chart, err := penOf(nil).courseChart(c, band(c, b.Origin.Day), earlier, b.Origin.Day)
		if err != nil {
			t.Fatal(err)
		}
		sameChart(t, "course_earlier.png", chart)
		if said := penOf(nil).spokenSeries(c, earlier); !strings.Contains(said, "larkfield-2025 from 2.0 on") {
			t.Errorf("in words: %s", said)
		}
	}
}
