package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
)

type convertOptions struct {
	photos []string
	json   bool
}

func newRefsConvertCommand(f *seasonFlags) *cobra.Command {
	var opt convertOptions
	cmd := &cobra.Command{
		Use:   "convert FROM TO --photo TRAY...",
		Short: "Tell which stages of one set go with those of another",
		Long: `Convert calls the halves of the same photos on two reference sets and prints
which stage of the second goes with each whole stage of the first, with the
90 % interval for one half. Numbers of two scales cannot be converted by
themselves: a stage is what its set's plates look like. Take photos of the
variety in question with halves of many stages; stages that no half shows are
left out.
` + exitStatus,
		Example: `  traystage refs convert gala builtin-1-8 --photo tray1.jpg --photo tray2.jpg`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return fault.Usagef("name two reference sets, as in %s gala idared; %d names are given", cmd.CommandPath(), len(args))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return atBench(cmd.Context(), *f, func(b *workbench.Bench) error {
				return runRefsConvert(cmd.Context(), b, opt, args[0], args[1], cmd.OutOrStdout())
			})
		},
	}
	cmd.Flags().StringArrayVar(&opt.photos, "photo", nil, "`PHOTO` of halves to call on both sets; may be given several times")
	cmd.Flags().BoolVar(&opt.json, "json", false, "print JSON for programs")
	return cmd
}

func runRefsConvert(ctx context.Context, b *workbench.Bench, opt convertOptions, from, to string, stdout io.Writer) error {
	if len(opt.photos) == 0 {
		return fault.Usagef("--photo is needed: sets are converted by what both call the same halves")
	}
	photos := make([]workbench.Photo, len(opt.photos))
	for i, path := range opt.photos {
		photos[i] = workbench.PhotoFile(path)
	}
	c, err := b.Convert(ctx, from, to, photos)
	if err != nil {
		return err
	}
	if opt.json {
		out := json.NewEncoder(stdout)
		out.SetIndent("", "  ")
		return out.Encode(c.Lines)
	}
	return writeConversion(speech{speaking(ctx), stdout}, c)
}

func writeConversion(say speech, c workbench.Conversion) error {
	t := say.table()
	t.row(fmt.Sprintf("%s.v%d", c.From.Name, c.From.Version), fmt.Sprintf("%s.v%d", c.To.Name, c.To.Version), say.Text("column.of_halves_90"), say.Text("column.halves"))
	for _, l := range c.Lines {
		t.row(say.Number(l.From, 1), say.Number(l.To, 1), say.between(say.Number(l.Low, 1), say.Number(l.High, 1)), strconv.Itoa(l.Halves))
	}
	return t.Flush()
}
