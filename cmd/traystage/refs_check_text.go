package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/words"
)

// writeCheck prints the verdict and what it rests on.
func writeCheck(w io.Writer, c calibrate.Check, in *words.Catalogue) error {
	fmt.Fprintf(w, "%s: %s\n\n", c.Set, in.Say(c.Why))
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "called\thalves\tmean error\tbias\tworst\tof")
	writeErrors(tw, "plates, each left out", c.Plates)
	writeErrors(tw, "graded trays, each left out", c.Graded)
	if c.Tray != nil {
		writeErrors(tw, "this tray", c.Tray.Errors)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	writeIntervals(w, c)
	if err := writeGraders(w, c); err != nil {
		return err
	}
	for _, f := range c.Findings {
		fmt.Fprintf(w, "- %s\n", in.Say(f))
	}
	writePlaces(w, "no plate between stages", c.Gaps)
	writePlaces(w, "hardly a graded half between stages", c.Thin)
	for _, s := range c.Suspects {
		fmt.Fprintf(w, "- look again: %s, graded %s and called %s\n", s.Source, scoring.Tenth(s.Graded), scoring.Tenth(s.Called))
	}
	if d := c.Drift; d != nil {
		fmt.Fprintf(w, "- against %s its calls of %d halves moved by %+.2f stage on average and by %+.2f at most, at stage %s\n", d.Against, d.N, d.Mean, d.Worst, scoring.Tenth(d.At))
	}
	return nil
}

func writeErrors(w io.Writer, name string, e calibrate.Errors) {
	if e.N > 0 {
		fmt.Fprintf(w, "%s\t%d\t%.2f\t%+.2f\t%+.2f\t%s\n", name, e.N, e.MeanAbs, e.Bias, e.Worst, e.WorstOf)
	}
}

// writeIntervals tells what is known of the 90 % intervals.
func writeIntervals(w io.Writer, c calibrate.Check) {
	if c.Needed > 0 {
		fmt.Fprintf(w, "\n90 %% intervals: not calibrated, %d more graded halves are needed.\n", c.Needed)
	} else {
		fmt.Fprintf(w, "\n90 %% intervals: calibrated; the error that all stages of a tray share has a standard uncertainty of %.2f stage.\n", c.Common)
	}
	if v := c.Coverage; v != nil {
		fmt.Fprintf(w, "Of graded trays left out, %d of %d grades lie in their intervals, which are %.2f stage wide on average.\n", v.Inside, v.N, v.MeanWidth)
	}
	if c.Tray != nil {
		fmt.Fprintf(w, "Of this tray, %d of %d grades lie in their intervals.\n", c.Tray.Inside, c.Tray.N)
	}
	fmt.Fprintln(w)
}

// writeGraders prints how graders, and the tray's grades, agree with the calls
// and graders with each other; nothing where nobody graded.
func writeGraders(w io.Writer, c calibrate.Check) error {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	lines := 0
	line := func(name, against string, a *calibrate.Agreement, repeat string) {
		if a == nil {
			return
		}
		if lines == 0 {
			fmt.Fprintln(tw, "grader\tagainst\thalves\tbias (95 %)\tlimits of agreement (95 %)\tconcordance\tkappa\trepeats to")
		}
		lines++
		fmt.Fprintf(tw, "%s\t%s\t%d\t%+.2f (%+.2f to %+.2f)\t%+.2f to %+.2f (each ±%.2f)\t%.3f\t%.2f\t%s\n",
			name, against, a.N, a.Bias, a.BiasLow, a.BiasHigh, a.Low, a.High, a.Margin, a.Concordance, a.Kappa, repeat)
	}
	for _, g := range c.Graders {
		name, repeat := g.By, "-"
		if name == "" {
			name = "(no initials)"
		}
		if g.Repeats > 0 {
			repeat = fmt.Sprintf("%.2f (%d)", g.Repeatability, g.Repeats)
		}
		line(name, "calls", g.Calls, repeat)
		line(name, "others", g.Others, repeat)
	}
	if c.Tray != nil {
		line("calls of this tray", "its grades", c.Tray.Agreement, "-")
	}
	if lines > 0 {
		fmt.Fprintln(tw)
	}
	return tw.Flush()
}

func writePlaces(w io.Writer, what string, gaps []calibrate.Gap) {
	for _, g := range gaps {
		fmt.Fprintf(w, "- %s %s and %s\n", what, scoring.Tenth(g.From), scoring.Tenth(g.To))
	}
}
