package desk

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"time"

	"traystage/cmd/internal/workbench"
	"traystage/scoring"
)

// waiting is a call that waits for the grower's eye, on the last sample of a block.
type waiting struct {
	Block  scoring.Block
	Picked time.Time
	scoring.Look
}

// day is what all pages show of the season on one day.
type day struct {
	Today   time.Time
	Outlook scoring.Outlook
	Plan    workbench.Plan
	Looks   []waiting // those that could turn a verdict first, over all blocks
}

// view computes the season's day once for all who look, until something is
// written to the season, by the desk or by another program, or the day ends.
type view struct {
	bench *workbench.Bench

	mu    sync.Mutex
	stamp string
	now   *day
}

func newView(b *workbench.Bench) *view { return &view{bench: b} }

// forget has the next one who looks compute the day anew.
func (v *view) forget() {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.now = nil
}

// get gives the day; what it holds is shared and not to be changed.
func (v *view) get(ctx context.Context) (*day, error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	stamp := v.stampNow()
	if v.now != nil && v.stamp == stamp {
		return v.now, nil
	}
	d, err := v.compute(ctx)
	if err != nil {
		return nil, err
	}
	v.now, v.stamp = d, stamp
	return d, nil
}

// stampNow changes with the files of the season's database and with the day.
func (v *view) stampNow() string {
	stamp := v.bench.Today().Format(time.DateOnly)
	for _, name := range []string{"season.db", "season.db-wal"} {
		if info, err := os.Stat(filepath.Join(v.bench.Season.Dir(), name)); err == nil {
			stamp += fmt.Sprint(" ", info.Size(), info.ModTime().UnixNano())
		}
	}
	return stamp
}

func (v *view) compute(ctx context.Context) (*day, error) {
	d := &day{Today: v.bench.Today()}
	opt := scoring.Options{Today: d.Today}
	var err error
	if d.Outlook, err = v.bench.Outlook(ctx, opt); err != nil {
		return nil, err
	}
	if d.Plan, err = v.bench.Plan(ctx, 0, opt); err != nil {
		return nil, err
	}
	d.Looks, err = v.looks(ctx, d.Outlook, opt)
	return d, err
}

// looks gathers the calls of all blocks that wait.
func (v *view) looks(ctx context.Context, o scoring.Outlook, opt scoring.Options) ([]waiting, error) {
	per := make([][]waiting, len(o.Blocks))
	errs := make([]error, len(o.Blocks))
	turn := make(chan struct{}, runtime.GOMAXPROCS(0))
	var done sync.WaitGroup
	for i, p := range o.Blocks {
		if p.Sampled.IsZero() {
			continue
		}
		done.Go(func() {
			turn <- struct{}{}
			defer func() { <-turn }()
			r, err := v.bench.Report(ctx, p.Block.Name, opt)
			if err != nil {
				errs[i] = err
				return
			}
			for _, l := range r.Looks {
				per[i] = append(per[i], waiting{r.Block, r.Sample.Picked, l})
			}
		})
	}
	done.Wait()
	for _, err := range errs {
		if ctx.Err() != nil {
			return nil, err
		}
	}
	all := slices.Concat(per...)
	slices.SortStableFunc(all, func(a, b waiting) int {
		if a.Turns != b.Turns {
			if a.Turns {
				return -1
			}
			return 1
		}
		return cmp.Compare(b.Shift, a.Shift)
	})
	return all, nil
}
