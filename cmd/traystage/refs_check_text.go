package main

import (
	"fmt"
	"strconv"

	"traystage/calibrate"
	"traystage/vision/note"
)

func (s speech) check(c calibrate.Check) error {
	fmt.Fprintf(s.w, "%s: %s\n\n", c.Set, s.Say(c.Why))
	t := s.table("column.called", "column.halves", "column.mean_error", "column.bias", "column.worst", "column.of")
	s.errors(t, "command.check.plates", c.Plates)
	s.errors(t, "command.check.graded", c.Graded)
	if c.Tray != nil {
		s.errors(t, "command.check.tray", c.Tray.Errors)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	s.intervals(c)
	if err := s.graders(c); err != nil {
		return err
	}
	for _, f := range c.Findings {
		fmt.Fprintf(s.w, "- %s\n", s.Say(f))
	}
	s.places("command.check.gap", c.Gaps)
	s.places("command.check.thin", c.Thin)
	for _, x := range c.Suspects {
		_ = s.tell("command.check.suspect", note.Name("source", x.Source), note.Stage("graded", x.Graded), note.Stage("called", x.Called))
	}
	if d := c.Drift; d != nil {
		return s.tell("command.check.drift", note.Name("against", d.Against), note.Count("n", d.N), note.Figure("mean", d.Mean, 2, ""),
			note.Figure("worst", d.Worst, 2, ""), note.Stage("at", d.At))
	}
	return nil
}

func (s speech) errors(t table, key string, e calibrate.Errors) {
	if e.N > 0 {
		t.row(s.Text(key), strconv.Itoa(e.N), s.Number(e.MeanAbs, 2), s.Signed(e.Bias, 2), s.Signed(e.Worst, 2), e.WorstOf)
	}
}

func (s speech) intervals(c calibrate.Check) {
	fmt.Fprintln(s.w)
	if c.Needed > 0 {
		_ = s.tell("command.check.uncalibrated", note.Count("n", c.Needed))
	} else {
		_ = s.tell("command.check.calibrated", note.Figure("common", c.Common, 2, ""))
	}
	if v := c.Coverage; v != nil {
		_ = s.tell("command.check.coverage", note.Count("inside", v.Inside), note.Count("n", v.N), note.Figure("width", v.MeanWidth, 2, ""))
	}
	if c.Tray != nil {
		_ = s.tell("command.check.tray_coverage", note.Count("inside", c.Tray.Inside), note.Count("n", c.Tray.N))
	}
	fmt.Fprintln(s.w)
}

// comparison is a line of the table of graders; nothing where there is no
// agreement to tell.
type comparison struct {
	name, against string
	*calibrate.Agreement
	repeats string
}

func (s speech) graders(c calibrate.Check) error {
	var lines []comparison
	for _, g := range c.Graders {
		name, repeats := g.By, none
		if name == "" {
			name = s.Text("command.check.no_initials")
		}
		if g.Repeats > 0 {
			repeats = fmt.Sprintf("%s (%d)", s.Number(g.Repeatability, 2), g.Repeats)
		}
		lines = append(lines, comparison{name, s.Text("command.check.calls"), g.Calls, repeats},
			comparison{name, s.Text("command.check.others"), g.Others, repeats})
	}
	if c.Tray != nil {
		lines = append(lines, comparison{s.Text("command.check.tray_calls"), s.Text("command.check.tray_grades"), c.Tray.Agreement, none})
	}
	t, empty := table{}, true
	for _, l := range lines {
		if l.Agreement == nil {
			continue
		}
		if empty {
			t, empty = s.table("column.grader", "column.against", "column.halves", "column.bias_95", "column.limits_95", "column.concordance", "column.kappa", "column.repeats"), false
		}
		t.row(l.name, l.against, strconv.Itoa(l.N),
			fmt.Sprintf("%s (%s)", s.Signed(l.Bias, 2), s.between(s.Signed(l.BiasLow, 2), s.Signed(l.BiasHigh, 2))),
			s.Text("command.check.limits", note.Name("limits", s.between(s.Signed(l.Low, 2), s.Signed(l.High, 2))), note.Figure("margin", l.Margin, 2, "")),
			s.Number(l.Concordance, 3), s.Number(l.Kappa, 2), l.repeats)
	}
	if empty {
		return nil
	}
	t.row()
	return t.Flush()
}

func (s speech) places(key string, gaps []calibrate.Gap) {
	for _, g := range gaps {
		_ = s.tell(key, note.Stage("from", g.From), note.Stage("to", g.To))
	}
}
