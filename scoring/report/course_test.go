package report

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/trend"
)

func TestWindowInWords(t *testing.T) {
	on := day(time.September, 16)
	reached := func(by string, target float64, d int) trend.Edge {
		return trend.Edge{By: by, Forecast: trend.Forecast{Target: target, Reach: trend.Reached, Day: day(time.September, d)}}
	}
	late := trend.Edge{By: "firmness", Forecast: trend.Forecast{Target: 16, Reach: trend.NotInTime}}
	for name, row := range map[string]struct {
		w     trend.Window
		words string
		with  string // of the closing end
		note  string // that must be among the notes
	}{
		"both": {trend.Window{On: on, State: trend.Open, Chance: 0.954, Opens: reached("stage", 2, 10), Closes: reached("stage", 4, 20)},
			"10 Sep to 20 Sep 2026", "stage 4.0", "by the trends the window is open on 16 September 2026, with a chance of 95 in 100"},
		"no end in time": {trend.Window{On: on, State: trend.Open, Opens: reached("stage", 2, 10), Closes: late},
			"opens 10 Sep 2026", "firmness 16.0: not in time", ""},
		"no beginning asked": {trend.Window{On: on, State: trend.Open, Closes: reached("stage", 4, 20)}, "closes 20 Sep 2026", "stage 4.0", ""},
		"never": {trend.Window{On: on, State: trend.NotYet, Never: true, Opens: reached("soluble solids", 12, 25), Closes: reached("stage", 4, 20)},
			"", "stage 4.0", "as the trends run, it is all but ruled out that the block meets its standard on any day: the window closes before it opens"},
		"untold": {trend.Window{On: on, State: trend.CannotTell, Opens: trend.Edge{Untold: []string{"stage"}}, Closes: trend.Edge{Untold: []string{"stage", "firmness"}}},
			"", "", "nothing tells when the target is reached of: stage, firmness"},
		"nothing": {trend.Window{On: on, State: trend.CannotTell}, "", "", ""},
	} {
		got := penOf(nil).newWindow(row.w)
		if penOf(nil).inWords(got) != row.words || got.closes.with != row.with {
			t.Errorf("%s: %q, closes with %q, want %q, %q", name, penOf(nil).inWords(got), got.closes.with, row.words, row.with)
		}
		if row.note != "" && !slices.Contains(penOf(nil).SayAll(got.notes), row.note) {
			t.Errorf("%s: notes %q, want %q", name, got.notes, row.note)
		}
	}
	usual := penOf(nil).newWindow(trend.Window{On: on, Opens: trend.Edge{Forecast: trend.Forecast{Usual: true}}})
	if !strings.Contains(strings.Join(penOf(nil).SayAll(usual.notes), " "), "usual rate") {
		t.Errorf("no word on the usual rate: %q", usual.notes)
	}
}

// The band is what the trend says, from the first sample to two weeks beyond the
// last one or the day of the report, whichever is later.
func TestBand(t *testing.T) {
	b := northBlock(t)
	s := b.Season[0]
	fit := s.Trend
	got := band(s, b.Origin.Day)
	first, last := got[0], got[len(got)-1]
	if !first.day.Equal(day(time.August, 31)) || !last.day.Equal(day(time.September, 30)) || len(got) != 31 {
		t.Errorf("%d days from %v to %v", len(got), first.day, last.day)
	}
	if last.Estimate != fit.At(last.day) || math.IsNaN(last.Value) {
		t.Errorf("on the last day %v, the trend says %v", last.Estimate, fit.At(last.day))
	}
	bare := s
	bare.Trend = nil
	if band(bare, b.Origin.Day) != nil || band(scoring.Series{Trend: fit}, b.Origin.Day) != nil {
		t.Error("a band without a trend or without samples")
	}
}

// The last name ends before the chart does, however long the time and whatever else stands beside the axis.
func TestDayTicksAreNotCutOff(t *testing.T) {
	const names = 80 // of the widest chart's other axis, points
	for days := 3.0; days < 200; days++ {
		for _, tick := range penOf(nil).dayTicks(day(time.September, 1), 0, days) {
			right := (days - tick.Value) / days * (document.ChartWidth - names).Points()
			if half := textStyle().Width(tick.Label).Points() / 2; half > right {
				t.Errorf("%v days: %q is %.0f points wide and has %.0f to its right", days, tick.Label, 2*half, right)
			}
		}
	}
}

func TestDayTicks(t *testing.T) {
	for days, want := range map[float64]string{
		4:  "2 Sep 3 Sep 4 Sep",
		40: "8 Sep 15 Sep 22 Sep 29 Sep 6 Oct",
		90: "15 Sep 29 Sep 13 Oct 27 Oct 10 Nov",
	} {
		var got []string
		for _, tick := range penOf(nil).dayTicks(day(time.September, 1), 0, days) {
			got = append(got, tick.Label)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%v days: %q, want %q", days, got, want)
		}
	}
}
