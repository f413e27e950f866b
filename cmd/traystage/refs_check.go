package main

import (
	"context"
	"encoding/json"
	"io"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/files"
	"traystage/cmd/internal/setpicture"
	"traystage/cmd/internal/workbench"
)

type checkOptions struct {
	gradedFlags
	against string
	picture string
	json    bool
}

func newRefsCheckCommand(f *seasonFlags) *cobra.Command {
	var opt checkOptions
	cmd := &cobra.Command{
		Use:   "check NAME [--photo TRAY --stages LIST|FILE] [--against OLDER]",
		Short: "Tell whether a reference set can be trusted",
		Long: `Check calls every plate by the set without it and every graded half by the set
without its tray, and tells how far off the calls are, which plates contradict
each other, where plates or grades are missing, how graders agree with the
calls and with each other, and whether the intervals hold what they promise.
The verdict comes first, in one sentence: fit for use, usable with care, or do
not use, and what to photograph next.

With --photo and --stages it also calls a graded tray that the set does not
hold, the hardest test there is. With --against it tells how far the calls have
moved since an older set.
` + exitStatus,
		Example: `  traystage refs check gala
  traystage refs check builtin-1-8 --photo tray.jpg --stages 2.5,3,,4.5 --picture check.png
  traystage refs check gala --against gala.v1 --json`,
		Args: oneName,
		RunE: func(cmd *cobra.Command, args []string) error {
			return atBench(cmd.Context(), *f, func(b *workbench.Bench) error {
				return runRefsCheck(cmd.Context(), b, opt, args[0], cmd.OutOrStdout(), cmd.ErrOrStderr())
			})
		},
	}
	opt.flags(cmd)
	cmd.Flags().StringVar(&opt.against, "against", "", "an older set: a `NAME`, NAME.v2 or a file")
	cmd.Flags().StringVar(&opt.picture, "picture", "", "draw the path, its plates and graded halves as this PNG `FILE`")
	cmd.Flags().BoolVar(&opt.json, "json", false, "print JSON for programs")
	return cmd
}

// check refuses what is wrong before a set is read. A tray may be left out.
func (opt checkOptions) check() error {
	if err := checkPicture(opt.picture); err != nil {
		return err
	}
	if opt.photo == "" && opt.stages == "" {
		return nil
	}
	return opt.gradedFlags.check()
}

func runRefsCheck(ctx context.Context, b *workbench.Bench, opt checkOptions, name string, stdout, stderr io.Writer) error {
	if err := opt.check(); err != nil {
		return err
	}
	var tray *workbench.GradedPhoto
	if opt.photo != "" {
		graded, err := opt.read()
		if err != nil {
			return err
		}
		tray = &graded
	}
	bar := newProgress(speech{speaking(ctx), stderr}, 0)
	bar.key = "command.progress.parts"
	c, err := b.CheckSet(ctx, name, tray, opt.against, bar.set)
	bar.clear()
	if err != nil {
		return opt.told(err)
	}
	if opt.picture != "" {
		png, err := setpicture.Check(c.Set, c.Check, c.Fresh)
		if err != nil {
			return err
		}
		if err := files.WritePicture(opt.picture, png); err != nil {
			return err
		}
	}
	if opt.json {
		out := json.NewEncoder(stdout)
		out.SetIndent("", "  ")
		return out.Encode(checkJSON(c.Check, speaking(ctx)))
	}
	return speech{speaking(ctx), stdout}.check(c.Check)
}
