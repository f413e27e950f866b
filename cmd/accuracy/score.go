package main

import (
	"errors"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat"

	"traystage/calibrate"
	"traystage/vision"
)

// outcome is what the program made of one photo.
type outcome struct {
	photo     photo
	truth     trayTruth
	tray      vision.Tray
	err       error // from measuring; vision.ErrNoHalves is an answer, not a failure
	took      time.Duration
	pairs     []pair            // one for each true half
	unmatched []int             // found halves that match no true one
	calls     []*calibrate.Call // of each found half; nil where it has none
}

// failed says that measuring gave no answer at all.
func (o outcome) failed() bool { return o.err != nil && !errors.Is(o.err, vision.ErrNoHalves) }

// errorsOf is one measured half against its truth.
type errorsOf struct {
	stained float64 // stained fraction, measured - true
	zones   float64 // mean absolute error of the zones, weighted with their share of the flesh
}

// compare gives the errors of one measured half; false when it has no fraction.
func compare(truth halfTruth, found vision.Half) (errorsOf, bool) {
	stained, ok := found.Stained()
	if !ok {
		return errorsOf{}, false
	}
	out := errorsOf{stained: stained - truth.stained}
	weights := 0.0
	for i, f := range found.Profile.Fractions() {
		if i < len(truth.zones) {
			out.zones += truth.weights[i] * math.Abs(f-truth.zones[i])
			weights += truth.weights[i]
		}
	}
	if weights > 0 {
		out.zones /= weights
	}
	return out, true
}

// score is what a group of photos adds up to. Lists hold one entry for each
// half or photo; errors are measured - true.
type score struct {
	photos, failed int
	halves         int // true ones inside the frame: those that should be found and measured
	found          int // of them matched and not reported as clipped
	falses         int // found where there is none, or cut by the frame and measured all the same

	suspects              int // places that may hold a half but were not numbered
	clipped, clippedRight int // halves cut by the frame or reported so; of them, those that are both
	ordered, orderRight   int // trays with two matched halves or more; of them, numbered in the true order
	empty, emptyRight     int // photos without halves; of them, answered with ErrNoHalves

	iou     []float64
	stained []float64 // stained fraction of halves in full view
	hidden  []float64 // the same of halves that something lies over
	zones   []float64 // weighted mean absolute zone error
	bounds  []float64 // how far the bounds of the stained fraction are apart
	bounded int       // fractions whose bounds contain the true one, to countError
	stage   []float64
	inside  int       // calls whose interval contains the true stage
	width   []float64 // of those intervals, stages
	block   []float64 // mean stage of the tray, called - true
	seconds []float64 // for each photo

	marked             int // calls that are borderline
	large, largeMarked int // calls off by more than half a stage; of them, those that are borderline
}

// countError is what the truth itself is known to.
const countError = 0.0005

// largeError is an error of a stage that a grower must be told of.
const largeError = 0.5

func (s *score) add(o outcome) {
	s.photos++
	s.suspects += len(o.tray.Suspects)
	s.seconds = append(s.seconds, o.took.Seconds())
	if o.failed() {
		s.failed++
	}
	if len(o.truth.halves) == 0 {
		s.empty++
		if errors.Is(o.err, vision.ErrNoHalves) {
			s.emptyRight++
		}
	}
	matched := 0
	for _, p := range o.pairs {
		s.addHalf(o, p)
		if p.found >= 0 {
			matched++
		}
	}
	for _, f := range o.unmatched {
		s.falses++
		if o.tray.Halves[f].Clipped {
			s.clipped++
		}
	}
	if matched > 1 {
		s.ordered++
		if inOrder(o.pairs, o.tray.Halves) {
			s.orderRight++
		}
	}
	if e, ok := blockError(o); ok {
		s.block = append(s.block, e)
	}
}

func (s *score) addHalf(o outcome, p pair) {
	truth := o.truth.halves[p.truth]
	if !truth.clipped {
		s.halves++
	}
	if p.found < 0 {
		if truth.clipped {
			s.clipped++
		}
		return
	}
	found := o.tray.Halves[p.found]
	if truth.clipped || found.Clipped {
		s.clipped++
		switch {
		case truth.clipped && found.Clipped:
			s.clippedRight++
		case truth.clipped:
			s.falses++
		}
		return
	}
	s.found++
	s.iou = append(s.iou, p.iou)
	e, ok := compare(truth, found)
	if !ok {
		return
	}
	if truth.hidden() {
		s.hidden = append(s.hidden, e.stained)
		return
	}
	s.stained = append(s.stained, e.stained)
	s.addBounds(truth.stained, found)
	s.zones = append(s.zones, e.zones)
	if call := o.calls[p.found]; call != nil {
		s.addCall(*call, truth.stage)
	}
}

func (s *score) addBounds(truth float64, found vision.Half) {
	s.bounds = append(s.bounds, found.FractionHigh-found.FractionLow)
	if found.FractionLow-countError <= truth && truth <= found.FractionHigh+countError {
		s.bounded++
	}
}

func (s *score) addCall(call calibrate.Call, truth float64) {
	off := call.Stage - truth
	s.stage = append(s.stage, off)
	s.width = append(s.width, call.High-call.Low)
	if call.Low <= truth && truth <= call.High {
		s.inside++
	}
	if call.Borderline {
		s.marked++
	}
	if math.Abs(off) > largeError {
		s.large++
		if call.Borderline {
			s.largeMarked++
		}
	}
}

// blockError is the mean stage that the tray would be reported with, false
// halves and all, minus the mean of the true halves inside the frame.
func blockError(o outcome) (float64, bool) {
	var called, truth []float64
	for _, c := range o.calls {
		if c != nil {
			called = append(called, c.Stage)
		}
	}
	for _, h := range o.truth.halves {
		if !h.clipped {
			truth = append(truth, h.stage)
		}
	}
	if len(called) == 0 || len(truth) == 0 {
		return 0, false
	}
	return stat.Mean(called, nil) - stat.Mean(truth, nil), true
}

// mean is false for an empty list.
func mean(v []float64) (float64, bool) {
	if len(v) == 0 {
		return 0, false
	}
	return stat.Mean(v, nil), true
}

func least(v []float64) (float64, bool) {
	if len(v) == 0 {
		return 0, false
	}
	return slices.Min(v), true
}

func meanAbs(v []float64) (float64, bool) { return mean(absolute(v)) }

// abs95 is the 95th percentile of the absolute values, interpolated between
// neighbours.
func abs95(v []float64) (float64, bool) {
	if len(v) == 0 {
		return 0, false
	}
	a := absolute(v)
	slices.Sort(a)
	return stat.Quantile(0.95, stat.LinInterp, a, nil), true
}

func absolute(v []float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = math.Abs(x)
	}
	return out
}
