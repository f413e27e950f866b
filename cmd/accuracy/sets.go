package main

import (
	"fmt"
	"maps"
	"slices"

	"traystage/calibrate"
	"traystage/vision"
)

// caller calls the stages of a tray's measured halves on one set.
type caller func([]calibrate.Observation) []calibrate.Call

// scale is that of the charts: of eight stages, as the photos' truth has them.
var scale = calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1}

// fitCharts measures each chart, as a grower would photograph theirs, and fits
// a set to what was measured. notes names the charts that gave no set.
func fitCharts(charts map[string]photo, j judge) (callers map[string]caller, notes []string, err error) {
	names := slices.Sorted(maps.Keys(charts))
	photos := make([]photo, len(names))
	for i, name := range names {
		photos[i] = charts[name]
	}
	outcomes, err := j.run(photos, false)
	if err != nil {
		return nil, nil, err
	}
	callers = map[string]caller{}
	for i, o := range outcomes {
		c, err := fit(plates(o))
		if err != nil {
			notes = append(notes, fmt.Sprintf("%s: no set from chart %s, so no stages of that family: %v", o.photo.name, names[i], err))
			continue
		}
		callers[names[i]] = c
	}
	return callers, notes, nil
}

func fit(plates []calibrate.Plate) (caller, error) {
	set, err := calibrate.New("chart", scale, vision.DefaultStainedDensity, plates...)
	if err != nil {
		return nil, err
	}
	path, err := calibrate.Fit(set)
	if err != nil {
		return nil, err
	}
	return func(tray []calibrate.Observation) []calibrate.Call { return path.CallTray(tray) }, nil
}

// plates are the matched halves of a chart with their true stages, in the order
// of the chart.
func plates(o outcome) []calibrate.Plate {
	var out []calibrate.Plate
	for _, p := range o.pairs {
		if p.found < 0 || o.tray.Halves[p.found].Clipped {
			continue
		}
		h := o.tray.Halves[p.found]
		if _, ok := h.Stained(); ok {
			source := fmt.Sprintf("%s half %d", o.photo.name, h.Number)
			out = append(out, calibrate.PlateFrom(observe(h), o.truth.halves[p.truth].stage, source, nil))
		}
	}
	return out
}

// observe is what the calibration is told of a measured half.
func observe(h vision.Half) calibrate.Observation {
	stained, _ := h.Stained()
	o := calibrate.Observation{
		Zones:       h.Profile.Fractions(),
		Weights:     h.Profile.Weights(),
		Sectors:     calibrate.SectorsOf(h.Profile),
		Stained:     stained,
		StainedLow:  h.FractionLow,
		StainedHigh: h.FractionHigh,
		Masked:      h.Profile.Masked(),
	}
	o.Doubts = h.Remarks
	return o
}
