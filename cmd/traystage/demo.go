package main

import (
	"bytes"
	_ "embed"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/refimages"
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
		Short: "Score a tray of the invented orchard Larkfield and write its report",
		Long: `Demo writes a tray photo of the invented orchard Larkfield into a folder, scores
it on the built-in reference set, and writes the report and the overlay beside it.
` + exitStatus,
		Example: `  traystage demo --out demo`,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return runDemo(out, cmd.OutOrStdout())
		},
	}
	cmd.Flags().StringVar(&out, "out", "demo", "write the photo, the report and the overlay into this `FOLDER`")
	return cmd
}

func runDemo(out string, stdout io.Writer) error {
	if err := makeFolder(out); err != nil {
		return err
	}
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
	_, err = fmt.Fprintf(stdout, "\nThe photo is %s, the outlines found are in %s.\nOpen %s in a browser.\n", photo, picture, page)
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
