package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"path/filepath"
	"strconv"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/vision"
)

// This file carries values from one package to the next: a photo's halves to
// calls, calls to a report. Nothing is computed here.

// measureFile reads and measures one photo as a reference set asks for. Errors name the file.
func measureFile(path string, set calibrate.Set) ([]byte, vision.Tray, error) {
	b, err := readFile(path)
	if err != nil {
		return nil, vision.Tray{}, err
	}
	tray, err := vision.Measure(b, optionsOf(set))
	if errors.Is(err, vision.ErrNoHalves) {
		err = withHint(fmt.Errorf("%s: %w", path, err), "photograph the tray from above, cut faces up and all inside the frame, with nothing lying on them")
	} else if err != nil {
		err = fmt.Errorf("%s: %w", path, err)
	}
	return b, tray, err
}

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
	for _, r := range h.Remarks {
		o.Doubts = append(o.Doubts, r.Text())
	}
	return o
}

func remarksOf(rs []vision.Remark) []scoring.Remark {
	var out []scoring.Remark
	for _, r := range rs {
		out = append(out, scoring.Remark{Text: r.Text(), Advice: r.Advice()})
	}
	return out
}

// fruitOf calls a half; targets are the stages at which the block's verdict turns.
func fruitOf(h vision.Half, path *calibrate.Path, targets []float64) scoring.Fruit {
	f := scoring.Fruit{
		Number:  h.Number,
		Place:   scoring.Place{Centre: scoring.Point{h.Centre.X, h.Centre.Y}, Radius: h.Radius},
		Remarks: remarksOf(h.Remarks),
		Clipped: h.Clipped,
	}
	for _, p := range h.Outline {
		f.Place.Outline = append(f.Place.Outline, scoring.Point{p.X, p.Y})
	}
	if h.Clipped {
		return f
	}
	if _, ok := h.Stained(); !ok {
		f.Unscored = "no flesh can be seen on it"
		return f
	}
	o := observe(h)
	f.Call = path.Call(o, targets...)
	f.Stained, f.Zones, f.Weights, f.Masked = o.Stained, o.Zones, o.Weights, o.Masked
	return f
}

// labels are what the grower calls the block.
type labels struct{ orchard, block, variety string }

func referenceOf(set calibrate.Set, path *calibrate.Path) scoring.Reference {
	ref := scoring.Reference{
		Name: set.Name, Version: strconv.Itoa(set.Version), Scale: set.Scale,
		Calibrated: set.Calibrated(), StainedDensity: set.StainedDensity,
	}
	ref.Common = scoring.Uncalibrated(set.Scale)
	if standard, freedom, ok := path.CommonError(); ok {
		ref.Common = scoring.Common{Standard: standard, Freedom: freedom}
	}
	return ref
}

// reportOn calls the stage of every half and sums the tray up.
func reportOn(photoPath string, photo []byte, tray vision.Tray, set calibrate.Set, path *calibrate.Path, l labels, targets ...float64) scoring.Report {
	hash := sha256.Sum256(photo)
	r := scoring.Report{
		Orchard: l.orchard, Block: l.block, Variety: l.variety,
		Photo: filepath.Base(photoPath), PhotoHash: hex.EncodeToString(hash[:]),
		Width: tray.Width, Height: tray.Height, Taken: tray.Taken,
		Reference: referenceOf(set, path),
		Remarks:   remarksOf(tray.Remarks),
		Program:   "traystage " + version,
	}
	for _, h := range tray.Halves {
		r.Fruit = append(r.Fruit, fruitOf(h, path, targets))
	}
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, 0)
	return r
}

// marksOf is what the overlay says of each half.
func marksOf(r scoring.Report) []vision.Mark {
	marks := make([]vision.Mark, len(r.Fruit))
	for i, f := range r.Fruit {
		if f.Scored() {
			marks[i] = vision.Mark{Label: scoring.Tenth(f.Stage()), Doubtful: f.Open()}
		}
	}
	return marks
}

const (
	overlaySide = 1600 // long side of an overlay, px
	cropSide    = 220  // side of a half's crop, px
)

// drawHalves gives the overlay of a tray and the crop of each half, as JPEG.
func drawHalves(photo []byte, tray vision.Tray, marks []vision.Mark) (overlay []byte, crops map[int][]byte, err error) {
	pic, err := vision.Picture(photo, overlaySide, vision.Options{})
	if err != nil {
		return nil, nil, err
	}
	crops = map[int][]byte{}
	for _, h := range tray.Halves {
		if crops[h.Number], err = encodeJPEG(vision.Crop(pic, tray, h, cropSide)); err != nil {
			return nil, nil, err
		}
	}
	overlay, err = encodeJPEG(vision.Overlay(pic, tray, marks))
	return overlay, crops, err
}

func encodeJPEG(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 88})
	return b.Bytes(), err
}
