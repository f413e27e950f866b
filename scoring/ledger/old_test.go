package ledger

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// oldSeasons are seasons that earlier versions made, with the figures that those
// versions gave.
var oldSeasons = []string{"season-0.1.0"}

// An old season opens, is brought up to date and gives the figures that it gave.
func TestOldSeason(t *testing.T) {
	for _, name := range oldSeasons {
		t.Run(name, func(t *testing.T) {
			s := openCopy(t, name)
			if got := figures(t, s); got != oldFigures(t, name) {
				file := filepath.Join(os.TempDir(), name+".txt")
				t.Errorf("the figures are others: %v; see %s", os.WriteFile(file, []byte(got), 0o644), file)
			}
			if found, err := s.Check(t.Context()); err != nil || len(found) > 0 {
				t.Errorf("%v, %v", found, err)
			}
		})
	}
}

// oldFigures are those that an old season gave.
func oldFigures(t testing.TB, name string) string {
	t.Helper()
	want, err := os.ReadFile(filepath.Join("testdata", name+".txt"))
	if err != nil {
		t.Fatal(err)
	}
	return string(want)
}

// copySeason copies a season of testdata and gives its folder.
func copySeason(t testing.TB, name string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "larkfield")
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("testdata", name))); err != nil {
		t.Fatal(err)
	}
	return dir
}

// openCopy opens a copy of a season of testdata.
func openCopy(t testing.TB, name string) *Season {
	t.Helper()
	s, err := Open(t.Context(), copySeason(t, name))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// figures writes down what a season tells: all numbers to the last bit, and the
// words that people wrote. Words that programs made are counted only, as they
// may be put otherwise.
func figures(t testing.TB, s *Season) string {
	t.Helper()
	var b strings.Builder
	blocks, err := s.Blocks(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, block := range blocks {
		fmt.Fprintf(&b, "block %s\n", blockFigures(block))
		history, err := s.BlockHistory(t.Context(), block.Name)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range history {
			fmt.Fprintf(&b, "was %s %s %s\n", blockFigures(e.Block), e.By, e.At)
		}
		samples, err := s.Load(t.Context(), block.Name)
		if err != nil {
			t.Fatal(err)
		}
		for _, sample := range samples {
			sampleFigures(t, &b, s, sample)
		}
	}
	all, err := s.LoadAll(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, sample := range all {
		fmt.Fprintf(&b, "outlook: %s %s", sample.Block, sample.Picked)
		for _, f := range sample.Fruit() {
			fmt.Fprintf(&b, " %d:%v/%v", f.Number, f.Stage(), f.Scored())
		}
		fmt.Fprintln(&b)
	}
	otherFigures(t, &b, s)
	return b.String()
}

func blockFigures(b scoring.Block) string {
	return fmt.Sprintf("%q %q %q %s %q %q", b.Name, b.Variety, b.Market, b.Harvest, b.Set, b.Note)
}

func setFigures(r scoring.Reference) string {
	return fmt.Sprintf("%q %q %v %t %v %v %v", r.Name, r.Version, r.Scale, r.Calibrated, r.StainedDensity, r.Common.Standard, r.Common.Freedom)
}

func reviewFigures(r scoring.Review) string {
	return fmt.Sprintf("%t %v %s %s %q", r.Override, r.Stage, r.By, r.At, r.Why)
}

func sampleFigures(t testing.TB, b *strings.Builder, s *Season, sample scoring.Sample) {
	t.Helper()
	fmt.Fprintf(b, "sample %s %s %s %q %v %q\n", sample.Block, sample.Picked, sample.Tested, sample.Tester, sample.Wait, sample.Note)
	for _, tray := range sample.Trays {
		fmt.Fprintf(b, "tray %q %q %q %q %s %dx%d %s %s %d remarks %q mean %v of %d\n", tray.Orchard, tray.Block, tray.Variety, tray.Photo, tray.PhotoHash,
			tray.Width, tray.Height, tray.Taken, setFigures(tray.Reference), len(tray.Remarks), tray.Program, tray.Summary.Mean, tray.Summary.N)
		for _, f := range tray.Fruit {
			fruitFigures(b, f)
		}
	}
	for _, reading := range sample.Readings {
		readingFigures(b, reading)
		entries, err := s.History(t.Context(), sample.Block, sample.Picked, reading.Fruit)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			entryFigures(b, e)
		}
	}
}

func fruitFigures(b *strings.Builder, f scoring.Fruit) {
	c := f.Call
	fmt.Fprintf(b, "fruit %d %v %v %v %v %v %v %d reasons, %v %v %v %v %v %t %t %d remarks, outline %s", f.Number, c.Stage, c.Low, c.High, c.Between, c.Borderline, c.Worth,
		len(c.Reasons), f.Stained, f.Zones, f.Weights, f.Masked, f.Place.Centre, f.Clipped, !f.Unscored.IsZero(), len(f.Remarks), hashOf(packPoints(f.Place.Outline)))
	if f.Review != nil {
		fmt.Fprintf(b, " review %s", reviewFigures(*f.Review))
	}
	fmt.Fprintln(b)
}

func readingFigures(b *strings.Builder, r instrument.Reading) {
	fmt.Fprintf(b, "reading %d", r.Fruit)
	if r.Firmness != nil {
		fmt.Fprintf(b, " %v", r.Firmness.Tip)
		for _, side := range r.Firmness.Sides {
			fmt.Fprintf(b, " %v %s", side.Value, side.Unit)
		}
	}
	if r.Solids != nil {
		fmt.Fprintf(b, " %v %v", r.Solids.Brix, r.Solids.Compensated)
		if r.Solids.Celsius != nil {
			fmt.Fprintf(b, " at %v", *r.Solids.Celsius)
		}
	}
	if r.Red != nil {
		fmt.Fprintf(b, " red %v", *r.Red)
	}
	if r.Ground != nil {
		fmt.Fprintf(b, " ground %v %q", r.Ground.Score, r.Ground.Scale)
	}
	fmt.Fprintf(b, " %q\n", r.Note)
}

func entryFigures(b *strings.Builder, e Entry) {
	fmt.Fprintf(b, "entry %s %s ", e.At, e.By)
	switch {
	case e.Scoring != nil:
		fmt.Fprintf(b, "%v %q %s %s %s %q ", e.Scoring.Margin, e.Scoring.Photo, e.Scoring.PhotoHash, setFigures(e.Scoring.Reference), e.Scoring.SetDigest, e.Scoring.Program)
		fruitFigures(b, e.Scoring.Fruit)
	case e.Review != nil:
		fmt.Fprintf(b, "%s\n", reviewFigures(*e.Review))
	case e.Reading != nil:
		fmt.Fprintf(b, "%t ", e.Struck)
		readingFigures(b, *e.Reading)
	}
}

func otherFigures(t testing.TB, b *strings.Builder, s *Season) {
	t.Helper()
	checks, err := s.Checks(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range checks {
		fmt.Fprintf(b, "check %q %s %v %v %s %s\n", c.Instrument, c.Day, c.Expected, c.Shown, c.Unit, c.By)
	}
	for _, name := range []string{"orchard", StandardsSheet, RatesSheet} {
		sheets, err := s.Sheets(t.Context(), name)
		if err != nil {
			t.Fatal(err)
		}
		for _, sheet := range sheets {
			fmt.Fprintf(b, "sheet %s %q %s %s\n", name, sheet.Text, sheet.By, sheet.At)
		}
	}
}
