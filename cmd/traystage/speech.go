package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"traystage/scoring"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// none stands in a table where there is nothing to tell.
const none = "–"

// minute is how tables and histories tell a time, in the zone of the machine.
const minute = "2006-01-02 15:04"

// speech is what a command says to people: lines and tables in one language. The
// days in it are written as commands take them, 2026-09-14.
type speech struct {
	*words.Catalogue
	w io.Writer
}

func speechOf(cmd *cobra.Command) speech {
	return speech{speaking(cmd.Context()), cmd.OutOrStdout()}
}

// tell says one line.
func (s speech) tell(key string, with ...note.Value) error {
	_, err := fmt.Fprintln(s.w, s.Text(key, with...))
	return err
}

// table starts a table under the headings of these keys.
func (s speech) table(columns ...string) table {
	t := table{tabwriter.NewWriter(s.w, 0, 0, 2, ' ', 0)}
	heads := make([]string, len(columns))
	for i, key := range columns {
		heads[i] = s.Text(key)
	}
	t.row(heads...)
	return t
}

// table lays its rows out in columns once all of them are known.
type table struct{ *tabwriter.Writer }

// row adds a line. A terminal breaks none, so blanks that must not be broken at are
// plain ones there, as a search for them expects.
func (t table) row(cells ...string) {
	fmt.Fprintln(t.Writer, strings.ReplaceAll(strings.Join(cells, "\t"), "\u00a0", " "))
}

func (s speech) yesNo(v bool) string {
	if v {
		return s.Text("cell.yes")
	}
	return s.Text("cell.no")
}

// between is a range in words.
func (s speech) between(low, high string) string {
	return s.Text("cell.between", note.Name("low", low), note.Name("high", high))
}

// limits is a target as people write it; empty when it asks nothing.
func (s speech) limits(from, to scoring.Limit, unit string) string {
	low, high := note.Name("low", s.AsGiven(from.Value)), note.Name("high", s.AsGiven(to.Value))
	text := ""
	switch {
	case from.Set && to.Set:
		text = s.Text("cell.between", low, high)
	case from.Set:
		text = s.Text("cell.from", low)
	case to.Set:
		text = s.Text("cell.up_to", high)
	}
	if text != "" && unit != "" {
		text += " " + unit
	}
	return text
}

func orNone(text string) string {
	if text == "" {
		return none
	}
	return text
}

func dayOrNone(t time.Time) string {
	if t.IsZero() {
		return none
	}
	return t.Format(time.DateOnly)
}

// waitOrNone is the time from staining to photo, short: "2 min", "90 s".
func (s speech) waitOrNone(d time.Duration) string {
	switch {
	case d == 0:
		return none
	case d%time.Minute == 0:
		return s.AsGiven(d.Minutes()) + " min"
	}
	return s.AsGiven(d.Seconds()) + " s"
}
