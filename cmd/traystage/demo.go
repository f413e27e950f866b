package main

import (
	"bytes"
	"context"
	_ "embed"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/refimages"
	"traystage/refimages/larkfield"
	"traystage/scoring/report"
)

// demoTray is testdata/trays/larkfield_demo.jpg, kept here so that the demo
// works wherever the program is; a test holds the two equal.
//
//go:embed demo/larkfield_demo.jpg
var demoTray []byte

func newDemoCommand() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Score a tray of the invented orchard Larkfield, then build its whole season",
		Long: `Demo scores one tray photo of the invented orchard Larkfield on the built-in
reference set. Then it builds the orchard's season with the commands that people
there would give: reference sets, five blocks, their samples, readings with their
slips. It ends with the outlook: which block to pick first. Everything is written
into one folder, the commands given included.
` + exitStatus,
		Example: `  traystage demo --out demo`,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return runDemo(cmd.Context(), out, cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
	}
	cmd.Flags().StringVar(&out, "out", "demo", "write the photo, the report and the overlay into this `FOLDER`")
	return cmd
}

func runDemo(ctx context.Context, out string, stdout, stderr io.Writer) error {
	if err := makeFolder(out); err != nil {
		return err
	}
	if err := demoOneTray(out, stdout); err != nil {
		return err
	}
	d, err := newSeasonDemo(ctx, out)
	if err != nil {
		return err
	}
	fmt.Fprintf(stdout, "\nNow a whole season at Larkfield, %d trays:\n\n", len(larkfield.Samples()))
	if err := d.build(stderr); err != nil {
		return err
	}
	if err := d.finish(stdout); err != nil {
		return err
	}
	_, err = fmt.Fprintf(stdout, "\nOpen %s in a browser, then the reports on the blocks in %s.\nThe commands that built the season are in %s.\n",
		filepath.Join(out, "outlook.html"), filepath.Join(out, "reports"), filepath.Join(out, "commands.txt"))
	return err
}

// demoOneTray scores one tray, without a season.
func demoOneTray(out string, stdout io.Writer) error {
	photo := filepath.Join(out, "larkfield_demo.jpg")
	page, picture := filepath.Join(out, "report.html"), filepath.Join(out, "overlay.jpg")
	if err := spareOthers(photo, page, picture); err != nil {
		return err
	}
	if err := writeFile(photo, demoTray); err != nil {
		return err
	}
	set, err := refimages.Builtin()
	if err != nil {
		return err
	}
	path, err := calibrate.Fit(set)
	if err != nil {
		return err
	}
	_, tray, err := measureFile(photo, set)
	if err != nil {
		return err
	}
	r := reportOn(photo, demoTray, tray, set, path, labels{orchard: "Larkfield", block: "Brook 5", variety: "Gala"})
	overlay, crops, err := drawHalves(demoTray, tray, marksOf(r))
	if err != nil {
		return err
	}
	if err := writeReport(page, picture, r, report.Pictures{Overlay: overlay, Crops: crops, Plates: set.Plates}); err != nil {
		return err
	}
	if err := report.WriteText(stdout, r); err != nil {
		return err
	}
	_, err = fmt.Fprintf(stdout, "\nThe photo is %s, the outlines found are in %s, the report is %s.\n", photo, picture, page)
	return err
}

// spareOthers refuses to write over files that no demo has written: those in
// a folder where the demo's tray is not.
func spareOthers(photo string, others ...string) error {
	if b, err := os.ReadFile(photo); err == nil && bytes.Equal(b, demoTray) {
		return nil
	}
	for _, path := range append(others, photo) {
		if _, err := os.Stat(path); err == nil {
			return fmt.Errorf("%s: is there already and not from a demo; choose another --out", path)
		}
	}
	return nil
}
