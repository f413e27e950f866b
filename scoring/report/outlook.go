package report

import (
	"slices"
	"strings"
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/trend"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// Outlook is everything that the outlook on an orchard shows.
type Outlook struct {
	scoring.Outlook                  // its blocks in picking order
	Program         string           // name and version
	Words           *words.Catalogue // the language of the outlook; nil for English

	p pen
}

// Document lays out the outlook: the blocks in picking order, a chart of their
// windows, then what has changed and what to keep in mind.
func (o Outlook) Document() (document.Document, error) {
	o.p = penOn(o.Words, o.Day)
	d := document.Document{
		Words: o.p.Catalogue, Kind: "outlook", Name: o.p.Text("kind.outlook"), Title: join(": ", o.Orchard, o.p.Text("outlook.title")), Under: o.p.Text("under.outlook", note.Day("day", o.Day)),
		Day: o.Day, By: o.Program, Last: o.p.Text("deference"),
	}
	first := document.Section{Key: "order", Title: o.p.Text("title.order"), Sheet: o.p.Text("sheet.outlook"), Brief: true}
	first = first.With(o.orders(), o.orderTable())
	if len(o.Blocks) > 0 {
		chart, err := o.p.windowsChart(o)
		if err != nil {
			return document.Document{}, err
		}
		first = first.With(document.Figures{Figures: []document.Drawing{{
			Chart: &chart, Wide: true, Spoken: o.p.Text("spoken.windows"),
			Caption: o.p.Text("caption.windows"),
		}}})
	}
	second := document.Section{Key: "details", Title: o.p.Text("title.behind"), Sheet: o.p.Text("sheet.outlook")}
	d.Sections = append(d.Sections, first, second.With(o.detailsTable()))
	third := document.Section{Key: "changes", Title: o.p.Text("title.new"), Sheet: o.p.Text("sheet.changes"), Brief: true}.With(
		document.List{Key: "changes", Title: o.p.Text("title.changes"), Items: o.each(func(p scoring.Prospect) []note.Note { return p.Changes })},
		document.List{Key: "warnings", Title: o.p.Text("title.mind"), Items: o.warnings(), Alarm: true},
	)
	if len(third.Parts) > 0 {
		d.Sections = append(d.Sections, third)
	}
	return d, nil
}

// windowOf is the window of a block in words; the zero window where there is none.
func (p pen) windowOf(w *trend.Window) window {
	if w == nil {
		return window{}
	}
	return p.newWindow(*w)
}

// orders are what to do about each block, in picking order.
func (o Outlook) orders() document.List {
	var all []note.Note
	for _, p := range o.Blocks {
		all = append(all, p.Order)
	}
	l := o.p.list("orders", "", note.Once(all...))
	for i := range l.Items {
		l.Items[i] = words.Sentence(l.Items[i])
	}
	return l
}

func (o Outlook) orderTable() document.Table {
	t := document.Table{
		Key: "blocks", Caption: o.p.Text("caption.order"), Empty: o.p.Text("empty.blocks"), Cards: true,
		Columns: []document.Column{
			{Key: "place", Head: o.p.Text("head.place"), Place: true},
			{Key: "block", Head: o.p.Text("head.block"), Kind: document.Words},
			{Key: "state", Head: o.p.Text("head.state"), Kind: document.Words},
			{Key: "sure", Head: o.p.Text("head.sure"), Kind: document.Words},
			{Key: "opens", Head: o.p.Text("head.opens")},
			{Key: "closes", Head: o.p.Text("head.closes")},
			{Key: "next", Head: o.p.Text("head.sample")},
			{Key: "market", Head: o.p.Text("head.market"), Kind: document.Words},
			{Key: "variety", Head: o.p.Text("head.variety"), Kind: document.Words},
		},
	}
	for i, p := range o.Blocks {
		w := o.p.windowOf(p.Window)
		t.Rows = append(t.Rows, []document.Cell{
			document.Count(i + 1), document.Word(p.Block.Name), document.Strong(o.p.state(p.State)), document.Yes(p.Sure, o.p.Text("cell.yes")),
			document.ShortDay(w.opens.day), document.ShortDay(w.closes.day), document.ShortDay(p.Next),
			document.Word(p.Block.Market), document.Word(p.Block.Variety),
		})
	}
	return t
}

func (o Outlook) detailsTable() document.Table {
	t := document.Table{
		Key: "details", Caption: o.p.Text("caption.details"), Cards: true,
		Columns: []document.Column{
			{Key: "block", Head: o.p.Text("head.block"), Kind: document.Words},
			{Key: "sampled", Head: o.p.Text("head.sampled")},
			{Key: "fruit", Head: o.p.Text("head.fruit_count")},
			{Key: "stage", Head: o.p.Text("head.stage")},
			{Key: "interval", Head: o.p.Text("head.interval"), Kind: document.Interval},
			{Key: "opens", Head: o.p.Text("head.opens_interval"), Kind: document.Interval},
			{Key: "closes", Head: o.p.Text("head.closes_interval"), Kind: document.Interval},
			{Key: "serves", Head: o.p.Text("head.serves_today"), Kind: document.Words},
			{Key: "late", Head: o.p.Text("head.serves_late"), Kind: document.Words},
		},
	}
	for _, p := range o.Blocks {
		w := o.p.windowOf(p.Window)
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
			out = append(out, p.Block.Name+": "+strings.Join(o.p.SayAll(notes), "; "))
		}
	}
	return out
}

// warnings are those of all blocks; what holds for several is said once, with
// their names.
func (o Outlook) warnings() []string {
	blocks := map[string][]string{} // that a note is said of, by its key
	var all []note.Note
	for _, p := range o.Blocks {
		for _, n := range note.Once(p.Warnings...) {
			all = append(all, n)
			blocks[n.Key()] = append(blocks[n.Key()], p.Block.Name)
		}
	}
	var out []string
	for _, n := range note.Once(all...) {
		if names := blocks[n.Key()]; len(names) > 1 {
			out = append(out, o.p.List(names)+": "+o.p.Say(n))
		}
	}
	return append(out, o.each(func(p scoring.Prospect) []note.Note {
		return slices.DeleteFunc(note.Once(p.Warnings...), func(n note.Note) bool { return len(blocks[n.Key()]) > 1 })
	})...)
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
		w := o.p.windowOf(p.Window)
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
