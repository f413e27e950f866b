package ledger

import (
	"database/sql"
	"encoding/binary"
	"fmt"
	"math"

	"traystage/scoring"
)

// This file turns scorings and halves into rows; load.go turns them back.

// putScoring adds one scoring of a tray with all its halves, and gives their ids.
func (w writer) putScoring(tray int64, t Tray, change Change, why string) ([]int64, error) {
	r := t.Report
	remarks, err := listText(r.Remarks)
	if err != nil {
		return nil, err
	}
	suspects, err := listText(r.Suspects)
	if err != nil {
		return nil, err
	}
	ref := r.Reference
	id, err := w.add("scoring", w.signed(t.By,
		column{"tray", tray}, column{"orchard", r.Orchard}, column{"block_name", r.Block}, column{"variety", r.Variety},
		column{"photo_name", r.Photo}, column{"width", r.Width}, column{"height", r.Height},
		column{"taken", optional(r.Taken, cameraLayout)},
		column{"set_name", ref.Name}, column{"set_version", ref.Version}, column{"set_digest", t.SetDigest},
		column{"scale_stained", ref.Scale.Stained}, column{"scale_clear", ref.Scale.Clear}, column{"scale_step", ref.Scale.Step},
		column{"calibrated", ref.Calibrated}, column{"stained_density", ref.StainedDensity},
		column{"common_standard", ref.Common.Standard}, column{"common_freedom", ref.Common.Freedom},
		column{"wanted", r.Summary.Wanted}, column{"remarks", remarks}, column{"suspects", suspects}, column{"halves", len(r.Fruit)}, column{"program", r.Program},
		column{"origin", nullText(string(change))}, column{"why", nullText(why)})...)
	if err != nil {
		return nil, err
	}
	halves := make([]int64, len(r.Fruit))
	for i, f := range r.Fruit {
		margin, measured := t.Margins[f.Number]
		if halves[i], err = w.putHalf(id, f, margin, measured); err != nil {
			return nil, err
		}
	}
	return halves, nil
}

func (w writer) putHalf(scoring int64, f scoring.Fruit, margin Margin, measured bool) (int64, error) {
	zones, err1 := listText(f.Zones)
	weights, err2 := listText(f.Weights)
	reasons, err3 := listText(f.Call.Reasons)
	remarks, err4 := listText(f.Remarks)
	unscored, err5 := noteText(f.Unscored)
	for _, err := range []error{err1, err2, err3, err4, err5} {
		if err != nil {
			return 0, err
		}
	}
	id, err := w.add("half",
		column{"scoring", scoring}, column{"number", f.Number},
		column{"stage", f.Call.Stage}, column{"low", f.Call.Low}, column{"high", f.Call.High},
		column{"between_from", f.Call.Between[0]}, column{"between_to", f.Call.Between[1]}, column{"borderline", f.Call.Borderline}, column{"worth", f.Call.Worth},
		column{"clipped", f.Clipped}, column{"unscored", unscored}, column{"stained", f.Stained},
		column{"stained_low", sql.NullFloat64{Float64: margin.Low, Valid: measured}},
		column{"stained_high", sql.NullFloat64{Float64: margin.High, Valid: measured}},
		column{"masked", f.Masked}, column{"centre_x", f.Place.Centre[0]}, column{"centre_y", f.Place.Centre[1]}, column{"radius", f.Place.Radius},
		column{"zones", zones}, column{"weights", weights}, column{"reasons", reasons}, column{"remarks", remarks},
		column{"by_hand", sql.NullBool{Bool: true, Valid: f.ByHand}})
	if err != nil {
		return 0, err
	}
	_, err = w.add("outline", column{"half", id}, column{"points", packPoints(f.Place.Outline)})
	return id, err
}

// pointSize is the length of one point of an outline in a row, in bytes.
const pointSize = 16

// packPoints writes points as the table outline keeps them. Text that keeps
// every bit takes twice the room and ten times as long to read.
func packPoints(points []scoring.Point) []byte {
	out := make([]byte, 0, pointSize*len(points))
	for _, p := range points {
		out = binary.LittleEndian.AppendUint64(out, math.Float64bits(p[0]))
		out = binary.LittleEndian.AppendUint64(out, math.Float64bits(p[1]))
	}
	return out
}

// unpackPoints reads what packPoints wrote; no points are nil.
func unpackPoints(packed []byte) ([]scoring.Point, error) {
	if len(packed)%pointSize != 0 {
		return nil, fmt.Errorf("an outline of %d bytes is not one of whole points", len(packed))
	}
	var out []scoring.Point
	for ; len(packed) > 0; packed = packed[pointSize:] {
		out = append(out, scoring.Point{
			math.Float64frombits(binary.LittleEndian.Uint64(packed)),
			math.Float64frombits(binary.LittleEndian.Uint64(packed[8:])),
		})
	}
	return out, nil
}

// finite says whether all that is measured on a half can be kept: the database
// knows no infinite numbers' arithmetic and turns what is no number into nothing.
func finite(f scoring.Fruit, m Margin) bool {
	figures := []float64{
		f.Call.Stage, f.Call.Low, f.Call.High, f.Call.Between[0], f.Call.Between[1],
		f.Stained, m.Low, m.High, f.Masked, f.Place.Centre[0], f.Place.Centre[1], f.Place.Radius,
	}
	figures = append(append(figures, f.Zones...), f.Weights...)
	for _, p := range f.Place.Outline {
		figures = append(figures, p[0], p[1])
	}
	for _, x := range figures {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
