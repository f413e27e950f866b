package scoring

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"traystage/scoring/instrument"
	"traystage/scoring/trend"
	"traystage/scoring/words"
	"traystage/vision/note"
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
	if r.Verdict.State != Closing || r.Now != Closing {
		t.Errorf("%s, now %s; want closing within four days", r.Verdict.State, r.Now)
	}
}

// An interval ends where the quantity does: no fruit has less firmness than none, and no juice
// more than a hundred parts of sugar in a hundred.
func TestPossible(t *testing.T) {
	for _, row := range []struct {
		q         Quantity
		low, high float64
		want      trend.Estimate
	}{
		{FirmnessOf, -6, 43.9, trend.Estimate{Value: 18.9, Low: 0, High: 43.9}},
		{SolidsOf, -1, 120, trend.Estimate{Value: 18.9, Low: 0, High: 100}},
		{StageOf, 1, 24, trend.Estimate{Value: 18.9, Low: 1, High: 24}},
	} {
		if got := row.q.possible(trend.Estimate{Value: 18.9, Low: row.low, High: row.high}); got != row.want {
			t.Errorf("%s: %+v, want %+v", row.q, got, row.want)
		}
	}
	// One fruit tells hardly anything of months later.
	r := onDay(t, "long CA", 90, []Sample{sampleOf(day(t, "2026-09-01"), fruits{stages: []float64{4}, firmness: []float64{18.9}})})
	for _, c := range r.Verdict.Criteria {
		if c.Judged && (c.Low < 0 || c.Value < 0) {
			t.Errorf("%s is %g, %g to %g", c.Quantity, c.Value, c.Low, c.High)
		}
	}
}

// Days of a window likelier to close before it opens mean nothing, and are not said to have moved.
func TestNoDayOfBackwardsMoves(t *testing.T) {
	edge := func(d int) trend.Edge {
		return trend.Edge{By: "stage", Forecast: trend.Forecast{Reach: trend.Reached, Day: day(t, "2026-09-01").AddDate(0, 0, d)}}
	}
	was, forwards, backwards := trend.Window{Opens: edge(10), Closes: edge(20)}, trend.Window{Opens: edge(12), Closes: edge(21)}, trend.Window{Opens: edge(24), Closes: edge(20)}
	for _, row := range []struct {
		was, now trend.Window
		want     []note.Code
	}{
		{was, forwards, []note.Code{changeOpen, changeClose}}, {was, backwards, []note.Code{"change.backwards"}},
		{backwards, was, []note.Code{"change.forwards"}}, {backwards, backwards, nil},
	} {
		r := BlockReport{Window: &row.now, Before: &Standing{Window: &row.was}}
		var got []note.Code
		for _, n := range r.forecastMoved() {
			got = append(got, n.Code)
			if n.Code == "change.forwards" {
				if said, want := words.For("en").Say(n), "now expected to be open from 11 September to 21 September, and no longer likelier to close before it opens"; said != want {
					t.Errorf("%q, want %q", said, want)
				}
			}
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%v, want %v", got, row.want)
		}
	}
}

// What was sampled is followed to the day of the report.
func TestStateIsFollowedToTheDay(t *testing.T) {
	for _, row := range []struct {
		today int
		now   State
	}{{4, TooEarly}, {8, Closing}, {10, Closing}, {20, Past}} {
		r := onDay(t, "long CA", row.today, ripening(t, 1, 4))
		if r.Verdict.State != row.now || r.Now != row.now {
			t.Errorf("on the %d.: %s, now %s; want %s", row.today, r.Verdict.State, r.Now, row.now)
		}
	}
	if r := onDay(t, "long CA", 16, ripening(t, 1, 4)); r.NowSure || r.nextSample(r.Origin.Day).IsZero() {
		t.Errorf("not sure to be past, and no sample is due")
	}
}

// Day by day without a sample: the state of a day is that which window and
// chance give on it, it never goes back, and it turns only as the chance passes a half.
func TestStateNeverContradictsItsChance(t *testing.T) {
	var before BlockReport
	for today := 8; today <= 40; today++ {
		r := onDay(t, "mid CA", today, ripening(t, 1, 4, 8))
		w := r.Window
		if got := stateOf(w.State); got != r.Verdict.State || w.Chance != r.Verdict.Chance {
			t.Errorf("on the %d.: %s with %.3f, window %s with %.3f", today, r.Verdict.State, r.Verdict.Chance, got, w.Chance)
		}
		if open := !w.On.Before(w.Opens.Day) && !w.On.After(w.Closes.Day); open != (r.Now == Open || r.Now == Closing) {
			t.Errorf("on the %d.: %s, window from %v to %v", today, r.Now, w.Opens.Day, w.Closes.Day)
		}
		if today > 8 && laterOf(before.Now, r.Now) != r.Now {
			t.Errorf("on the %d.: %s after %s", today, r.Now, before.Now)
		}
		before = r
	}
	if before.Now != Past || !before.NowSure {
		t.Errorf("at the end %s, sure %v", before.Now, before.NowSure)
	}
}

// Solids that were read once, 11 of the 13 asked, keep the block too early as
// long as nobody reads them again; the age of the reading takes away from its sureness.
func TestWhatIsNotReadAgainStaysAsItWas(t *testing.T) {
	row := Standard{Variety: "Gala", Market: "store", Scale: "1-8", Opens: At(3), Closes: At(7), Solids: Range{From: At(13)}}
	samples := ripening(t, 1, 4, 8)
	samples[0] = sampleOf(samples[0].Picked, fruits{stages: alike(2), solid: alike(11)})
	last := 1.0
	for today := 8; today <= 20; today += 2 {
		at := day(t, "2026-09-01").AddDate(0, 0, today-1)
		r, err := Assess(Block{Name: "North", Variety: "Gala", Market: "store"}, samples, []Standard{row}, nil, Options{Today: at})
		if err != nil {
			t.Fatal(err)
		}
		c := r.Verdict.Criteria[1]
		if r.Now != TooEarly || !c.Judged || !c.Day.Equal(samples[0].Picked) || c.Value != 11 {
			t.Fatalf("on the %d.: %s, %+v", today, r.Now, c)
		}
		if c.Chances.Early >= last {
			t.Errorf("on the %d.: too early with %.4f, after %.4f", today, c.Chances.Early, last)
		}
		if why := say(r.Verdict.Why[0]); !strings.Contains(why, "soluble solids 11.0") {
			t.Errorf("on the %d.: first reason %q", today, why)
		}
		last = c.Chances.Early
	}
}

// A criterion that was missed last week stays missed where it is not read today,
// and one that was met stays met.
func TestMissingReadingNeverImprovesAState(t *testing.T) {
	row := Standard{Variety: "Gala", Market: "store", Scale: "1-8", Opens: At(3), Firmness: Range{From: At(16)}, FirmnessUnit: instrument.PoundForce}
	soft := sampleOf(day(t, "2026-09-07"), fruits{stages: alike(4), firmness: alike(13)})
	silent := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(4.8)})
	r := assess(t, Block{Name: "North", Variety: "Gala", Market: "store"}, []Standard{row}, soft, silent)
	if c := r.Verdict.Criteria[1]; r.Verdict.State != Past || !c.Judged || !c.Day.Equal(soft.Picked) {
		t.Errorf("%s, %+v", r.Verdict.State, c)
	}
	firm := sampleOf(day(t, "2026-09-07"), fruits{stages: alike(4), firmness: alike(19)})
	r = assess(t, Block{Name: "North", Variety: "Gala", Market: "store"}, []Standard{row}, firm, silent)
	if c := r.Verdict.Criteria[1]; r.Verdict.State != Open || !c.Judged {
		t.Errorf("%s, %+v", r.Verdict.State, c)
	}
}

// A single figure is a preference: on no side of it is a block too early or past.
func TestOptimumIsNoLimit(t *testing.T) {
	row := Standard{Variety: "Gala", Market: "store", Scale: "1-8", Opens: At(3), Closes: At(8), Streif: Range{At(0.3), At(0.3)}, StreifUnit: instrument.PoundForce}
	alone := Standard{Variety: "Gala", Market: "store", Scale: "1-8", Opens: At(6.8), Closes: At(6.8)}
	for _, stage := range []float64{6, 6.8, 7.5} {
		s := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(stage), firmness: alike(15), solid: alike(12)})
		if v := assess(t, Block{Name: "North", Variety: "Gala", Market: "store"}, []Standard{alone}, s).Verdict; v.State != NoVerdict || v.Sure {
			t.Errorf("stage %v against the optimum 6.8: %s, sure %v", stage, v.State, v.Sure)
		}
		v := assess(t, Block{Name: "North", Variety: "Gala", Market: "store"}, []Standard{row}, s).Verdict
		if v.State != Open || v.Criteria[1].Side != Open {
			t.Errorf("stage %v, inside a window with an optimum of the index: %s, %+v", stage, v.State, v.Criteria[1])
		}
	}
}

// The reason that decides is the criterion nearest to turning, by its chance, not
// the one with the smaller margin in its own unit or the first of the row.
func TestReasonIsTheBindingCriterion(t *testing.T) {
	row := Standard{Variety: "Gala", Market: "store", Scale: "1-8", Opens: At(3), Closes: At(6), Firmness: Range{From: At(16)}, FirmnessUnit: instrument.PoundForce}
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(5.55), firmness: alike(16.1)})
	v := assess(t, Block{Name: "North", Variety: "Gala", Market: "store"}, []Standard{row}, s).Verdict
	if why := say(v.Why[0]); !strings.HasPrefix(why, "firmness 16.1") {
		t.Errorf("first reason %q", why)
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
