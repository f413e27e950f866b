package main

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring/instrument"
	"traystage/vision/note"
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
					return tellEvents(speechOf(cmd), events)
				}
				fruit, _ := strconv.Atoi(args[1]) // seen to when the arguments were read
				h, err := b.History(cmd.Context(), args[0], picked, fruit)
				if err != nil {
					return err
				}
				return tellHistory(speechOf(cmd), h)
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addPicked(cmd)
	return cmd
}

func tellHistory(say speech, h workbench.History) error {
	if err := say.tell("command.history.fruit", note.Name("block", h.Block), note.Day("picked", h.Picked), note.Count("n", h.Fruit)); err != nil {
		return err
	}
	for _, e := range h.Entries {
		if err := say.entry(e.At, e.By, say.fruitEntry(e)); err != nil {
			return err
		}
	}
	return nil
}

func tellEvents(say speech, events []workbench.Told) error {
	for _, e := range events {
		line := say.Say(e.What)
		if e.Why != "" {
			line += ": " + e.Why
		}
		if e.Anyway != "" {
			line += " " + say.Text("command.history.although", note.Notes("notes", e.Objections...), note.Name("why", e.Anyway))
		}
		if err := say.entry(e.At, e.By, strings.TrimSpace(line)); err != nil {
			return err
		}
	}
	return nil
}

// entry is a line of a history: when, by whom, what.
func (s speech) entry(at time.Time, by, what string) error {
	_, err := fmt.Fprintf(s.w, "%s  %-3s  %s\n", at.Local().Format(minute), by, what)
	return err
}

// fruitEntry tells one entry of a fruit's history.
func (s speech) fruitEntry(e workbench.Entry) string {
	var why string
	if e.Review != nil {
		why = e.Review.Why
	}
	switch {
	case e.Scoring != nil:
		return s.scored(e)
	case e.Review != nil && e.Undone:
		return because(s.Text("command.history.undone"), why)
	case e.Review != nil && e.Review.Override:
		return because(s.Text("command.history.overridden", note.Stage("stage", e.Review.Stage)), why)
	case e.Review != nil:
		return because(s.Text("review.confirmed"), why)
	case e.Struck:
		return because(s.Text("command.history.struck"), e.Reading.Note)
	case e.TakenBack:
		return s.Text("command.history.taken_back", note.Name("what", s.reading(*e.Reading)))
	}
	return s.Text("command.history.read", note.Name("what", s.reading(*e.Reading)))
}

func because(what, why string) string {
	if why == "" {
		return what
	}
	return what + ": " + why
}

// scored tells a call with all that it rests on.
func (s speech) scored(e workbench.Entry) string {
	sc := e.Scoring
	what := s.Text("command.history.no_stage", note.Notes("why", sc.Fruit.WhyUnscored()))
	if sc.Fruit.Scored() {
		c := sc.Fruit.Call
		what = s.Text("command.history.called", note.Stage("stage", c.Stage), note.Stage("low", c.Low), note.Stage("high", c.High))
	}
	return s.Text("command.history.scored", note.Name("what", what), note.Name("set", sc.Reference.Name), note.Name("version", sc.Reference.Version),
		note.Name("photo", sc.Photo), note.Name("hash", fmt.Sprintf("%.12s…", sc.PhotoHash)), note.Name("program", sc.Program))
}

// reading tells what was read, as it was read.
func (s speech) reading(r instrument.Reading) string {
	var parts []string
	add := func(key string, with ...note.Value) { parts = append(parts, s.Text(key, with...)) }
	if r.Firmness != nil {
		var sides []string
		for _, side := range r.Firmness.Sides {
			sides = append(sides, s.AsGiven(side.Value)+" "+string(side.Unit))
		}
		add("command.reading.firmness", note.Name("sides", strings.Join(sides, " / ")))
	}
	if r.Solids != nil {
		brix := s.Number(r.Solids.Brix, 1) + " °Brix"
		if r.Solids.Celsius != nil {
			brix += " " + s.Text("command.reading.at", note.Name("celsius", s.AsGiven(*r.Solids.Celsius)))
		}
		parts = append(parts, brix)
	}
	if r.Red != nil {
		add("command.reading.red", note.Name("percent", s.AsGiven(*r.Red)))
	}
	if r.Ground != nil {
		key := "command.reading.ground"
		if r.Ground.Scale == "" {
			key = "command.reading.ground_alone"
		}
		add(key, note.Name("score", s.AsGiven(r.Ground.Score)), note.Name("scale", string(r.Ground.Scale)))
	}
	if r.Note != "" {
		add("command.reading.note", note.Name("text", r.Note))
	}
	return strings.Join(parts, ", ")
}
