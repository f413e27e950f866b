package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"traystage/refimages/larkfield"
	"traystage/scoring"
)

// The demo's season is built by the program's own commands, one after the
// other, as people at Larkfield would have given them; the list is kept beside
// the season for whoever wants to do the same.

// seasonDemo is a season of the invented orchard in the making.
type seasonDemo struct {
	ctx      context.Context
	folder   string // all that the demo writes is in it
	season   string
	commands []string
}

// demoMark is a file that only the demo writes into a season's folder, by which
// it knows what it may build anew.
const demoMark = "made-by-the-demo"

func newSeasonDemo(ctx context.Context, out string) (*seasonDemo, error) {
	d := &seasonDemo{ctx: ctx, folder: out, season: filepath.Join(out, "larkfield-2026")}
	if _, err := os.Stat(d.season); err == nil {
		if _, err := os.Stat(filepath.Join(d.season, demoMark)); err != nil {
			return nil, fmt.Errorf("%s: is there already and not from a demo; choose another --out", d.season)
		}
		if err := os.RemoveAll(d.season); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// do carries out one command line of traystage and keeps it in the list. What
// it prints is dropped unless it fails.
func (d *seasonDemo) do(args ...string) error {
	var stdout, stderr bytes.Buffer
	d.note(args)
	if code := run(d.ctx, args, &stdout, &stderr); code != exitDone {
		return fmt.Errorf("%s: %s", strings.Join(args, " "), strings.TrimPrefix(strings.TrimSpace(stderr.String()), "traystage: "))
	}
	return nil
}

// show carries out a command line whose output is to be seen.
func (d *seasonDemo) show(stdout io.Writer, args ...string) error {
	d.note(args)
	var stderr bytes.Buffer
	if code := run(d.ctx, args, stdout, &stderr); code != exitDone {
		return errors.New(strings.TrimPrefix(strings.TrimSpace(stderr.String()), "traystage: "))
	}
	return nil
}

func (d *seasonDemo) note(args []string) {
	quoted := []string{"traystage"}
	for _, a := range args {
		if a == "" || strings.ContainsAny(a, " '\"") {
			a = strconv.Quote(a)
		}
		quoted = append(quoted, a)
	}
	d.commands = append(d.commands, strings.Join(quoted, " "))
}

// build makes the season up to its last day.
func (d *seasonDemo) build(stderr io.Writer) error {
	if err := d.do("season", "new", d.season, "--orchard", larkfield.Orchard, "--by", "hm"); err != nil {
		return err
	}
	if err := writeFile(filepath.Join(d.season, demoMark), nil); err != nil {
		return err
	}
	if err := d.sets(); err != nil {
		return err
	}
	for _, b := range larkfield.Blocks() {
		err := d.do("block", "add", b.Name, "--variety", b.Variety, "--market", b.Market,
			"--harvest", b.Harvest.Format(time.DateOnly), "--set", b.Set, "--by", "hm", "--season", d.season)
		if err != nil {
			return err
		}
	}
	samples := larkfield.Samples()
	bar := newProgress(stderr, len(samples))
	defer bar.clear()
	for _, s := range samples {
		if err := d.sample(s); err != nil {
			return err
		}
		bar.step()
	}
	return d.slips()
}

// sets makes the reference sets: from a chart, and for one from graded trays.
func (d *seasonDemo) sets() error {
	for _, set := range larkfield.Sets() {
		chart, err := d.photo(set.Photo)
		if err != nil {
			return err
		}
		if err := d.do("refs", "new", set.Name, "--photo", chart, "--stages", "1,2,3,4,5,6,7,8", "--season", d.season); err != nil {
			return err
		}
		for _, g := range set.Graded {
			tray, err := d.photo(g.Photo)
			if err != nil {
				return err
			}
			stages := make([]string, len(g.Stages))
			for i, s := range g.Stages {
				stages[i] = scoring.Tenth(s)
			}
			if err := d.do("refs", "add", set.Name, "--photo", tray, "--stages", strings.Join(stages, ","), "--by", g.By, "--season", d.season); err != nil {
				return err
			}
		}
	}
	return nil
}

// photo writes a photo of the scenario into the demo's folder.
func (d *seasonDemo) photo(name string) (string, error) {
	b, err := larkfield.Photo(name)
	if err != nil {
		return "", err
	}
	folder := filepath.Join(d.folder, "photos")
	if err := makeFolder(folder); err != nil {
		return "", err
	}
	path := filepath.Join(folder, name)
	return path, writeFile(path, b)
}

// sample takes one sample in: its instruments checked, its tray scored, its
// readings typed in.
func (d *seasonDemo) sample(s larkfield.Sample) error {
	day := s.Picked.Format(time.DateOnly)
	if s.Checked {
		for _, c := range [][]string{
			{"penetrometer", "--weight", "10 lbf", "--shown", "10.1 lbf"},
			{"refractometer", "--water", "--shown", "0.0"},
		} {
			args := append([]string{"readings", "checked"}, c...)
			if err := d.do(append(args, "--on", day, "--by", s.Tester, "--season", d.season)...); err != nil {
				return err
			}
		}
	}
	tray, err := d.photo(s.Photo)
	if err != nil {
		return err
	}
	if err := d.do("score", tray, "--block", s.Block, "--picked", day, "--wait", "2m", "--by", s.Tester, "--season", d.season); err != nil {
		return err
	}
	sheet := filepath.Join(d.folder, "photos", strings.TrimSuffix(s.Photo, filepath.Ext(s.Photo))+".csv")
	if err := writeFile(sheet, []byte(s.Readings)); err != nil {
		return err
	}
	args := []string{"readings", "add", s.Block, sheet, "--picked", day, "--by", s.Tester, "--season", d.season}
	if s.Compensated {
		args = append(args, "--compensated")
	}
	return d.do(args...)
}

// slips are what people set right afterwards.
func (d *seasonDemo) slips() error {
	for _, c := range larkfield.Corrections() {
		if err := d.do(append(c, "--season", d.season)...); err != nil {
			return err
		}
	}
	return nil
}

// finish writes the reports and shows the outlook, the list of commands last.
func (d *seasonDemo) finish(stdout io.Writer) error {
	today := larkfield.Today.Format(time.DateOnly)
	for _, b := range larkfield.Blocks() {
		if err := d.do("report", b.Name, "--today", today, "--out", filepath.Join(d.folder, "reports"), "--season", d.season); err != nil {
			return err
		}
	}
	if err := d.do("refs", "check", larkfield.GalaSet, "--picture", filepath.Join(d.folder, "gala-set.png"), "--season", d.season); err != nil {
		return err
	}
	if err := d.do("plan", "--today", today, "--out", filepath.Join(d.folder, "sheets"), "--as", "pdf", "--season", d.season); err != nil {
		return err
	}
	if err := d.show(stdout, "outlook", "--today", today, "--out", d.folder, "--as", "html,pdf,xlsx", "--season", d.season); err != nil {
		return err
	}
	return writeFile(filepath.Join(d.folder, "commands.txt"), []byte(strings.Join(d.commands, "\n")+"\n"))
}
