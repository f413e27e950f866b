package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"iter"
	"runtime"
	"time"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/scoring/report"
)

type scoreOptions struct {
	labels
	seasonFlags
	set    string
	out    string
	json   bool
	picked string
	tester string
	wait   time.Duration
	first  int
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
				return usageError{fmt.Errorf("name at least one photo, as in traystage score tray.jpg")}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if opt.folder() == "" || opt.block == "" {
				return runScore(cmd.Context(), opt, args, cmd.OutOrStdout(), cmd.ErrOrStderr())
			}
			return withSeason(cmd.Context(), opt.seasonFlags, func(s *ledger.Season) error {
				return runIntake(cmd.Context(), s, opt, args, cmd.OutOrStdout(), cmd.ErrOrStderr())
			})
		},
	}
	opt.addSeason(cmd.Flags())
	opt.addBy(cmd)
	f := cmd.Flags()
	f.StringVar(&opt.set, "set", "", "reference set: a `NAME` from refs list, or a file; the built-in set when not given")
	f.StringVar(&opt.out, "out", "", "write an HTML report and an overlay picture of each photo into this `FOLDER`")
	f.BoolVar(&opt.json, "json", false, "print JSON for programs instead of a table")
	f.StringVar(&opt.orchard, "orchard", "", "name of the orchard, for the report")
	f.StringVar(&opt.block, "block", "", "name of the block: of the season, else for the report alone")
	f.StringVar(&opt.variety, "variety", "", "variety, for the report")
	f.StringVar(&opt.picked, "picked", "", "`DAY` the fruit were picked; that of the first photo when not given (season)")
	f.StringVar(&opt.tester, "tester", "", "`INITIALS` of who tested the fruit; those of --by when not given (season)")
	f.DurationVar(&opt.wait, "wait", 0, "time between staining and photo, such as 2m (season)")
	f.IntVar(&opt.first, "first", 0, "number of the first fruit; when not given, 1 or the next one of the sample (season)")
	return cmd
}

func runScore(ctx context.Context, opt scoreOptions, photos []string, stdout, stderr io.Writer) error {
	s, err := openShelf()
	if err != nil {
		return err
	}
	set, err := s.set(opt.set)
	if err != nil {
		return err
	}
	path, err := calibrate.Fit(set)
	if err != nil {
		return fmt.Errorf("reference set %s: %w", set.Name, err)
	}
	if opt.out != "" {
		if err := makeFolder(opt.out); err != nil {
			return err
		}
	}
	var reports []scoring.Report
	var failed severalErrors
	stopped := 0
	bar := newProgress(stderr, len(photos))
	for done := range scoreAll(ctx, plan(photos, opt.out), caller{set, path, opt.labels, nil}) {
		bar.step()
		switch {
		case errors.Is(done.err, context.Canceled):
			stopped++
		case done.err != nil:
			failed = append(failed, done.err)
		default:
			reports = append(reports, done.report)
		}
	}
	bar.clear()
	if err := printReports(stdout, reports, opt, len(photos)); err != nil {
		return err
	}
	if stopped > 0 {
		failed = append(failed, fmt.Errorf("stopped: %d of %d photos were not scored", stopped, len(photos)))
	}
	if len(failed) > 0 {
		return failed
	}
	return nil
}

func printReports(w io.Writer, reports []scoring.Report, opt scoreOptions, photos int) error {
	if opt.json {
		if photos > 1 {
			return report.WriteJSONList(w, reports...)
		}
		if len(reports) == 0 {
			return nil // the one photo failed: nothing to print
		}
		return report.WriteJSON(w, reports...)
	}
	for i, r := range reports {
		if i > 0 {
			fmt.Fprintln(w)
		}
		if err := report.WriteText(w, r); err != nil {
			return err
		}
	}
	return nil
}

// scored is what became of one photo.
type scored struct {
	photo   []byte
	report  scoring.Report
	margins []ledger.Margin // in step with the report's fruit
	err     error
}

// scoreAll does the jobs on all cores and yields what became of them in their order.
func scoreAll(ctx context.Context, jobs []job, c caller) iter.Seq[scored] {
	return func(yield func(scored) bool) {
		results := make([]chan scored, len(jobs))
		turn := make(chan struct{}, runtime.GOMAXPROCS(0))
		for i, j := range jobs {
			results[i] = make(chan scored, 1)
			go func() {
				turn <- struct{}{}
				defer func() { <-turn }()
				if ctx.Err() != nil {
					results[i] <- scored{err: ctx.Err()}
					return
				}
				results[i] <- c.score(j)
			}()
		}
		for _, r := range results {
			if !yield(<-r) {
				return
			}
		}
	}
}

// caller is what photos are scored with.
type caller struct {
	set     calibrate.Set
	path    *calibrate.Path
	labels  labels
	targets []float64 // stages at which the block's verdict turns
}

func (c caller) score(j job) scored {
	if j.err != nil {
		return scored{err: j.err}
	}
	photo, tray, err := measureFile(j.photo, c.set)
	if err != nil {
		return scored{err: err}
	}
	done := scored{photo: photo, report: reportOn(j.photo, photo, tray, c.set, c.path, c.labels, c.targets...), margins: marginsOf(tray)}
	if j.page == "" {
		return done
	}
	overlay, crops, err := drawHalves(photo, tray, marksOf(done.report))
	if err != nil {
		done.err = fmt.Errorf("%s: %w", j.photo, err)
		return done
	}
	done.err = writeReport(j.page, j.overlay, done.report, report.Pictures{Overlay: overlay, Crops: crops, Plates: c.set.Plates})
	return done
}
