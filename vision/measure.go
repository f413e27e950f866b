package vision

import (
	"traystage/vision/internal/locate"
	"traystage/vision/internal/photo"
	"traystage/vision/internal/stain"
)

// workLong is the long side of the picture that is worked on, px: twenty
// halves are then 80 px in radius or more, where the outline is known to a
// third of a pixel and the counts of a zone run to thousands.
const workLong = 1000

// Measure finds and measures the halves on one photo. The error is
// ErrNoHalves when there are none; else it reads as a clause that follows the
// photo's name and says what to do.
func Measure(bytes []byte, opt Options) (Tray, error) {
	opt = opt.withDefaults()
	p, err := photo.Load(bytes, photo.Limits{MaxPixels: opt.MaxPixels, TargetLong: workLong})
	if err != nil {
		return Tray{}, err
	}
	tray := Tray{Width: p.Width, Height: p.Height, Taken: p.Taken}
	found, err := findFaces(p)
	if err != nil {
		return Tray{}, err
	}
	if len(found) == 0 {
		return Tray{}, ErrNoHalves
	}
	found = inReadingOrder(found)
	faces := make([]stain.Face, len(found))
	for i, f := range found {
		faces[i] = stain.Face{X: f.Core.X, Y: f.Core.Y, Radius: f.Radius, Flesh: f.Flesh, Outline: f.Outline}
	}
	readings := stain.Read(stain.Picture{Pix: p.Pix, Cols: p.Cols, Rows: p.Rows}, faces, opt.Zones, opt.StainedDensity)
	for i, f := range found {
		tray.Halves = append(tray.Halves, describe(i+1, f, readings[i], p.Scale))
	}
	return tray, nil
}

func findFaces(p photo.Photo) ([]locate.Face, error) {
	m, err := p.Mat()
	if err != nil {
		return nil, err
	}
	defer m.Close()
	return locate.Faces(m), nil
}

func describe(number int, f locate.Face, r stain.Reading, scale float64) Half {
	h := Half{
		Number:  number,
		Centre:  Point{f.Core.X * scale, f.Core.Y * scale},
		Radius:  f.Radius * scale,
		Clipped: f.Clipped,
	}
	for _, e := range f.Edge() {
		h.Outline = append(h.Outline, Point{e.X * scale, e.Y * scale})
	}
	if h.Clipped {
		h.Remarks = append(h.Remarks, RemarkClipped)
		return h
	}
	h.Profile = r.Profile
	h.FractionLow, h.FractionHigh = r.Low, r.High
	h.Glare = r.Glare
	return h
}
