package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/scoring/report"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
)

type scoreOptions struct {
	seasonFlags
	labels  workbench.Labels
	set     string
	out     string
	json    bool
	picked  string
	tester  string
	wait    string
	first   int
	halves  int
	without []int
}

func newScoreCommand() *cobra.Command {
	var opt scoreOptions
	cmd := &cobra.Command{
		Use:   "score PHOTO...",
		Short: "Tell the stage of every half on one or more tray photos",
		Long: `Score finds the stained halves on each photo, in reading order (rows from top
to bottom, each from left to right), and prints the stage of each with its
90 % interval, the two plates of the reference set that it lies between, how
much of its flesh is stained, and what deserves a look. The mean comes last.

Photograph from above in even light, without flash, all halves inside the frame.

With a season, --block names the block that the fruit come from: photos and
calls are kept in its sample of the day, the fruit numbered from 1 through all
photos in the order given.
` + exitStatus,
		Example: `  traystage score tray.jpg
  traystage score --set gala --out report tray.jpg
  traystage score --json tray1.jpg tray2.jpg
  traystage score tray.jpg --season larkfield-2026 --block "Brook 5" --picked 2026-09-14 --by hm`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fault.Usagef("name at least one photo, as in traystage score tray.jpg")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if opt.halves < 0 || opt.halves == 0 && cmd.Flags().Changed("halves") {
				return fault.Usagef("--halves %d: a photo shows one half at least; leave it out where nobody counted", opt.halves)
			}
			return atBench(cmd.Context(), opt.seasonFlags, func(b *workbench.Bench) error {
				if b.Season == nil || opt.labels.Block == "" {
					if err := ofSeason(cmd, "picked", "tester", "wait", "without", "first"); err != nil {
						return err
					}
					return runScore(cmd.Context(), b, opt, args, cmd.OutOrStdout(), cmd.ErrOrStderr())
				}
				return runIntake(cmd.Context(), b, opt, args, cmd.OutOrStdout(), cmd.ErrOrStderr())
			})
		},
	}
	opt.addSeason(cmd.Flags())
	opt.addBy(cmd)
	f := cmd.Flags()
	f.StringVar(&opt.set, "set", "", "reference set: a `NAME` from refs list, or a file; the built-in set when not given")
	f.StringVar(&opt.out, "out", "", "write an HTML report and an overlay picture of each photo into this `FOLDER`")
	f.BoolVar(&opt.json, "json", false, "print JSON for programs instead of a table")
	f.StringVar(&opt.labels.Orchard, "orchard", "", "name of the orchard, for the report")
	f.StringVar(&opt.labels.Block, "block", "", "name of the block: of the season, else for the report alone")
	f.StringVar(&opt.labels.Variety, "variety", "", "variety, for the report")
	f.StringVar(&opt.picked, "picked", "", "`DAY` the fruit were picked; that of the first photo when not given (season)")
	f.StringVar(&opt.tester, "tester", "", "`INITIALS` of who tested the fruit; those of --by when not given (season)")
	f.StringVar(&opt.wait, "wait", "", "`TIME` between staining and photo, such as 2 (minutes) or 90s; the season's setting when not given (season)")
	f.IntVar(&opt.halves, "halves", 0, "number of halves on each photo: it decides about doubtful places, and another number found is refused")
	numbersVar(f, &opt.without, "without", "`NUMBERS` of fruit that were not cut: they stay free (season)")
	f.IntVar(&opt.first, "first", 0, "number of the first fruit; when not given, 1 or the next one of the sample (season)")
	return cmd
}

// ofSeason refuses flags that say something of a sample where there is none to say it of: passed over, they would be
// taken for heeded.
func ofSeason(cmd *cobra.Command, flags ...string) error {
	for _, name := range flags {
		if cmd.Flags().Changed(name) {
			return fault.Usagef("--%s goes with a season: name the season with --season and the block with --block", name)
		}
	}
	return nil
}

func runScore(ctx context.Context, b *workbench.Bench, opt scoreOptions, photos []string, stdout, stderr io.Writer) error {
	scorer, err := b.Scorer(opt.set, opt.labels)
	if err != nil {
		return err
	}
	scorer.Expect(opt.halves)
	if opt.out != "" {
		if err := files.MakeFolder(opt.out); err != nil {
			return err
		}
	}
	jobs := files.Jobs(photos, opt.out)
	write := func(i int, done workbench.Scored) workbench.Scored {
		if err := done.Counted(opt.halves); err != nil {
			done.Err = withCount(err, []string{jobs[i].Photo}, "photograph again, or leave out --halves")
			return done
		}
		if jobs[i].Page != "" {
			done.Err = writeReport(jobs[i].Page, jobs[i].Overlay, done, scorer.Set.Plates, speaking(ctx))
		}
		return done
	}
	var reports []scoring.Report
	var failed fault.Several
	stopped := 0
	bar := newProgress(speech{speaking(ctx), stderr}, len(photos))
	for done := range scorer.Each(ctx, photosOf(jobs), write) {
		bar.step()
		switch {
		case errors.Is(done.Err, context.Canceled):
			stopped++
		case done.Err != nil:
			failed = append(failed, done.Err)
		default:
			reports = append(reports, done.Report)
		}
	}
	bar.clear()
	if err := printReports(stdout, reports, opt, len(photos), speaking(ctx)); err != nil {
		return err
	}
	if stopped > 0 {
		failed = append(failed, fmt.Errorf("stopped: %d of %d photos were not scored", stopped, len(photos)))
	}
	return failed.Err()
}

// photosOf are the photos of the jobs; those that are not to be done give why.
func photosOf(jobs []files.Job) []workbench.Photo {
	photos := make([]workbench.Photo, len(jobs))
	for i, j := range jobs {
		photos[i] = workbench.PhotoFile(j.Photo)
		if j.Err != nil {
			photos[i].Read = func() ([]byte, error) { return nil, j.Err }
		}
	}
	return photos
}

// writeReport writes a page and the overlay that it shows.
func writeReport(page, overlay string, done workbench.Scored, plates []calibrate.Plate, in *words.Catalogue) error {
	pics := report.Pictures{Plates: plates}
	var err error
	if pics.Overlay, pics.Crops, err = done.Pictures(); err != nil {
		return err
	}
	var b bytes.Buffer
	d, err := report.Tray{Report: done.Report, Pictures: pics, Words: in}.Document()
	if err == nil {
		err = document.WriteHTML(&b, d)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", page, err)
	}
	if err := files.WritePicture(overlay, pics.Overlay, page); err != nil {
		return err
	}
	return files.Write(page, b.Bytes())
}

func printReports(w io.Writer, reports []scoring.Report, opt scoreOptions, photos int, in *words.Catalogue) error {
	if opt.json {
		if photos > 1 {
			return report.WriteJSONList(w, in, reports...)
		}
		if len(reports) == 0 {
			return nil // the one photo failed: nothing to print
		}
		return report.WriteJSON(w, in, reports...)
	}
	for i, r := range reports {
		if i > 0 {
			fmt.Fprintln(w)
		}
		if err := report.WriteText(w, r, in); err != nil {
			return err
		}
	}
	return nil
}
