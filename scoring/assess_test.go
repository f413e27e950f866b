package scoring

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"traystage/calibrate"
	"traystage/scoring/instrument"
)

func day(t *testing.T, text string) time.Time {
	t.Helper()
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// fruits is what a test knows of each fruit of a sample; a quantity that is nil
// was not read.
type fruits struct {
	ref                     Reference
	stages, firmness, solid []float64
	unit                    instrument.Unit
}

// alike repeats one figure for ten fruit.
func alike(v float64) []float64 { return slices.Repeat([]float64{v}, 10) }

// sampleOf makes a sample of one tray and the readings, two sides a fruit.
func sampleOf(picked time.Time, f fruits) Sample {
	s := Sample{Block: "North", Picked: picked, Tester: "KL", Wait: 2 * time.Minute}
	if f.ref.Scale == (calibrate.Scale{}) {
		f.ref = eightStages
	}
	if f.unit == "" {
		f.unit = instrument.PoundForce
	}
	if f.stages != nil {
		tray := Report{Photo: "north.jpg", Reference: f.ref}
		for i, v := range f.stages {
			tray.Fruit = append(tray.Fruit, Fruit{Number: i + 1, Stained: (8 - v) / 7, Call: calibrate.Call{Stage: v, Low: v - 0.3, High: v + 0.3}})
		}
		s.Trays = []Report{tray}
	}
	for i := range max(len(f.firmness), len(f.solid)) {
		r := instrument.Reading{Fruit: i + 1}
		if f.firmness != nil {
			force := instrument.Force{Value: f.firmness[i], Unit: f.unit}
			r.Firmness = &instrument.Firmness{Sides: []instrument.Force{force, force}, Tip: 11}
		}
		if f.solid != nil {
			r.Solids = &instrument.Solids{Brix: f.solid[i], Compensated: true}
		}
		s.Readings = append(s.Readings, r)
	}
	return s
}

// checked are checks of both instruments on a day.
func checked(on time.Time) []instrument.Check {
	return []instrument.Check{
		{Instrument: "refractometer 1", Kind: instrument.ZeroWater, Day: on, By: "KL"},
		{Instrument: "penetrometer 1", Kind: instrument.CheckWeight, Day: on, By: "KL", Expected: 10, Shown: 10, Unit: instrument.PoundForce},
	}
}

func assess(t *testing.T, block Block, standards []Standard, s ...Sample) BlockReport {
	t.Helper()
	today := s[len(s)-1].Picked
	r, err := Assess(block, s, standards, checked(today), Options{Today: today})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Published readings and the verdicts published with them.
func TestDecisionExamples(t *testing.T) {
	// What each published verdict means for the markets of the rule it names.
	meaning := map[string]struct {
		market string // of the block
		state  State
		serves []string // with the general rows on the share of stained flesh, (8-stage)/7
	}{
		"mature by starch and firmness; firmness appropriate for mid-range duration storage": {"long CA", Past, []string{"mid CA", "short CA or cold"}},
		"too soft for successful CA storage":                                                 {"short CA or cold", Past, nil},
		"internally very mature; below the firmness for short-term CA (15 lb)":               {"short CA or cold", Past, []string{"harvest start"}},
		"well into the mature range (threshold 3.5)":                                         {"long CA", Open, []string{"long CA", "mid CA", "short CA or cold", "harvest start"}},
		"late CA":                        {"late CA", Closing, []string{"late CA", "CA"}},
		"not late CA (too soft)":         {"late CA", Past, nil},
		"early CA":                       {"early CA", Open, []string{"early CA", "storage", "harvest window"}},
		"cold storage or immediate sale": {"cold storage or immediate sale", Open, []string{"cold storage or immediate sale", "fresh", "immediate sale"}},
	}
	done := 0
	for _, row := range checkRows(t, "decision_examples.csv") {
		if row["rule_used"] == "none stated" {
			continue
		}
		want, ok := meaning[row["published_verdict"]]
		if !ok {
			t.Errorf("verdict %q has no meaning here", row["published_verdict"])
			continue
		}
		f := fruits{stages: alike(number(t, row["starch_1_8"]))}
		if row["firmness_lbf"] != "" {
			f.firmness = alike(number(t, row["firmness_lbf"]))
		}
		if row["brix"] != "" {
			f.solid = alike(number(t, row["brix"]))
		}
		block := Block{Name: "North", Variety: row["cultivar"], Market: want.market}
		v := assess(t, block, shipped(t), sampleOf(day(t, "2024-09-01"), f)).Verdict
		if v.State != want.state {
			t.Errorf("%s %s lb, stage %s: %s for %s, want %s: %q", row["cultivar"], row["firmness_lbf"], row["starch_1_8"], v.State, want.market, want.state, v.Why)
		}
		if !slices.Equal(v.Markets(), want.serves) {
			t.Errorf("%s %s lb, stage %s: serves %q, want %q", row["cultivar"], row["firmness_lbf"], row["starch_1_8"], v.Markets(), want.serves)
		}
		done++
	}
	if done != 8 {
		t.Errorf("%d examples done, want 8", done)
	}
}

// Gala in three weeks of a published season, on the published standard: fit for
// long storage, then by firmness for mid storage and exactly at the over mature
// stage, then too soft for any.
func TestPublishedSeason(t *testing.T) {
	want := []struct {
		state  State
		serves []string
	}{
		{Open, []string{"long CA", "mid CA", "short CA or cold"}},
		{Past, []string{"short CA or cold"}}, // the season's samples put the stage at 6.1, a hair past mid CA
		{Past, nil},
	}
	var season []Sample
	for _, row := range checkRows(t, "maturity_series.csv") {
		if row["cultivar"] != "Gala" {
			continue
		}
		season = append(season, sampleOf(day(t, row["date"]), fruits{
			stages: alike(number(t, row["starch_1_8"])), firmness: alike(number(t, row["firmness_lbf"])), solid: alike(number(t, row["brix"])),
		}))
		r := assess(t, Block{Name: "North", Variety: "Gala", Market: "long CA"}, shipped(t), season...)
		w := want[len(season)-1]
		if r.Verdict.State != w.state || !slices.Equal(r.Verdict.Markets(), w.serves) || !r.Verdict.Sure {
			t.Errorf("%s: %s, sure %v, serves %q; want %s, %q", row["date"], r.Verdict.State, r.Verdict.Sure, r.Verdict.Markets(), w.state, w.serves)
		}
	}
	if len(season) != 3 {
		t.Fatalf("%d samples, want 3", len(season))
	}
	r := assess(t, Block{Name: "North", Variety: "Gala", Market: "mid CA"}, shipped(t), season[:2]...)
	if r.Verdict.Sure || r.Before.Verdict.State != Open || r.Verdict.Chance > 0.75 {
		t.Errorf("mid CA on 26 August: %s with %.2f after %s, want what is near to evens after open", r.Verdict.State, r.Verdict.Chance, r.Before.Verdict.State)
	}
	if got := say(r.Verdict.Why[0]); !strings.Contains(got, "6.0 was read on 26 August") {
		t.Errorf("first reason %q", got)
	}
	if got := say(r.Verdict.Criteria[1].Why); !strings.Contains(got, "0.3 above the 17.0 asked at least") {
		t.Errorf("firmness: %q", got)
	}
}

// Each end of each target, at the value and just beside it.
func TestStateAtLimits(t *testing.T) {
	row := Standard{
		Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: At(3), Closes: At(6),
		Firmness: Range{From: At(16)}, FirmnessUnit: instrument.PoundForce, Solids: Range{From: At(11.5)},
	}
	block := Block{Name: "North", Variety: "Gala", Market: "long CA"}
	for _, c := range []struct {
		name                   string
		stage, firmness, solid float64
		want                   State
	}{
		{"inside", 4.5, 18, 13, Open},
		{"just open", 3, 18, 13, Open},
		{"reads as just open", 2.951, 18, 13, Open},
		{"not yet open", 2.949, 18, 13, TooEarly},
		{"closing stage", 6, 18, 13, Closing},
		{"past the stage", 6.051, 18, 13, Past},
		{"just firm", 4, 16, 13, Closing},
		{"reads as just firm", 4, 15.951, 13, Closing},
		{"a hair of rounding below", 4, 16 - 1e-10, 13, Closing},
		{"soft", 4, 15.949, 13, Past},
		{"just sweet", 4, 17, 11.5, Open},
		{"not sweet", 4, 17, 11.4, TooEarly},
		{"soft before it is ripe", 2, 15, 12, Past},
		{"not sweet, yet past", 6.5, 17, 11, Past},
	} {
		f := fruits{stages: alike(c.stage), firmness: alike(c.firmness), solid: alike(c.solid)}
		v := assess(t, block, []Standard{row}, sampleOf(day(t, "2026-09-14"), f)).Verdict
		if v.State != c.want {
			t.Errorf("%s: %s, sure %v; want %s: %q", c.name, v.State, v.Sure, c.want, said(v.Why))
		}
		if c.name == "soft before it is ripe" && !strings.Contains(say(v.Why[0]), "waiting does not bring it") {
			t.Errorf("%s: first reason %q", c.name, say(v.Why[0]))
		}
	}
}

// The same forces in another unit give the same verdict, also exactly at a limit.
func TestLimitInAnotherUnit(t *testing.T) {
	for _, unit := range []instrument.Unit{instrument.Newton, instrument.KilogramForce, instrument.PoundForce} {
		row := Standard{
			Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: At(3),
			Firmness: Range{From: At(72)}, FirmnessUnit: instrument.Newton,
		}
		pounds := instrument.Force{Value: 72, Unit: instrument.Newton}.In(instrument.PoundForce)
		s := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(4), firmness: alike(pounds)})
		r, err := Assess(Block{Name: "North", Variety: "Gala", Market: "long CA"}, []Sample{s}, []Standard{row}, nil,
			Options{Today: s.Picked, Unit: unit})
		if err != nil {
			t.Fatal(err)
		}
		c := r.Verdict.Criteria[1]
		want := instrument.Force{Value: 72, Unit: instrument.Newton}.In(unit)
		if r.Verdict.State != Closing || c.Unit != string(unit) || math.Abs(c.Value-want) > 1e-9 || math.Abs(c.Target.From.Value-want) > 1e-9 {
			t.Errorf("%s: %s, %+v", unit, r.Verdict.State, c)
		}
	}
}

func TestUncertaintyOfVerdict(t *testing.T) {
	row := Standard{Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: At(3), Closes: At(6), Firmness: Range{From: At(16)}, FirmnessUnit: instrument.PoundForce}
	// sd of five pairs at ± d is d·√(10/9); half width t(0.95, 9)·sd/√10 = 1.833113·d/3 = 0.611·d.
	spread := func(mean, d float64) []float64 {
		var out []float64
		for range 5 {
			out = append(out, mean-d, mean+d)
		}
		return out
	}
	for _, c := range []struct {
		name             string
		stages, firmness []float64
		state            State
		sure             bool
		stage, firm      Outcome
	}{
		{"clear of both", spread(4, 0.5), spread(18, 1), Open, true, Met, Met},
		{"3.2 ± 0.31 reaches below 3", spread(3.2, 0.5), spread(18, 1), Open, false, Unsure, Met},
		{"2.8 ± 0.31 reaches above 3", spread(2.8, 0.5), spread(18, 1), TooEarly, false, Unsure, Met},
		{"2.3 ± 0.31 does not", spread(2.3, 0.5), spread(18, 1), TooEarly, true, Missed, Met},
		{"16.4 ± 0.61 reaches below 16", spread(4, 0.5), spread(16.4, 1), Open, false, Met, Unsure},
		{"15.6 ± 0.61 reaches above 16", spread(4, 0.5), spread(15.6, 1), Past, false, Met, Unsure},
		{"15 ± 0.61 is past, whatever the stage", spread(3.2, 0.5), spread(15, 1), Past, true, Unsure, Missed},
		{"firmness not read", spread(4, 0.5), nil, Open, false, Met, NotJudged},
		{"firmness not read, far too early", spread(2, 0.5), nil, TooEarly, true, Missed, NotJudged},
		{"one fruit", []float64{4}, []float64{18}, Open, false, Unsure, Unsure},
		{"no photo", nil, spread(18, 1), NoVerdict, false, NotJudged, Met},
		{"no photo, but too soft", nil, spread(14, 1), Past, true, NotJudged, Missed},
	} {
		s := sampleOf(day(t, "2026-09-14"), fruits{stages: c.stages, firmness: c.firmness})
		v := assess(t, Block{Name: "North", Variety: "Gala", Market: "long CA"}, []Standard{row}, s).Verdict
		if v.State != c.state || v.Sure != c.sure || v.Criteria[0].Outcome != c.stage || v.Criteria[1].Outcome != c.firm {
			t.Errorf("%s: %s, sure %v, %s, %s; want %s, %v, %s, %s", c.name,
				v.State, v.Sure, v.Criteria[0].Outcome, v.Criteria[1].Outcome, c.state, c.sure, c.stage, c.firm)
		}
	}
}

// What was read with an instrument that failed its check of the day is not sure and
// says why, until the instrument is checked again.
func TestFailedCheck(t *testing.T) {
	row := Standard{Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: At(3), Closes: At(6), Firmness: Range{From: At(16)}, FirmnessUnit: instrument.PoundForce}
	on := day(t, "2026-09-14")
	check := func(day time.Time, shown float64) instrument.Check {
		return instrument.Check{Instrument: "P1", Kind: instrument.CheckWeight, Day: day, By: "KL", Expected: 10, Shown: shown, Unit: instrument.PoundForce}
	}
	even := func(mean float64) []float64 {
		return []float64{mean - 0.2, mean + 0.2, mean - 0.2, mean + 0.2, mean - 0.2, mean + 0.2, mean - 0.2, mean + 0.2, mean - 0.2, mean + 0.2}
	}
	for _, c := range []struct {
		name    string
		stage   float64
		checks  []instrument.Check
		state   State
		sure    bool
		outcome Outcome
	}{
		{"passed", 4.5, []instrument.Check{check(on, 10.1)}, Open, true, Met},
		{"failed", 4.5, []instrument.Check{check(on, 10.6)}, Open, false, Unsure},
		{"checked again", 4.5, []instrument.Check{check(on.AddDate(0, 0, -1), 10.6), check(on, 10)}, Open, true, Met},
		{"the stage is far too early all the same", 1.8, []instrument.Check{check(on, 10.6)}, TooEarly, true, Unsure},
	} {
		s := sampleOf(on, fruits{stages: even(c.stage), firmness: even(22)})
		r, err := Assess(Block{Name: s.Block, Variety: "Gala", Market: "long CA"}, []Sample{s}, []Standard{row}, c.checks, Options{Today: on})
		if err != nil {
			t.Fatal(err)
		}
		f := r.Verdict.Criteria[1]
		if r.Verdict.State != c.state || r.Verdict.Sure != c.sure || f.Outcome != c.outcome {
			t.Errorf("%s: %s, sure %v, %s; want %s, %v, %s", c.name, r.Verdict.State, r.Verdict.Sure, f.Outcome, c.state, c.sure, c.outcome)
		}
		if told := strings.Contains(say(f.Why), "failed its check"); told != (c.outcome == Unsure) {
			t.Errorf("%s: %s", c.name, say(f.Why))
		}
	}
}

func TestWithoutStandard(t *testing.T) {
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(4), firmness: alike(17), solid: alike(12)})
	for _, row := range []struct{ name, variety, market, want string }{
		{"unlisted variety", "Larkfield Seedling", "long CA", "no standard for Larkfield Seedling for long CA"},
		{"no variety", "", "", "a block without a variety"},
		{"unlisted market", "Gala", "cider", "the variety has standards for long CA, mid CA, short CA or cold and ex store"},
		{"no market", "Gala", "", "names no market"},
	} {
		v := assess(t, Block{Name: "North", Variety: row.variety, Market: row.market}, shipped(t), s).Verdict
		if v.State != NoVerdict || v.Standard != nil || len(v.Why) != 1 || !strings.Contains(say(v.Why[0]), row.want) {
			t.Errorf("%s: %s, %q", row.name, v.State, v.Why)
		}
		if known := row.variety == "Gala"; known != (len(v.Serves) > 0) {
			t.Errorf("%s: serves %v", row.name, v.Serves)
		}
	}
	r, err := Assess(Block{Name: "South", Variety: "Gala", Market: "long CA"}, []Sample{s}, shipped(t), nil, Options{Today: s.Picked})
	if err != nil || r.Sample != nil || r.Verdict.State != NoVerdict {
		t.Errorf("a block without samples: %+v, %v", r, err)
	}
}

// Firmness is shown in the unit it was read in last, and checks up to the day of
// the test are kept with the report, the latest first.
func TestUnitAndChecksOfReport(t *testing.T) {
	first := sampleOf(day(t, "2026-09-07"), fruits{firmness: alike(18)})
	last := sampleOf(day(t, "2026-09-14"), fruits{firmness: alike(8), unit: instrument.KilogramForce})
	last.Tested = day(t, "2026-09-15")
	var checks []instrument.Check
	for _, on := range []string{"2026-09-01", "2026-09-15", "2026-09-16", "2026-09-10"} {
		checks = append(checks, checked(day(t, on))[0])
	}
	r, err := Assess(Block{Name: "North"}, []Sample{last, first}, nil, checks, Options{Today: day(t, "2026-09-20")})
	if err != nil {
		t.Fatal(err)
	}
	var days []int
	for _, c := range r.Checks {
		days = append(days, c.Day.Day())
	}
	if !slices.Equal(days, []int{15, 10, 1}) {
		t.Errorf("checks of %v September, want 15, 10, 1", days)
	}
	if r.Statistics[0].Unit != "kgf" || r.Statistics[0].Mean != 8 || r.Before.Statistics[0].Unit != "kgf" {
		t.Errorf("%+v", r.Statistics)
	}
}

func TestGeneralRowSaysSo(t *testing.T) {
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(3.5), firmness: alike(17)})
	v := assess(t, Block{Name: "North", Variety: "Larkfield Seedling", Market: "Late CA"}, shipped(t), s).Verdict
	if v.State != Open || !v.General || !slices.ContainsFunc(said(v.Why), func(w string) bool { return strings.Contains(w, "general row any / late CA") }) {
		t.Errorf("%s, general %v: %q", v.State, v.General, v.Why)
	}
	own := append([]Standard{{Variety: "Larkfield Seedling", Market: "late CA", Scale: "1-8", Opens: At(4), Table: "ours.csv"}}, shipped(t)...)
	v = assess(t, Block{Name: "North", Variety: "Larkfield Seedling", Market: "late CA"}, own, s).Verdict
	if v.State != TooEarly || v.General || v.Standard.Table != "ours.csv" {
		t.Errorf("with a row of its own: %s by %+v", v.State, v.Standard)
	}
}

// A standard is never held against stages of another scale; standards in per
// cent are held against the measured share, on any scale.
func TestScalesAreKeptApart(t *testing.T) {
	ten := Reference{Name: "ten", Version: "1", Calibrated: true, Scale: calibrate.Scale{Stained: 1, Clear: 10, Step: 0.1}}
	s := sampleOf(day(t, "2026-09-14"), fruits{ref: ten, stages: alike(4.5), firmness: alike(18)}) // half the flesh is stained
	gala := assess(t, Block{Name: "North", Variety: "Gala", Market: "long CA"}, shipped(t), s).Verdict
	if c := gala.Criteria[0]; gala.State != NoVerdict || c.Outcome != NotJudged || !strings.Contains(say(c.Why), "scale 1-8, those of the block on 1-10") {
		t.Errorf("%s: %+v", gala.State, c)
	}
	for _, row := range []struct {
		scale         string
		opens, closes float64
		want          State
	}{
		{percentStained, 60, 40, Open},
		{percentStained, 49, 40, TooEarly},
		{percentStained, 60, 51, Past},
		{percentClear, 40, 60, Open},
		{percentClear, 51, 60, TooEarly},
		{percentClear, 40, 49, Past},
		{"percent of cortex clear", 40, 60, NoVerdict},
		{"BC cultivar chart", 2.5, 3, NoVerdict},
	} {
		standard := Standard{Variety: "Gala", Market: "store", Scale: row.scale, Opens: At(row.opens), Closes: At(row.closes)}
		if v := assess(t, Block{Name: "North", Variety: "Gala", Market: "store"}, []Standard{standard}, s).Verdict; v.State != row.want {
			t.Errorf("%s %g to %g: %s, want %s: %q", row.scale, row.opens, row.closes, v.State, row.want, v.Why)
		}
	}
}

// Firmness alone does not tell that fruit are mature.
func TestRowWithoutStageOpensNothingForSure(t *testing.T) {
	rows := []Standard{
		{Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: At(3)},
		{Variety: "Gala", Market: "firm", Firmness: Range{From: At(18)}, FirmnessUnit: instrument.PoundForce},
		{Variety: "Gala", Market: "ex store", Stored: true, Firmness: Range{From: At(14)}, FirmnessUnit: instrument.PoundForce},
	}
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(1.2), firmness: alike(22)})
	for market, sure := range map[string]bool{"firm": false, "ex store": true} {
		v := assess(t, Block{Name: "North", Variety: "Gala", Market: market}, rows, s).Verdict
		if v.State != Open || v.Sure != sure {
			t.Errorf("%s: %s, sure %v", market, v.State, v.Sure)
		}
	}
	if v := assess(t, Block{Name: "North", Variety: "Gala", Market: "long CA"}, rows, s).Verdict; len(v.Serves) != 1 {
		t.Errorf("unripe fruit serve %+v", v.Serves)
	}
}
