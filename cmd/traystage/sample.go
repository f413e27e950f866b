package main

import (
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/vision/note"
)

func newSampleCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "sample",
		Short: "List samples, change their day, tester or wait, or take them back",
		Long: `A sample is the fruit taken from one block on one day. A day that was typed wrong
is changed; two samples of one day become one.
` + exitStatus,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newSampleListCommand(), newSampleChangeCommand(), newSampleStrikeCommand(), newSampleRestoreCommand())
	return cmd
}

func newSampleListCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:     "list BLOCK",
		Short:   "List the samples of a block",
		Long:    "List tells the samples of a block that count, in order of the days they were picked.\n" + exitStatus,
		Example: `  traystage sample list "Brook 5" --season larkfield-2026`,
		Args:    oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				samples, err := b.Samples(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				return listSamples(speechOf(cmd), samples)
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

func listSamples(say speech, samples []scoring.Sample) error {
	t := say.table("column.picked", "column.tested", "column.tester", "column.wait", "column.trays", "column.halves", "column.read", "column.note")
	for _, s := range samples {
		tested := s.Tested
		if tested.IsZero() {
			tested = s.Picked
		}
		t.row(dayOrNone(s.Picked), dayOrNone(tested), s.Tester, say.waitOrNone(s.Wait), strconv.Itoa(len(s.Trays)), strconv.Itoa(len(s.Fruit())), strconv.Itoa(len(s.Readings)), s.Note)
	}
	return t.Flush()
}

// changeFlags say what of a sample is another.
type changeFlags struct {
	correction
	picked, day, to, tested, tester, wait, note string
}

func newSampleChangeCommand() *cobra.Command {
	var f changeFlags
	cmd := &cobra.Command{
		Use:   "change BLOCK",
		Short: "Change day, block, tester, wait or note of a sample",
		Long: `Change corrects what the flags name of a sample: the last one, or that of --picked.
Changed to a day that has a sample already, the two become one; where numbers of
fruit are taken, those that come go on after the last.
` + exitStatus,
		Example: `  traystage sample change "Brook 5" --picked 2026-09-14 --day 2026-09-13 --why "picked the evening before" --by hm --season larkfield-2026`,
		Args:    oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			picked, change, err := f.change(cmd)
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				s, err := b.ChangeSample(cmd.Context(), f.act(), args[0], picked, change)
				if err != nil {
					return err
				}
				return tellChanged(speechOf(cmd), s)
			})
		},
	}
	f.add(cmd)
	fl := cmd.Flags()
	fl.StringVar(&f.picked, "picked", "", "`DAY` of the sample to change; the last sample when not given")
	fl.StringVar(&f.day, "day", "", "the `DAY` it was picked on")
	fl.StringVar(&f.to, "to", "", "the `BLOCK` it is of")
	fl.StringVar(&f.tested, "tested", "", "the `DAY` it was tested on")
	fl.StringVar(&f.tester, "tester", "", "`INITIALS` of who tested it")
	fl.StringVar(&f.wait, "wait", "", "`TIME` from staining to photo, such as 2 (minutes) or 90s")
	fl.StringVar(&f.note, "note", "", "anything worth keeping with it")
	return cmd
}

func (f changeFlags) change(cmd *cobra.Command) (picked time.Time, c workbench.SampleChange, err error) {
	c.Why = f.why
	day := func(flag, text string) *time.Time {
		if text == "" || err != nil {
			return nil
		}
		var t time.Time
		t, err = parseDay(flag, text)
		return &t
	}
	if p := day("--picked", f.picked); p != nil {
		picked = *p
	}
	c.Picked, c.Tested = day("--day", f.day), day("--tested", f.tested)
	if err != nil {
		return picked, c, err
	}
	if f.wait != "" {
		wait, err := workbench.ParseWait(f.wait)
		if err != nil {
			return picked, c, fault.Usagef("--wait: %w", err)
		}
		c.Wait = &wait
	}
	for flag, to := range map[string]**string{"to": &c.Block, "tester": &c.Tester, "note": &c.Note} {
		if given := cmd.Flags().Lookup(flag); given.Changed {
			value := given.Value.String()
			*to = &value
		}
	}
	if c == (workbench.SampleChange{Why: f.why}) {
		return picked, c, fault.Usagef("what of it? give --day, --to, --tested, --tester, --wait or --note")
	}
	return picked, c, nil
}

func tellChanged(say speech, s workbench.ChangedSample) error {
	block, picked := note.Name("block", s.Block), note.Day("picked", s.Picked)
	switch {
	case s.Merged && s.Shift > 0:
		return say.tell("command.sample.merged_shifted", block, picked, note.Count("shift", s.Shift))
	case s.Merged:
		return say.tell("command.sample.merged", block, picked)
	}
	return say.tell("command.sample.changed", block, picked)
}

func newSampleStrikeCommand() *cobra.Command {
	var f reviewFlags
	cmd := &cobra.Command{
		Use:   "strike BLOCK --why TEXT",
		Short: "Take a sample back with its trays and readings",
		Long: `Strike takes the last sample of a block back, or that of --picked, so that it
counts no longer. Its photos may be stored again where they belong.
` + exitStatus,
		Example: `  traystage sample strike "Brook 5" --picked 2026-09-14 --why "fruit of the neighbour" --by hm --season larkfield-2026`,
		Args:    oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			picked, err := f.pickedDay()
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				day, err := b.StrikeSample(cmd.Context(), f.act(), args[0], picked, f.why)
				if err != nil {
					return err
				}
				return speechOf(cmd).tell("command.sample.struck", note.Day("day", day))
			})
		},
	}
	f.add(cmd)
	cmd.Flags().StringVar(&f.why, "why", "", "what was wrong, for the history")
	return cmd
}

func newSampleRestoreCommand() *cobra.Command {
	var f reviewFlags
	cmd := &cobra.Command{
		Use:     "restore BLOCK --picked DAY",
		Short:   "Put a struck sample back",
		Long:    "Restore puts the sample back that was struck last of a block and day.\n" + exitStatus,
		Example: `  traystage sample restore "Brook 5" --picked 2026-09-14 --by hm --season larkfield-2026`,
		Args:    oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			picked, err := f.pickedDay()
			if err == nil && picked.IsZero() {
				err = fault.Usagef("which one? give its day with --picked")
			}
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				return b.RestoreSample(cmd.Context(), f.act(), args[0], picked, f.why)
			})
		},
	}
	f.add(cmd)
	cmd.Flags().StringVar(&f.why, "why", "", "for the history")
	return cmd
}
