// Package demo scores one tray of the invented orchard Larkfield and builds its
// whole season, by the command lines that people there would give.
package demo

import (
	"bytes"
	"context"
	_ "embed"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/refimages/larkfield"
	"traystage/scoring/report"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// Tray is testdata/trays/larkfield_demo.jpg, kept here so that the demo works
// wherever the program is; a test holds the two equal.
//
//go:embed larkfield_demo.jpg
var Tray []byte

// Demo is where a demo is made and what it is made with.
type Demo struct {
	Bench  *workbench.Bench // without a season: scores the single tray
	Folder string           // all that the demo writes is in it
	// Run carries out one command line of traystage, without the name of the
	// program. Its error is what the program told.
	Run   func(ctx context.Context, args []string, stdout io.Writer) error
	Step  func(done, all int) // told of each sample taken in; nil for silence
	Words *words.Catalogue    // the language of what it tells
	Call  string              // how the program is called on the command line
}

// Morning is when a desk opens on the demo's season: on the day of its outlook.
func Morning() time.Time { return larkfield.Today.Add(9 * time.Hour) }

// Make makes the whole demo and says on stdout what can be seen in it.
func (d Demo) Make(ctx context.Context, stdout io.Writer) error {
	if err := files.MakeFolder(d.Folder); err != nil {
		return err
	}
	if err := d.oneTray(ctx, stdout); err != nil {
		return err
	}
	s, err := d.newSeason(ctx)
	if err != nil {
		return err
	}
	fmt.Fprintf(stdout, "\n%s\n\n", d.Words.Text("demo.season", note.Count("n", len(larkfield.Samples()))))
	if err := s.build(); err != nil {
		return err
	}
	if err := s.finish(stdout); err != nil {
		return err
	}
	in := func(name, file string) note.Value { return note.Name(name, filepath.Join(d.Folder, file)) }
	_, err = fmt.Fprintf(stdout, "\n%s\n%s\n%s %s desk demo --out %s\n", d.Words.Text("demo.open", in("outlook", "outlook.html"), in("reports", "reports")),
		d.Words.Text("demo.commands", in("commands", told)), d.Words.Text("demo.phone"), d.Call, d.Folder)
	return err
}

// oneTray scores one tray, without a season.
func (d Demo) oneTray(ctx context.Context, stdout io.Writer) error {
	photo := filepath.Join(d.Folder, "larkfield_demo.jpg")
	page, picture := filepath.Join(d.Folder, "report.html"), filepath.Join(d.Folder, "overlay.jpg")
	if err := spareOthers(photo, page, picture); err != nil {
		return err
	}
	if err := files.Write(photo, Tray); err != nil {
		return err
	}
	scorer, err := d.Bench.Scorer("", workbench.Labels{Orchard: "Larkfield", Block: "Brook 5", Variety: "Gala"})
	if err != nil {
		return err
	}
	done := scorer.Score(ctx, workbench.PhotoBytes(photo, Tray))
	if done.Err != nil {
		return done.Err
	}
	pics := report.Pictures{Plates: scorer.Set.Plates}
	if pics.Overlay, pics.Crops, err = done.Pictures(); err != nil {
		return err
	}
	var html bytes.Buffer
	laid, err := report.Tray{Report: done.Report, Pictures: pics, Words: d.Words}.Document()
	if err != nil {
		return err
	}
	if err := document.WriteHTML(&html, laid); err != nil {
		return err
	}
	if err := files.Write(picture, pics.Overlay); err != nil {
		return err
	}
	if err := files.Write(page, html.Bytes()); err != nil {
		return err
	}
	if err := report.WriteText(stdout, done.Report, d.Words); err != nil {
		return err
	}
	_, err = fmt.Fprintf(stdout, "\nThe photo is %s, the outlines found are in %s, the report is %s.\n", photo, picture, page)
	return err
}

// spareOthers refuses to write over files that no demo has written: those in
// a folder where the demo's tray is not.
func spareOthers(photo string, others ...string) error {
	if b, err := os.ReadFile(photo); err == nil && bytes.Equal(b, Tray) {
		return nil
	}
	for _, path := range append(others, photo) {
		if _, err := os.Stat(path); err == nil {
			return fmt.Errorf("%s: is there already and not from a demo; choose another --out", path)
		}
	}
	return nil
}
