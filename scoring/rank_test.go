package scoring

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// standing makes the report of a block in a state, serving another market or not.
func standing(name string, state State, serves bool, harvest time.Time) BlockReport {
	r := BlockReport{Orchard: "Larkfield", Block: Block{Name: name, Harvest: harvest}, Now: state, Verdict: Verdict{State: state}}
	if serves {
		r.Verdict.Serves = []Service{{Market: "short CA or cold", Now: Open}}
	}
	return r
}

func TestRankByUrgency(t *testing.T) {
	first, later := day(t, "2026-09-10"), day(t, "2026-09-20")
	reports := []BlockReport{
		standing("no sample", NoVerdict, false, first),
		standing("lost", Past, false, first),
		standing("early, expected later", TooEarly, false, later),
		standing("early", TooEarly, false, first),
		standing("open, day unknown", Open, true, time.Time{}),
		standing("open b", Open, true, later),
		standing("open a", Open, true, later),
		standing("past but serving", Past, true, first),
		standing("closing", Closing, true, later),
	}
	want := []string{"closing", "past but serving", "open a", "open b", "open, day unknown", "early", "early, expected later", "lost", "no sample"}
	o := Rank(reports, first)
	var got []string
	for _, p := range o.Blocks {
		got = append(got, p.Block.Name)
	}
	if !slices.Equal(got, want) || o.Orchard != "Larkfield" || !o.Day.Equal(first) {
		t.Errorf("%s: %q, want %q", o.Orchard, got, want)
	}
}

func TestProspectTellsWhatChanged(t *testing.T) {
	block := Block{Name: "North", Variety: "Gala", Market: "long CA"}
	before := sampleOf(day(t, "2026-09-07"), fruits{stages: alike(4.5), firmness: alike(18.4), solid: alike(12)})
	now := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(5.5), firmness: alike(17.2), solid: alike(12.02)})
	r, err := Assess(block, []Sample{now, before}, shipped(t), nil, Options{Today: day(t, "2026-09-16")})
	if err != nil {
		t.Fatal(err)
	}
	p := Rank([]BlockReport{r}, day(t, "2026-09-16")).Blocks[0]
	want := []string{
		"past, was open",
		"stage 5.5, up 1.0 in 7 days",
		"firmness 17.2 lbf, down 1.2 in 7 days",
		"no longer serves long CA and mid CA",
	}
	if !slices.Equal(said(p.Changes), want) {
		t.Errorf("%q, want %q", said(p.Changes), want)
	}
	if p.Days != 2 || !p.Sampled.Equal(now.Picked) || p.State != Past || p.Stage.N != 10 {
		t.Errorf("%+v", p)
	}
	r, err = Assess(block, []Sample{now, before}, shipped(t), nil, Options{Today: day(t, "2026-09-10")})
	if err != nil {
		t.Fatal(err)
	}
	if p := Rank([]BlockReport{r}, day(t, "2026-09-10")).Blocks[0]; p.Changes != nil || p.State != Closing {
		t.Errorf("a later sample was seen: %+v", p)
	}
}

func TestNextSample(t *testing.T) {
	harvest, picked := day(t, "2026-09-30"), day(t, "2026-09-14")
	row := Standard{Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: At(4), Closes: At(6)}
	shares := Standard{Variety: "Gala", Market: "percent", Scale: percentStained, Opens: At(50)}
	for _, c := range []struct {
		name, market string
		stage        float64
		want         string
	}{
		{"far off", "long CA", 2.9, "2026-09-21"},
		{"within a stage", "long CA", 3.1, "2026-09-17"},
		{"open", "long CA", 5, "2026-09-17"},
		{"closing", "long CA", 6, "2026-09-17"},
		{"no verdict", "", 5, "2026-09-21"},
		{"share far off", "percent", 3.4, "2026-09-21"}, // 65.7 % stained, 15.7 to go
		{"share near", "percent", 3.6, "2026-09-17"},    // 62.9 % stained, 12.9 to go
	} {
		s := sampleOf(picked, fruits{stages: alike(c.stage)})
		r := assess(t, Block{Name: "North", Variety: "Gala", Market: c.market, Harvest: harvest}, []Standard{row, shares}, s)
		if got := r.nextSample(picked); !got.Equal(day(t, c.want)) {
			t.Errorf("%s: %s, want %s", c.name, got.Format(time.DateOnly), c.want)
		}
	}
	past := assess(t, Block{Name: "North", Variety: "Gala", Market: "long CA"}, []Standard{row}, sampleOf(picked, fruits{stages: alike(7)}))
	if got := past.nextSample(picked); !got.IsZero() {
		t.Errorf("past: %s", got)
	}
	if got := standing("new", NoVerdict, false, harvest).nextSample(picked); !got.Equal(day(t, "2026-09-09")) {
		t.Errorf("without a sample: %s", got)
	}
	if got := standing("new", NoVerdict, false, time.Time{}).nextSample(picked); !got.Equal(picked) {
		t.Errorf("without a sample or harvest: %s", got)
	}
}

// What moved a forecast is the last sample against what was expected of it.
func TestProspectTellsWhatMovedTheForecast(t *testing.T) {
	samples := ripening(t, 1, 4, 8)
	samples[2] = sampleOf(samples[2].Picked, fruits{stages: alike(5.2), firmness: alike(19.2)})
	p := Rank([]BlockReport{onDay(t, "mid CA", 8, samples)}, samples[2].Picked).Blocks[0]
	all := allSaid(p.Changes)
	for _, want := range []string{"now expected to close on", "stage read 5.2 where "} {
		if !strings.Contains(all, want) {
			t.Errorf("%q does not say %q", all, want)
		}
	}
	if strings.Contains(all, "firmness read") {
		t.Errorf("the smaller surprise is told as well: %q", all)
	}
}
