package workbench

import (
	"crypto/sha256"
	"encoding/hex"
	"path/filepath"
	"strconv"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/vision"
	"traystage/vision/note"
)

// This file carries a photo's halves to calls, and calls to a report. Nothing is
// computed here.

// fruitsOf calls the halves of a tray; targets are the stages at which the block's verdict
// turns.
func fruitsOf(halves []vision.Half, path *calibrate.Path, targets []float64) []scoring.Fruit {
	var out []scoring.Fruit
	var seen []calibrate.Observation
	var at []int // of each observation, its place among the fruit
	for i, h := range halves {
		f := fruitOf(h)
		if !f.Clipped && f.Unscored.IsZero() {
			seen, at = append(seen, observe(h)), append(at, i)
		}
		out = append(out, f)
	}
	for i, c := range path.CallTray(seen, targets...) {
		out[at[i]].Call = c
	}
	return out
}

// fruitOf is a half before it is called.
func fruitOf(h vision.Half) scoring.Fruit {
	f := scoring.Fruit{
		Number:  h.Number,
		Place:   placeOf(h.Centre, h.Radius, h.Outline),
		Remarks: h.Remarks,
		Clipped: h.Clipped,
	}
	if h.Clipped {
		return f
	}
	if _, ok := h.Stained(); !ok {
		f.Unscored = note.New(scoring.NoFlesh)
		return f
	}
	o := observe(h)
	f.Stained, f.Zones, f.Weights, f.Masked = o.Stained, o.Zones, o.Weights, o.Masked
	return f
}

func placeOf(centre vision.Point, radius float64, outline []vision.Point) scoring.Place {
	p := scoring.Place{Centre: scoring.Point{centre.X, centre.Y}, Radius: radius}
	for _, at := range outline {
		p.Outline = append(p.Outline, scoring.Point{at.X, at.Y})
	}
	return p
}

func suspectsOf(found []vision.Suspect) []scoring.Suspect {
	var out []scoring.Suspect
	for _, u := range found {
		out = append(out, scoring.Suspect{Place: placeOf(u.Centre, u.Radius, u.Outline), Why: u.Why})
	}
	return out
}

// Labels are what the grower calls the block.
type Labels struct{ Orchard, Block, Variety string }

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
func (s *Scorer) reportOn(name string, photo []byte, tray vision.Tray) scoring.Report {
	r := scoring.Report{
		Orchard: s.labels.Orchard, Block: s.labels.Block, Variety: s.labels.Variety,
		Photo: filepath.Base(name), PhotoHash: hashOf(photo),
		Width: tray.Width, Height: tray.Height, Taken: tray.Taken,
		Reference: referenceOf(s.Set, s.path),
		Remarks:   tray.Remarks,
		Program:   s.bench.Program,
	}
	r.Fruit = fruitsOf(tray.Halves, s.path, s.targets)
	r.Suspects = suspectsOf(tray.Suspects)
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, 0)
	return r
}

// hashOf is the SHA-256 of a photo, in hexadecimal.
func hashOf(photo []byte) string {
	hash := sha256.Sum256(photo)
	return hex.EncodeToString(hash[:])
}

// marginsOf gives, for each half of a tray, how little and how much of it may be stained.
func marginsOf(tray vision.Tray) []ledger.Margin {
	out := make([]ledger.Margin, len(tray.Halves))
	for i, h := range tray.Halves {
		if _, ok := h.Stained(); ok {
			out[i] = ledger.Margin{Low: h.FractionLow, High: h.FractionHigh}
		}
	}
	return out
}
