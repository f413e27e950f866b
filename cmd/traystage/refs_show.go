package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/setpicture"
	"traystage/cmd/internal/workbench"
	"traystage/vision/note"
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
				return runRefsShow(b, args[0], picture, speechOf(cmd))
			})
		},
	}
	cmd.Flags().StringVar(&picture, "picture", "", "write a sheet of the plates' pictures as this PNG `FILE`")
	return cmd
}

func runRefsShow(b *workbench.Bench, name, picture string, say speech) error {
	if err := checkPicture(picture); err != nil {
		return err
	}
	set, err := b.Shelf.Set(name)
	if err != nil {
		return err
	}
	if err := showSet(say, set); err != nil {
		return err
	}
	if err := showGraded(say, set); err != nil || picture == "" {
		return err
	}
	png, err := setpicture.Plates(set.Plates)
	if err != nil {
		return err
	}
	return files.WritePicture(picture, png)
}

// checkPicture refuses the name of a picture that could not be written, before work is done for it.
func checkPicture(path string) error {
	if path == "" {
		return nil
	}
	if !strings.EqualFold(filepath.Ext(path), ".png") {
		return fault.Usagef("--picture %q: is written as PNG; let its name end in .png", path)
	}
	return files.SparePicture(path)
}

func showSet(say speech, set calibrate.Set) error {
	err := say.tell("command.set.is", note.Name("set", set.Name), note.Count("version", set.Version),
		note.Name("stained", say.Mark(set.Scale.Stained)), note.Name("clear", say.Mark(set.Scale.Clear)))
	if err == nil {
		err = say.tell("command.set.calibrated", note.Name("yes", say.yesNo(set.Calibrated())), note.Figure("density", set.StainedDensity, 2, ""))
	}
	if err == nil && set.Note != "" {
		_, err = fmt.Fprintln(say.w, set.Note)
	}
	if err != nil {
		return err
	}
	fmt.Fprintln(say.w)
	t := say.table("column.stage", "column.stained", "column.zones", "column.from")
	for _, p := range set.Plates {
		zones := make([]string, len(p.Zones))
		for i, z := range p.Zones {
			zones[i] = say.Number(100*z, 0)
		}
		t.row(say.Number(p.Stage, 1), say.Number(100*p.Stained, 0), strings.Join(zones, " "), p.Source)
	}
	return t.Flush()
}

// showGraded prints the graded halves; nothing where there are none.
func showGraded(say speech, set calibrate.Set) error {
	if len(set.Graded) == 0 {
		return nil
	}
	fmt.Fprintln(say.w)
	t := say.table("column.graded", "column.stained", "column.by", "column.from")
	for _, g := range set.Graded {
		var by []string
		for _, grade := range g.Grades {
			by = append(by, strings.TrimSpace(grade.By+" "+say.Number(grade.Stage, 1)))
		}
		t.row(say.Number(g.Stage(), 1), say.Number(100*g.Seen.Stained, 0), strings.Join(by, ", "), g.Source)
	}
	return t.Flush()
}
