package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/words"
)

func newHistoryCommand() *cobra.Command {
	var f reviewFlags
	cmd := &cobra.Command{
		Use:   "history BLOCK [FRUIT]",
		Short: "Tell everything that was ever written about a block, or one fruit",
		Long: `History tells what was ever written about a block and its samples: trays stored,
moved and struck, sheets, reviews, corrections, what was insisted on; each with the
time and the initials of who wrote it, and why. With the number of a fruit it tells
where its figures come from: every call with its photo, reference set and version,
every review, every reading and its corrections.
` + exitStatus,
		Example: `  traystage history "Brook 5" --season larkfield-2026
  traystage history "Brook 5" 3 --season larkfield-2026`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 2 {
				return fault.Usagef("%s takes one fruit; quote a block's name with spaces", cmd.CommandPath())
			}
			if len(args) == 1 {
				return nil
			}
			return blockAndFruit(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			picked, err := f.pickedDay()
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				if len(args) == 1 {
					events, err := b.Events(cmd.Context(), args[0], picked)
					if err != nil {
						return err
					}
					return tellEvents(cmd.OutOrStdout(), events, speaking(cmd.Context(), b))
				}
				fruit, _ := strconv.Atoi(args[1]) // seen to when the arguments were read
				h, err := b.History(cmd.Context(), args[0], picked, fruit)
				if err != nil {
					return err
				}
				return tellHistory(cmd.OutOrStdout(), h, speaking(cmd.Context(), b))
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addPicked(cmd)
	return cmd
}

func tellHistory(w io.Writer, h workbench.History, in *words.Catalogue) error {
	if _, err := fmt.Fprintf(w, "%s, picked %s, fruit %d\n", h.Block, h.Picked.Format(time.DateOnly), h.Fruit); err != nil {
		return err
	}
	for _, e := range h.Entries {
		if _, err := fmt.Fprintf(w, "%s  %-3s  %s\n", e.At.Local().Format("2006-01-02 15:04"), e.By, entryWords(e, in)); err != nil {
			return err
		}
	}
	return nil
}

func tellEvents(w io.Writer, events []workbench.Told, say *words.Catalogue) error {
	for _, e := range events {
		line := say.Say(e.What)
		if e.Why != "" {
			line += ": " + e.Why
		}
		if e.Anyway != "" {
			line += fmt.Sprintf(" (although %s; %s)", strings.Join(say.SayAll(e.Objections), "; "), e.Anyway)
		}
		if _, err := fmt.Fprintf(w, "%s  %-3s  %s\n", e.At.Local().Format("2006-01-02 15:04"), e.By, strings.TrimSpace(line)); err != nil {
			return err
		}
	}
	return nil
}

// entryWords tells one entry of a fruit's history in one line.
func entryWords(e workbench.Entry, in *words.Catalogue) string {
	switch {
	case e.Scoring != nil:
		sc := e.Scoring
		what := "no stage: " + in.Say(sc.Fruit.WhyUnscored())
		if sc.Fruit.Scored() {
			c := sc.Fruit.Call
			what = fmt.Sprintf("called %s (%s – %s)", scoring.Tenth(c.Stage), scoring.Tenth(c.Low), scoring.Tenth(c.High))
		}
		return fmt.Sprintf("%s on %s version %s, from %s (%.12s…), %s", what, sc.Reference.Name, sc.Reference.Version, sc.Photo, sc.PhotoHash, sc.Program)
	case e.Review != nil && e.Undone:
		return strings.TrimSuffix("what was said of it was taken back: "+e.Review.Why, ": ")
	case e.Review != nil && e.Review.Override:
		return fmt.Sprintf("overridden with %s: %s", scoring.Tenth(e.Review.Stage), e.Review.Why)
	case e.Review != nil:
		return strings.TrimSuffix("confirmed: "+e.Review.Why, ": ")
	case e.Struck:
		return "readings struck: " + e.Reading.Note
	}
	if e.TakenBack {
		return "read, and taken back with its sheet: " + readingWords(*e.Reading)
	}
	return "read " + readingWords(*e.Reading)
}

// readingWords tells what was read, as it was read.
func readingWords(r instrument.Reading) string {
	var parts []string
	if r.Firmness != nil {
		var sides []string
		for _, side := range r.Firmness.Sides {
			sides = append(sides, fmt.Sprintf("%g %s", side.Value, side.Unit))
		}
		parts = append(parts, "firmness "+strings.Join(sides, " / "))
	}
	if r.Solids != nil {
		p := fmt.Sprintf("%.1f °Brix", r.Solids.Brix)
		if r.Solids.Celsius != nil {
			p += fmt.Sprintf(" at %g °C", *r.Solids.Celsius)
		}
		parts = append(parts, p)
	}
	if r.Red != nil {
		parts = append(parts, fmt.Sprintf("red %g %%", *r.Red))
	}
	if r.Ground != nil {
		parts = append(parts, fmt.Sprintf("ground colour %g (%s)", r.Ground.Score, r.Ground.Scale))
	}
	if r.Note != "" {
		parts = append(parts, "note: "+r.Note)
	}
	return strings.Join(parts, ", ")
}
