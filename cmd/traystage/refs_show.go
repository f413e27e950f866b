package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/setpicture"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
)

func newRefsShowCommand(f *seasonFlags) *cobra.Command {
	var picture string
	cmd := &cobra.Command{
		Use:   "show NAME",
		Short: "Show the plates and graded halves of a reference set",
		Long: `Show prints the plates of a reference set: the stage of each, how much of its
flesh is stained, the same for every zone from the core outward, and where the
plate came from; then the halves that people graded, with all their grades. NAME is the newest version, NAME.v2 a certain one.
` + exitStatus,
		Example: `  traystage refs show builtin-1-8
  traystage refs show gala.v1 --picture gala.png`,
		Args: oneName,
		RunE: func(cmd *cobra.Command, args []string) error {
			return atBench(cmd.Context(), *f, func(b *workbench.Bench) error {
				return runRefsShow(b, args[0], picture, cmd.OutOrStdout())
			})
		},
	}
	cmd.Flags().StringVar(&picture, "picture", "", "write a sheet of the plates' pictures as this PNG `FILE`")
	return cmd
}

func runRefsShow(b *workbench.Bench, name, picture string, stdout io.Writer) error {
	if picture != "" && !strings.EqualFold(filepath.Ext(picture), ".png") {
		return fault.Usagef("--picture %q: is written as PNG; let its name end in .png", picture)
	}
	set, err := b.Shelf.Set(name)
	if err != nil {
		return err
	}
	fmt.Fprintf(stdout, "Reference set %s, version %d, stage %v all stained to %v no stain\n", set.Name, set.Version, set.Scale.Stained, set.Scale.Clear)
	fmt.Fprintf(stdout, "Calibrated: %s. Stained from a red density of %.2f.\n", yesNo(set.Calibrated()), set.StainedDensity)
	if set.Note != "" {
		fmt.Fprintln(stdout, set.Note)
	}
	w := tabwriter.NewWriter(stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "\nstage\tstained %\tzones from core to skin, %\tfrom")
	for _, p := range set.Plates {
		zones := make([]string, len(p.Zones))
		for i, z := range p.Zones {
			zones[i] = scoring.Percent(z)
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\n", scoring.Tenth(p.Stage), scoring.Percent(p.Stained), strings.Join(zones, " "), p.Source)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if err := showGraded(stdout, set); err != nil || picture == "" {
		return err
	}
	png, err := setpicture.Plates(set.Plates)
	if err != nil {
		return err
	}
	return files.Write(picture, png)
}

// showGraded prints the graded halves; nothing where there are none.
func showGraded(stdout io.Writer, set calibrate.Set) error {
	if len(set.Graded) == 0 {
		return nil
	}
	w := tabwriter.NewWriter(stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "\ngraded\tstained %\tby\tfrom")
	for _, g := range set.Graded {
		var by []string
		for _, grade := range g.Grades {
			by = append(by, strings.TrimSpace(grade.By+" "+scoring.Tenth(grade.Stage)))
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\n", scoring.Tenth(g.Stage()), scoring.Percent(g.Seen.Stained), strings.Join(by, ", "), g.Source)
	}
	return w.Flush()
}
