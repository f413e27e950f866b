package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/vision"
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
				return usageError{fmt.Errorf("name two reference sets, as in %s gala idared; %d names are given", cmd.CommandPath(), len(args))}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := f.shelf()
			if err != nil {
				return err
			}
			return runRefsConvert(s, opt, args[0], args[1], cmd.OutOrStdout())
		},
	}
	cmd.Flags().StringArrayVar(&opt.photos, "photo", nil, "`PHOTO` of halves to call on both sets; may be given several times")
	cmd.Flags().BoolVar(&opt.json, "json", false, "print JSON for programs")
	return cmd
}

func runRefsConvert(s shelf, opt convertOptions, from, to string, stdout io.Writer) error {
	if len(opt.photos) == 0 {
		return usageError{errors.New("--photo is needed: sets are converted by what both call the same halves")}
	}
	a, err := s.set(from)
	if err != nil {
		return err
	}
	b, err := s.set(to)
	if err != nil {
		return err
	}
	halves, err := observeAll(opt.photos, a)
	if err != nil {
		return err
	}
	lines, err := calibrate.Convert(a, b, halves)
	if err != nil {
		return err
	}
	if opt.json {
		out := json.NewEncoder(stdout)
		out.SetIndent("", "  ")
		return out.Encode(lines)
	}
	return writeConversion(stdout, a, b, lines)
}

// observeAll measures photos as the set asks for and gives the halves that can
// be called.
func observeAll(photos []string, set calibrate.Set) ([]calibrate.Observation, error) {
	var out []calibrate.Observation
	for _, photo := range photos {
		_, tray, err := measureFile(photo, set)
		if err != nil {
			return nil, err
		}
		for _, h := range tray.Halves {
			if callable(h) {
				out = append(out, observe(h))
			}
		}
	}
	return out, nil
}

func callable(h vision.Half) bool {
	_, ok := h.Stained()
	return ok && !h.Clipped
}

func writeConversion(stdout io.Writer, a, b calibrate.Set, lines []calibrate.Conversion) error {
	w := tabwriter.NewWriter(stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintf(w, "%s.v%d\t%s.v%d\t90 %% of halves\thalves\n", a.Name, a.Version, b.Name, b.Version)
	for _, l := range lines {
		fmt.Fprintf(w, "%s\t%s\t%s to %s\t%d\n", scoring.Tenth(l.From), scoring.Tenth(l.To), scoring.Tenth(l.Low), scoring.Tenth(l.High), l.Halves)
	}
	return w.Flush()
}
