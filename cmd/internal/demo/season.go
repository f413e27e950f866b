package demo

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"traystage/cmd/internal/files"
	"traystage/refimages/larkfield"
	"traystage/scoring"
)

// The demo's season is built by the program's own commands, one after the
// other, as people at Larkfield would have given them; the list is kept beside
// the season for whoever wants to do the same.

// season is the season of the invented orchard in the making.
type season struct {
	Demo
	ctx      context.Context
	dir      string
	commands []string
}

// mark is a file that only the demo writes into a season's folder, by which
// it knows what it may build anew.
const mark = "made-by-the-demo"

// told is the list of commands, which is written last.
const told = "commands.txt"

// pictured is the picture of a set. That of an older demo nothing tells from somebody's own.
const pictured = "gala-set.png"

// Season is the folder of the demo's season in the demo's folder.
func Season(folder string) string { return filepath.Join(folder, "larkfield-2026") }

// Made says whether a folder holds a demo that was built to its end.
func Made(folder string) bool {
	for _, file := range []string{filepath.Join(Season(folder), "season.db"), filepath.Join(folder, told)} {
		if _, err := os.Stat(file); err != nil {
			return false
		}
	}
	return true
}

func (d Demo) newSeason(ctx context.Context) (*season, error) {
	s := &season{Demo: d, ctx: ctx, dir: Season(d.Folder)}
	if _, err := os.Stat(s.dir); err == nil {
		if _, err := os.Stat(filepath.Join(s.dir, mark)); err != nil {
			return nil, fmt.Errorf("%s: is there already and not from a demo; choose another --out", s.dir)
		}
		// The list goes first: without it what is left of the season is none.
		for _, file := range []string{told, pictured} {
			if err := os.Remove(filepath.Join(d.Folder, file)); err != nil && !os.IsNotExist(err) {
				return nil, err
			}
		}
		if err := os.RemoveAll(s.dir); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// do carries out one command line of traystage and keeps it in the list. What
// it prints is dropped.
func (d *season) do(args ...string) error {
	d.note(args)
	if err := d.Run(d.ctx, args, io.Discard); err != nil {
		return fmt.Errorf("%s: %w", strings.Join(args, " "), err)
	}
	return nil
}

// show carries out a command line whose output is to be seen.
func (d *season) show(stdout io.Writer, args ...string) error {
	d.note(args)
	return d.Run(d.ctx, args, stdout)
}

func (d *season) note(args []string) {
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
func (d *season) build() error {
	if err := d.do("season", "new", d.dir, "--orchard", larkfield.Orchard, "--by", "hm"); err != nil {
		return err
	}
	if err := files.Write(filepath.Join(d.dir, mark), nil); err != nil {
		return err
	}
	if err := d.sets(); err != nil {
		return err
	}
	for _, b := range larkfield.Blocks() {
		err := d.do("block", "add", b.Name, "--variety", b.Variety, "--market", b.Market,
			"--harvest", b.Harvest.Format(time.DateOnly), "--set", b.Set, "--by", "hm", "--season", d.dir)
		if err != nil {
			return err
		}
	}
	samples := larkfield.Samples()
	for i, s := range samples {
		if err := d.sample(s); err != nil {
			return err
		}
		if d.Step != nil {
			d.Step(i+1, len(samples))
		}
	}
	return d.slips()
}

// sets makes the reference sets: from a chart, and for one from graded trays.
func (d *season) sets() error {
	for _, set := range larkfield.Sets() {
		chart, err := d.photo(set.Photo)
		if err != nil {
			return err
		}
		if err := d.do("refs", "new", set.Name, "--photo", chart, "--stages", "1,2,3,4,5,6,7,8", "--season", d.dir); err != nil {
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
			if err := d.do("refs", "add", set.Name, "--photo", tray, "--stages", strings.Join(stages, ","), "--by", g.By, "--season", d.dir); err != nil {
				return err
			}
		}
	}
	return nil
}

// photo writes a photo of the scenario into the demo's folder.
func (d *season) photo(name string) (string, error) {
	b, err := larkfield.Photo(name)
	if err != nil {
		return "", err
	}
	folder := filepath.Join(d.Folder, "photos")
	if err := files.MakeFolder(folder); err != nil {
		return "", err
	}
	path := filepath.Join(folder, name)
	return path, files.Write(path, b)
}

// sample takes one sample in: its tray scored, its instruments checked, its
// readings typed in.
func (d *season) sample(s larkfield.Sample) error {
	day := s.Picked.Format(time.DateOnly)
	tray, err := d.photo(s.Photo)
	if err != nil {
		return err
	}
	if err := d.do("score", tray, "--block", s.Block, "--picked", day, "--wait", "2m", "--by", s.Tester, "--season", d.dir); err != nil {
		return err
	}
	if s.Checked {
		if err := d.checks(day, s.Tester); err != nil {
			return err
		}
	}
	sheet := filepath.Join(d.Folder, "photos", strings.TrimSuffix(s.Photo, filepath.Ext(s.Photo))+".csv")
	if err := files.Write(sheet, []byte(s.Readings)); err != nil {
		return err
	}
	args := []string{"readings", "add", s.Block, sheet, "--picked", day, "--by", s.Tester, "--season", d.dir}
	if s.Compensated {
		args = append(args, "--compensated")
	}
	return d.do(args...)
}

// checks are made of both instruments before readings are taken.
func (d *season) checks(day, by string) error {
	for _, c := range [][]string{
		{"penetrometer", "--weight", "10 lbf", "--shown", "10.1 lbf"},
		{"refractometer", "--water", "--shown", "0.0"},
	} {
		args := append([]string{"readings", "checked"}, c...)
		if err := d.do(append(args, "--on", day, "--by", by, "--season", d.dir)...); err != nil {
			return err
		}
	}
	return nil
}

// slips are what people set right afterwards.
func (d *season) slips() error {
	for _, c := range larkfield.Corrections() {
		if err := d.do(append(c, "--season", d.dir)...); err != nil {
			return err
		}
	}
	return nil
}

// finish writes the reports and shows the outlook, the list of commands last.
func (d *season) finish(stdout io.Writer) error {
	today := larkfield.Today.Format(time.DateOnly)
	for _, b := range larkfield.Blocks() {
		if err := d.do("report", b.Name, "--today", today, "--out", filepath.Join(d.Folder, "reports"), "--season", d.dir); err != nil {
			return err
		}
	}
	if err := d.do("refs", "check", larkfield.GalaSet, "--picture", filepath.Join(d.Folder, pictured), "--season", d.dir); err != nil {
		return err
	}
	if err := d.do("plan", "--today", today, "--out", filepath.Join(d.Folder, "sheets"), "--as", "pdf", "--season", d.dir); err != nil {
		return err
	}
	if err := d.show(stdout, "outlook", "--today", today, "--out", d.Folder, "--as", "html,pdf,xlsx", "--season", d.dir); err != nil {
		return err
	}
	return files.Write(filepath.Join(d.Folder, told), []byte(strings.Join(d.commands, "\n")+"\n"))
}
