package scoring

import (
	"math"
	"strings"
	"testing"
	"time"

	"traystage/scoring/instrument"
	"traystage/scoring/trend"
)

// ripening makes samples of a block on days of September whose stage follows an
// S-curve through 4.5 on the 12th, and whose firmness falls by 0.2 lbf a day
// from 20.2 on the 1st: it is 18 on the 12th and 17 on the 17th.
func ripening(t *testing.T, days ...int) []Sample {
	var out []Sample
	for _, d := range days {
		on := day(t, "2026-09-01").AddDate(0, 0, d-1)
		stage := 1 + 7/(1+math.Exp(-0.15*float64(d-12)))
		out = append(out, sampleOf(on, fruits{stages: alike(stage), firmness: alike(20.4 - 0.2*float64(d))}))
	}
	return out
}

func onDay(t *testing.T, market string, today int, samples []Sample) BlockReport {
	t.Helper()
	at := day(t, "2026-09-01").AddDate(0, 0, today-1)
	r, err := Assess(Block{Name: "North", Variety: "Gala", Market: market}, samples, shipped(t), checked(at), Options{Today: at})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestWindowOfBlock(t *testing.T) {
	// The stage passes 3 where 1 + 7p = 3: p = 2/7, ln(2/5)/0.15 = -6.1 days from
	// the 12th; 6 where p = 5/7, 6.1 days after. Firmness closes first, on the 12th.
	r := onDay(t, "long CA", 8, ripening(t, 1, 4, 8))
	w := r.Window
	if w == nil || w.Opens.Day.Day() != 5 && w.Opens.Day.Day() != 6 || w.Closes.By != "firmness" || math.Abs(float64(w.Closes.Day.Day()-12)) > 1 {
		t.Fatalf("%+v", w)
	}
	if !w.Closes.Low.Before(w.Closes.Day) || !w.Closes.High.After(w.Closes.Day) {
		t.Errorf("close on %s, %s to %s", w.Closes.Day, w.Closes.Low, w.Closes.High)
	}
	if r.Verdict.State != Open || r.Now != Closing {
		t.Errorf("sampled %s, now %s; want open, closing within four days", r.Verdict.State, r.Now)
	}
}

// What was sampled is followed to the day of the report, never back.
func TestStateIsFollowedToTheDay(t *testing.T) {
	for _, row := range []struct {
		today   int
		sampled State
		now     State
	}{
		{4, TooEarly, TooEarly},
		{7, TooEarly, Open},
		{10, TooEarly, Closing},
		{16, TooEarly, Past},
	} {
		r := onDay(t, "long CA", row.today, ripening(t, 1, 4))
		if r.Verdict.State != row.sampled || r.Now != row.now {
			t.Errorf("on the %d.: sampled %s, now %s; want %s, %s", row.today, r.Verdict.State, r.Now, row.sampled, row.now)
		}
	}
	if r := onDay(t, "long CA", 16, ripening(t, 1, 4)); r.nextSample(r.Origin.Day).IsZero() {
		t.Errorf("past by the trend alone, and no sample is due")
	}
	soft := ripening(t, 1, 4, 8)
	soft[2] = sampleOf(soft[2].Picked, fruits{stages: alike(3.6), firmness: alike(17.9)})
	if r := onDay(t, "long CA", 9, soft); r.Now != Past {
		t.Errorf("a trend brought back what was %s: %s", r.Verdict.State, r.Now)
	}
}

// Picked the day after long CA closes, on the 13th, the block still serves what
// asks for less firmness.
func TestServesAfterTheClose(t *testing.T) {
	r := onDay(t, "long CA", 8, ripening(t, 1, 4, 8))
	late := map[string]State{}
	for _, s := range r.Verdict.Serves {
		late[s.Market] = s.Late
	}
	if late["long CA"] != Past || late["mid CA"] == Past || late["mid CA"] == "" || late["short CA or cold"] != Open {
		t.Errorf("%v", late)
	}
}

func TestOneSampleGivesNoTrend(t *testing.T) {
	r := onDay(t, "long CA", 8, ripening(t, 8))
	if r.Window != nil || r.Now != r.Verdict.State || !strings.Contains(allSaid(r.Warnings), "one day's samples give no trend") {
		t.Errorf("%+v, %s, %q", r.Window, r.Now, r.Warnings)
	}
	for _, s := range r.Season {
		if s.Trend != nil || s.NoTrend.IsZero() {
			t.Errorf("%s: %+v", s.Quantity, s)
		}
	}
}

// A standard on the clear share is followed by the stained one: 25 % clear is
// 2 of 8 parts, ln(1/3)/0.15 = -7.3 days from the 12th.
func TestWindowOfClearShare(t *testing.T) {
	row := Standard{Variety: "Gala", Market: "store", Scale: percentClear, Opens: At(25), Closes: At(50)}
	samples := ripening(t, 1, 4, 8)
	r, err := Assess(Block{Name: "North", Variety: "Gala", Market: "store"}, samples, []Standard{row}, nil, Options{Today: samples[2].Picked})
	if err != nil {
		t.Fatal(err)
	}
	if w := r.Window; w == nil || math.Abs(float64(w.Opens.Day.Day())-4.7) > 1 || math.Abs(float64(w.Closes.Day.Day())-12) > 1 {
		t.Errorf("%+v", w)
	}
}

// The index of a standard in N is followed though firmness is shown in kgf; an
// optimum opens no window.
func TestWindowOfIndex(t *testing.T) {
	row := Standard{Variety: "Gala", Market: "store", Scale: "1-10", Streif: Range{At(0.8), At(2)}, StreifUnit: instrument.Newton}
	var samples []Sample
	for i, stage := range []float64{2, 3, 4} { // 73.5/(12·stage): 3.06, 2.04, 1.53
		samples = append(samples, sampleOf(day(t, "2026-09-01").AddDate(0, 0, 5*i), fruits{
			ref: tenStages, stages: alike(stage), firmness: alike(7.5), solid: alike(12), unit: instrument.KilogramForce}))
	}
	of := func(row Standard) BlockReport {
		r, err := Assess(Block{Name: "North", Variety: "Gala", Market: "store"}, samples, []Standard{row}, nil, Options{Today: samples[2].Picked})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	if w := of(row).Window; w == nil || w.Opens.By != string(StreifOf) || w.Opens.Day.After(samples[2].Picked) || w.Closes.Day.Before(samples[2].Picked) {
		t.Errorf("%+v", w)
	}
	row.Streif = Range{At(2), At(2)}
	if w := of(row).Window; w != nil {
		t.Errorf("an optimum: %+v", w)
	}
}

func TestRankByDayOfClose(t *testing.T) {
	early, late := onDay(t, "long CA", 8, ripening(t, 1, 4, 8)), onDay(t, "mid CA", 8, ripening(t, 1, 4, 8))
	early.Now, late.Now = Open, Open
	late.Block.Name, late.Block.Harvest = "A", time.Date(2026, 9, 1, 0, 0, 0, 0, time.UTC)
	o := Rank([]BlockReport{late, early}, early.Origin.Day)
	if o.Blocks[0].Block.Name != "North" || o.Blocks[0].Window != early.Window {
		t.Errorf("%s before %s", o.Blocks[0].Block.Name, o.Blocks[1].Block.Name)
	}
}

// A usual rate gives one sample a forecast, which says that it leans on it.
func TestUsualRate(t *testing.T) {
	samples := ripening(t, 8)
	opt := Options{Today: samples[0].Picked, Usual: &trend.Prior{Rate: 0.25, Standard: 0.05, From: "earlier seasons"}}
	r, err := Assess(Block{Name: "North", Variety: "Gala", Market: "long CA"}, samples, shipped(t), nil, opt)
	if err != nil {
		t.Fatal(err)
	}
	s := r.Season[0]
	if s.Quantity != StageOf || s.Trend == nil || s.Trend.Prior == nil || !s.NoTrend.IsZero() {
		t.Fatalf("%+v", s)
	}
	if r.Window == nil || !r.Window.Opens.Usual {
		t.Errorf("%+v", r.Window)
	}
	for _, other := range r.Season[1:] {
		if other.Trend != nil {
			t.Errorf("%s leans on a rate of stages", other.Quantity)
		}
	}
}
