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
	callers map[string]caller // by the name of the chart, or of the recipe
	memory  *memory           // of what was measured; nil for none
}

// memory keeps what was seen of each photo by its key: photos that grade a set
// or are called on several are painted and measured once.
type memory struct {
	mu   sync.Mutex
	seen map[string]memo
}

type memo struct {
	truth trayTruth
	tray  vision.Tray
	err   error // from measuring
	took  time.Duration
}

// look loads and measures a photo, or remembers it. The error is one of reading.
func (j judge) look(p photo) (memo, error) {
	if j.memory != nil {
		j.memory.mu.Lock()
		m, ok := j.memory.seen[p.key()]
		j.memory.mu.Unlock()
		if ok {
			return m, nil
		}
	}
	data, truth, err := p.load()
	if err != nil {
		return memo{}, err
	}
	start := time.Now()
	tray, err := j.measure(data, vision.Options{Printed: p.plate}) // as a set is made from it
	m := memo{truth, tray, err, time.Since(start)}
	if j.memory != nil {
		j.memory.mu.Lock()
		j.memory.seen[p.key()] = m
		j.memory.mu.Unlock()
	}
	return m, nil
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
	m, err := j.look(p)
	if err != nil {
		return outcome{}, err
	}
	o := outcome{photo: p, truth: m.truth, tray: m.tray, err: m.err, took: m.took}
	o.pairs, o.unmatched = match(m.truth, m.tray.Halves)
	o.calls = make([]*calibrate.Call, len(m.tray.Halves))
	caller, ok := j.callers[p.calledOn()]
	if !call || !ok {
		return o, nil
	}
	var seen []calibrate.Observation
	var at []int // of each, its place among the halves
	for i, h := range m.tray.Halves {
		if _, ok := h.Stained(); ok && !h.Clipped {
			seen, at = append(seen, observe(h)), append(at, i)
		}
	}
	for i, c := range caller(seen) {
		o.calls[at[i]] = &c
	}
	return o, nil
}
