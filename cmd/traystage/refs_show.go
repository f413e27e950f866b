package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/disintegration/imaging"
	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/scoring"
)

func newRefsShowCommand() *cobra.Command {
	var picture string
	cmd := &cobra.Command{
		Use:   "show NAME",
		Short: "Show the plates of a reference set",
		Long: `Show prints the plates of a reference set: the stage of each, how much of its
flesh is stained, the same for every zone from the core outward, and where the
plate came from. NAME is the newest version, NAME.v2 a certain one.
` + exitStatus,
		Example: `  traystage refs show builtin-1-8
  traystage refs show gala.v1 --picture gala.png`,
		Args: oneName,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runRefsShow(args[0], picture, cmd.OutOrStdout())
		},
	}
	cmd.Flags().StringVar(&picture, "picture", "", "write a sheet of the plates' pictures as this PNG `FILE`")
	return cmd
}

func runRefsShow(name, picture string, stdout io.Writer) error {
	s, err := openShelf()
	if err != nil {
		return err
	}
	set, err := s.set(name)
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
	if err := w.Flush(); err != nil || picture == "" {
		return err
	}
	return writeSheet(picture, set.Plates)
}

// writeSheet draws the plates' pictures four in a row, in order of stage.
func writeSheet(path string, plates []calibrate.Plate) error {
	const side, gap, perRow = cropSide, 8, 4
	rows := (len(plates) + perRow - 1) / perRow
	sheet := imaging.New(perRow*(side+gap)+gap, rows*(side+gap)+gap, color.White)
	for i, p := range plates {
		if len(p.Picture) == 0 {
			continue
		}
		img, err := jpeg.Decode(bytes.NewReader(p.Picture))
		if err != nil {
			return fmt.Errorf("picture of the plate of stage %v: %w", p.Stage, err)
		}
		at := image.Pt(gap+i%perRow*(side+gap), gap+i/perRow*(side+gap))
		sheet = imaging.Paste(sheet, imaging.Fit(img, side, side, imaging.Lanczos), at)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, sheet); err != nil {
		return err
	}
	return writeFile(path, b.Bytes())
}
