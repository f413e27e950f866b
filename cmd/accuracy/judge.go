package main

import (
	"sync"
	"time"

	"traystage/calibrate"
	"traystage/vision"
)

// workers is how many photos are measured at a time.
const workers = 2

// judge measures photos and calls their halves. The calls of a photo are made
// on the chart of its own pattern family.
type judge struct {
	measure func(photo []byte, opt vision.Options) (vision.Tray, error)
	callers map[string]caller // by the name of the chart
}

// run judges each photo; outcomes are in the order of the photos, however the
// work was shared out. An error is one of reading: a photo that cannot be
// measured is an outcome.
func (j judge) run(photos []photo, call bool) ([]outcome, error) {
	out := make([]outcome, len(photos))
	errs := make([]error, len(photos))
	next := make(chan int)
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for i := range next {
				out[i], errs[i] = j.one(photos[i], call)
			}
		})
	}
	for i := range photos {
		next <- i
	}
	close(next)
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (j judge) one(p photo, call bool) (outcome, error) {
	data, truth, err := p.load()
	if err != nil {
		return outcome{}, err
	}
	start := time.Now()
	tray, err := j.measure(data, vision.Options{})
	o := outcome{photo: p, truth: truth, tray: tray, err: err, took: time.Since(start)}
	o.pairs, o.unmatched = match(truth, tray.Halves)
	o.calls = make([]*calibrate.Call, len(tray.Halves))
	caller, ok := j.callers[p.chart]
	if !call || !ok {
		return o, nil
	}
	for i, h := range tray.Halves {
		if _, ok := h.Stained(); ok && !h.Clipped {
			c := caller(observe(h))
			o.calls[i] = &c
		}
	}
	return o, nil
}
