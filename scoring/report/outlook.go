package report

import (
	"fmt"
	"strings"
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/trend"
	"traystage/vision/note"
)

// Outlook is everything that the outlook on an orchard shows.
type Outlook struct {
	scoring.Outlook        // its blocks in picking order
	Program         string // name and version
}

// Document lays out the outlook: the blocks in picking order, a chart of their
// windows, then what has changed and what to keep in mind.
func (o Outlook) Document() (document.Document, error) {
	d := document.Document{
		Kind: "outlook", Title: join(": ", o.Orchard, "which block when"), Under: "outlook of " + longDay(o.Day),
		Day: o.Day, By: o.Program, Last: deference,
	}
	first := document.Section{Key: "order", Title: "Picking order", Sheet: "Outlook", Brief: true}
	first = first.With(o.orderTable())
	if len(o.Blocks) > 0 {
		chart, err := windowsChart(o)
		if err != nil {
			return document.Document{}, err
		}
		first = first.With(document.Figures{Figures: []document.Drawing{{
			Chart: &chart, Wide: true, Spoken: "Windows of the blocks on a calendar, as in the table of picking order",
			Caption: "Bars are windows, with a dashed edge where the state is not sure; whiskers hold the day of opening, below, and of closing, above, in nine cases of ten. An arrow leads on where no end is known. The dotted line is the day of the outlook.",
		}}})
	}
	second := document.Section{Key: "details", Title: "What is behind it", Sheet: "Outlook"}
	d.Sections = append(d.Sections, first, second.With(o.detailsTable()))
	third := document.Section{Key: "changes", Title: "What is new", Sheet: "Changes", Brief: true}.With(
		document.List{Key: "changes", Title: "What has changed since the sample before", Items: o.each(func(p scoring.Prospect) []note.Note { return p.Changes })},
		document.List{Key: "warnings", Title: "Keep in mind", Items: o.each(func(p scoring.Prospect) []note.Note { return p.Warnings }), Alarm: true},
	)
	if len(third.Parts) > 0 {
		d.Sections = append(d.Sections, third)
	}
	return d, nil
}

// windowOf is the window of a block in words; the zero window where there is none.
func windowOf(w *trend.Window) window {
	if w == nil {
		return window{}
	}
	return newWindow(*w)
}

func (o Outlook) orderTable() document.Table {
	t := document.Table{
		Key: "blocks", Caption: "Blocks in picking order", Empty: "The season has no block yet.",
		Columns: []document.Column{
			{Key: "place", Head: "no."},
			{Key: "block", Head: "block", Kind: document.Words},
			{Key: "state", Head: "state", Kind: document.Words},
			{Key: "sure", Head: "sure", Kind: document.Words},
			{Key: "opens", Head: "opens"},
			{Key: "closes", Head: "closes"},
			{Key: "next", Head: "sample"},
			{Key: "market", Head: "market", Kind: document.Words},
			{Key: "variety", Head: "variety", Kind: document.Words},
		},
	}
	for i, p := range o.Blocks {
		w := windowOf(p.Window)
		t.Rows = append(t.Rows, []document.Cell{
			document.Count(i + 1), document.Word(p.Block.Name), document.Strong(document.Word(string(p.State))), document.Yes(p.Sure, "yes"),
			document.ShortDay(w.opens.day), document.ShortDay(w.closes.day), document.ShortDay(p.Next),
			document.Word(p.Block.Market), document.Word(p.Block.Variety),
		})
	}
	return t
}

func (o Outlook) detailsTable() document.Table {
	t := document.Table{
		Key: "details", Caption: "Last samples and how sure the days are",
		Columns: []document.Column{
			{Key: "block", Head: "block", Kind: document.Words},
			{Key: "sampled", Head: "sampled"},
			{Key: "fruit", Head: "fruit"},
			{Key: "stage", Head: "stage"},
			{Key: "interval", Head: "90 %", Kind: document.Interval},
			{Key: "opens", Head: "opens, 90 %", Kind: document.Interval},
			{Key: "closes", Head: "closes, 90 %", Kind: document.Interval},
			{Key: "serves", Head: "serves today", Kind: document.Words},
			{Key: "late", Head: "serves after its window", Kind: document.Words},
		},
	}
	for _, p := range o.Blocks {
		w := windowOf(p.Window)
		fruit, stage, interval := document.Unknown(), document.Unknown(), document.Unknown()
		if p.Stage.N > 0 {
			fruit, stage = document.Count(p.Stage.N), document.Number(p.Stage.Mean, 1)
		}
		if p.Stage.HasInterval() {
			interval = stages(p.Stage.Low, p.Stage.High)
		}
		t.Rows = append(t.Rows, []document.Cell{
			document.Word(p.Block.Name), document.ShortDay(p.Sampled), fruit, stage, interval,
			w.opens.interval(), w.closes.interval(), document.Word(served(p.Serves, now)), document.Word(served(p.Serves, late)),
		})
	}
	return t
}

func now(s scoring.Service) scoring.State  { return s.Now }
func late(s scoring.Service) scoring.State { return s.Late }

// served are the markets whose standard the block meets when it stands so.
func served(all []scoring.Service, standing func(scoring.Service) scoring.State) string {
	var out []string
	for _, s := range all {
		if state := standing(s); state == scoring.Open || state == scoring.Closing {
			out = append(out, s.Market)
		}
	}
	return strings.Join(out, ", ")
}

// each is what is to be said of each block, with its name before.
func (o Outlook) each(of func(scoring.Prospect) []note.Note) []string {
	var out []string
	for _, p := range o.Blocks {
		if notes := of(p); len(notes) > 0 {
			out = append(out, fmt.Sprintf("%s: %s", p.Block.Name, strings.Join(english.SayAll(notes), "; ")))
		}
	}
	return out
}

// spanOf is the calendar that the chart shows: the day of the outlook, every
// window with the intervals of its ends, as far as they are near, and a margin.
func (o Outlook) spanOf() (first, last time.Time) {
	const (
		margin = 2  // days
		near   = 45 // days
	)
	first, last = o.Day, o.Day.AddDate(0, 0, 14)
	for _, p := range o.Blocks {
		w := windowOf(p.Window)
		for _, d := range []time.Time{w.opens.low, w.opens.day, w.opens.high, w.closes.low, w.closes.day, w.closes.high} {
			if !d.IsZero() && d.Before(first) {
				first = d
			}
			if !d.IsZero() && d.After(last) {
				last = d
			}
		}
	}
	if from := o.Day.AddDate(0, 0, -near); first.Before(from) {
		first = from
	}
	if to := o.Day.AddDate(0, 0, near); last.After(to) {
		last = to
	}
	return first.AddDate(0, 0, -margin), last.AddDate(0, 0, margin)
}
