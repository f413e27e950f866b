package workbench

import (
	"context"
	"fmt"
	"iter"
	"runtime"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/vision"
)

// Scorer is what photos are scored with. It may be used by several goroutines.
type Scorer struct {
	Set calibrate.Set

	bench   *Bench
	file    string // of the set; empty for the built-in one
	opt     vision.Options
	path    *calibrate.Path
	labels  Labels
	targets []float64 // stages at which the block's verdict turns
}

// Scorer makes ready to score photos on a reference set: the built-in one for "",
// else as Shelf.Set finds it. The labels are for the report.
func (b *Bench) Scorer(ref string, l Labels) (*Scorer, error) {
	set, file, err := b.Shelf.find(ref)
	if err != nil {
		return nil, err
	}
	path, err := calibrate.Fit(set)
	if err != nil {
		return nil, fmt.Errorf("reference set %s: %w", set.Name, err)
	}
	return &Scorer{Set: set, bench: b, file: file, opt: optionsOf(set), path: path, labels: l}, nil
}

// Expect says how many halves each photo shows; 0 where that is not known. It decides about doubtful places.
func (s *Scorer) Expect(halves int) { s.opt.Halves = halves }

// Scored is what became of one photo.
type Scored struct {
	Photo  []byte
	Report scoring.Report
	Err    error // then there is no report; it names the photo

	tray    vision.Tray
	margins []ledger.Margin // in step with the report's fruit
}

// Score measures one photo and calls its halves.
func (s *Scorer) Score(ctx context.Context, p Photo) Scored {
	if err := ctx.Err(); err != nil {
		return Scored{Err: err}
	}
	photo, tray, err := s.bench.measure(ctx, p, s.opt)
	if err != nil {
		return Scored{Err: err}
	}
	return Scored{Photo: photo, Report: s.reportOn(p.Name, photo, tray), tray: tray, margins: marginsOf(tray)}
}

// Each scores photos on all cores and yields what became of them in their order.
// What then does, if given, is done to each on its core as well.
func (s *Scorer) Each(ctx context.Context, photos []Photo, then func(i int, done Scored) Scored) iter.Seq[Scored] {
	return func(yield func(Scored) bool) {
		results := make([]chan Scored, len(photos))
		turn := make(chan struct{}, runtime.GOMAXPROCS(0))
		for i, p := range photos {
			results[i] = make(chan Scored, 1)
			go func() {
				turn <- struct{}{}
				defer func() { <-turn }()
				done := s.Score(ctx, p)
				if then != nil && done.Err == nil {
					done = then(i, done)
				}
				results[i] <- done
			}()
		}
		for _, r := range results {
			if !yield(<-r) {
				return
			}
		}
	}
}

// Pictures draws the calls over the photo and cuts out each half, as JPEG by its
// number.
func (d Scored) Pictures() (overlay []byte, crops map[int][]byte, err error) {
	overlay, crops, err = drawingOf(d.Report).over(d.Photo)
	if err != nil {
		err = fmt.Errorf("%s: %w", d.Report.Photo, err)
	}
	return overlay, crops, err
}
