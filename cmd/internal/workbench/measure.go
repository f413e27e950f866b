package workbench

import (
	"context"
	"errors"
	"fmt"

	"traystage/calibrate"
	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/vision"
)

// Photo is a photo to be scored, read when its turn comes.
type Photo struct {
	Name string // as errors name it; its last part is kept with the tray
	Read func() ([]byte, error)
}

// PhotoFile is a photo in a file.
func PhotoFile(path string) Photo {
	return Photo{path, func() ([]byte, error) { return files.Read(path) }}
}

// PhotoBytes is a photo at hand.
func PhotoBytes(name string, b []byte) Photo {
	return Photo{name, func() ([]byte, error) { return b, nil }}
}

// measure reads and measures one photo. Errors name it.
func (b *Bench) measure(ctx context.Context, p Photo, opt vision.Options) ([]byte, vision.Tray, error) {
	bytes, err := p.Read()
	if err != nil {
		return nil, vision.Tray{}, err
	}
	tray, err := b.Measure(ctx, bytes, opt)
	if errors.Is(err, vision.ErrPrinted) {
		err = fault.WithHint(fmt.Errorf("%s: %w", p.Name, err), "photograph cut fruit; where these are halves, say with --halves how many; a printed chart makes a set with traystage refs new")
	} else if errors.Is(err, vision.ErrNoHalves) {
		err = fault.WithHint(fmt.Errorf("%s: %w", p.Name, err), withoutHalves(len(tray.Suspects)))
	} else if err != nil {
		err = fmt.Errorf("%s: %w", p.Name, err)
	}
	return bytes, tray, err
}

// withoutHalves says what to do about a photo without halves, on which so many places may show one.
func withoutHalves(suspects int) string {
	const hint = "photograph the tray from above, cut faces up and all inside the frame, with nothing lying on them"
	if suspects == 0 {
		return hint
	}
	return fmt.Sprintf("%s; cut fruit across its middle, so that the core shows as a star (places that look like a half, but not surely: %d)", hint, suspects)
}

// optionsOf is how a reference set asks to measure.
func optionsOf(set calibrate.Set) vision.Options {
	opt := vision.Options{StainedDensity: set.StainedDensity}
	if len(set.Plates) > 0 {
		opt.Zones = len(set.Plates[0].Zones)
	}
	return opt
}

// observe is what calibrate needs to know of a half.
func observe(h vision.Half) calibrate.Observation {
	o := calibrate.Observation{
		Zones:      h.Profile.Fractions(),
		Weights:    h.Profile.Weights(),
		Sectors:    calibrate.SectorsOf(h.Profile),
		StainedLow: h.FractionLow, StainedHigh: h.FractionHigh,
		Masked: h.Profile.Masked(),
	}
	o.Stained, _ = h.Stained()
	o.Doubts = h.Remarks
	return o
}

// callable says whether a half can be called or graded.
func callable(h vision.Half) bool {
	_, ok := h.Stained()
	return ok && !h.Clipped
}
