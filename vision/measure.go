package vision

import (
	"context"
	"math"
	"slices"

	"traystage/vision/internal/locate"
	"traystage/vision/internal/photo"
	"traystage/vision/internal/stain"
	"traystage/vision/note"
)

const (
	// workLong is the long side of the picture that is worked on, px: twenty
	// halves are then 60 px in radius or more, where outlines are known to half a
	// pixel and the counts of a zone run to thousands.
	workLong = 1000
	// closerLong is that of the second look when the halves turn out smaller than smallRadius.
	closerLong  = 1800
	smallRadius = 42.0 // px of the working picture
)

// Measure finds and measures the halves on one photo. The error is
// ErrNoHalves when there are none (the Tray then holds the suspects, if any), ErrPrinted when they seem to be printed, and ErrNoColour when the photo is black and white; else it reads as a clause that follows the
// photo's name and says what to do.
func Measure(bytes []byte, opt Options) (Tray, error) {
	return MeasureContext(context.Background(), bytes, opt)
}

// atOnce is how many photos are measured at the same time, each on all cores; others
// wait, so that the memory that a program needs does not grow with them.
const atOnce = 2

var measuring = make(chan struct{}, atOnce)

// MeasureContext is Measure that ends with the context's error within a
// second or so of when that is done.
func MeasureContext(ctx context.Context, bytes []byte, opt Options) (Tray, error) {
	select {
	case measuring <- struct{}{}:
		defer func() { <-measuring }()
	case <-ctx.Done():
		return Tray{}, ctx.Err()
	}
	opt = opt.withDefaults()
	p, found, err := look(ctx, bytes, opt, workLong)
	if err == nil && len(found.faces) > 0 && middleRadius(found.faces) < smallRadius && p.Scale > 1 {
		p, found, err = look(ctx, bytes, opt, closerLong)
	}
	if err != nil {
		return Tray{}, err
	}
	printed := !opt.Printed && len(opt.Pointed) == 0 && opt.Halves != len(found.faces) && locate.Printed(found.faces)
	if printed {
		found = found.asPrinted()
	}
	tray := Tray{Width: p.Width, Height: p.Height, Taken: p.Taken, Suspects: suspectsOf(found.suspects, p.Scale)}
	switch {
	case printed:
		return tray, ErrPrinted
	case len(found.faces) == 0:
		return tray, ErrNoHalves
	}
	if colourless(p.Pix) {
		return Tray{}, ErrNoColour
	}
	tray.read(p, inReadingOrder(found.faces), opt)
	tray.Remarks = append(tray.Remarks, suspectRemarks(tray.Suspects)...)
	return tray, nil
}

// read measures the faces found, in reading order.
func (t *Tray) read(p photo.Photo, found []locate.Face, opt Options) {
	// Halves cut off by the frame are not measured, and their outlines are the least sure.
	var whole []stain.Face
	for _, f := range found {
		if !f.Clipped {
			whole = append(whole, stain.Face{X: f.Core.X, Y: f.Core.Y, Radius: f.Radius, Flesh: f.Flesh, Outline: f.Outline})
		}
	}
	readings := opt.model.Read(stain.Picture{Pix: p.Pix, Cols: p.Cols, Rows: p.Rows}, whole, opt.Zones, opt.StainedDensity)
	next := 0
	for i, f := range found {
		h := place(i+1, f, p.Scale)
		if !f.Clipped {
			h.measured(f, readings[next])
			next++
		}
		t.Halves = append(t.Halves, h)
	}
	if p.Damaged {
		t.Remarks = append(t.Remarks, note.New(RemarkDamaged))
	}
	t.remark(readings)
}

// seen is what was found on a photo: the sure halves and what may be some.
type seen struct{ faces, suspects []locate.Face }

// asPrinted makes suspects of all.
func (s seen) asPrinted() seen {
	for _, f := range s.faces {
		f.Doubt = locate.DoubtPrinted
		s.suspects = append(s.suspects, f)
	}
	return seen{suspects: s.suspects}
}

// look finds the faces on the photo reduced to the given long side.
func look(ctx context.Context, bytes []byte, opt Options, long int) (photo.Photo, seen, error) {
	p, err := photo.Load(ctx, bytes, photo.Limits{MaxPixels: opt.MaxPixels, TargetLong: long})
	if err != nil {
		return p, seen{}, err
	}
	m, err := p.Mat()
	if err != nil {
		return p, seen{}, err
	}
	defer m.Close()
	var pointed []locate.Disc
	for _, d := range opt.Pointed {
		pointed = append(pointed, locate.Disc{X: d.Centre.X / p.Scale, Y: d.Centre.Y / p.Scale, Radius: d.Radius / p.Scale})
	}
	faces, suspects := locate.Find(m, opt.Halves, pointed...)
	return p, seen{faces, suspects}, ctx.Err()
}

func middleRadius(fs []locate.Face) float64 {
	radii := make([]float64, len(fs))
	for i, f := range fs {
		radii[i] = f.Radius
	}
	slices.Sort(radii)
	return radii[len(radii)/2]
}

// place says where a face lies on the full-size photo.
func place(number int, f locate.Face, scale float64) Half {
	h := Half{
		Number:  number,
		Centre:  Point{f.Core.X * scale, f.Core.Y * scale},
		Radius:  f.Radius * scale,
		Clipped: f.Clipped,

		Outline:  outlineOf(f, scale),
		Evidence: f.Evidence,
	}
	if h.Clipped {
		h.Remarks = append(h.Remarks, note.New(RemarkClipped))
	}
	return h
}

func (h *Half) measured(f locate.Face, r stain.Reading) {
	h.Profile = r.Profile
	if stained, ok := r.Profile.Stained(); ok {
		less, more := leftOpen(f, r, stained)
		h.FractionLow = math.Max(0, stained-math.Hypot(stained-r.Low, less))
		h.FractionHigh = math.Min(1, stained+math.Hypot(r.High-stained, more))
	}
	h.Glare, h.Focus = r.Glare, r.Focus
	h.Remarks = append(h.Remarks, remarksOn(f, r)...)
}

// misreadInGlare is the share of what is seen through glare that may be told wrong.
// An assumption; on tuning trays errors grow by about as much with glare.
const misreadInGlare = 0.25

// offEdge is how far off the edge of the flesh may lie all around, in radii, with a probability of 90 %:
// what is skin and what is flesh looks otherwise on every tray. Outlines of tuning photos are off by
// 0.009 of the radius, root mean square of the photos.
const offEdge = 0.013

// leftOpen is how much less and more of the flesh may be stained, beside what the
// threshold leaves open: because of glare, because the edge of the flesh may lie off all around, which
// adds or takes a ring like the outermost zone, and because it may
// lie elsewhere by as much as it is rough. Drawn too wide it takes in skin, side or
// tray, which may pass for either class; drawn too narrow it leaves out flesh like that of
// the outermost zone.
func leftOpen(f locate.Face, r stain.Reading, stained float64) (less, more float64) {
	zone := r.Profile.Fractions()
	rim, ring := zone[len(zone)-1], 2*f.Roughness // a ring so wide has twice the share of the area
	open := math.Hypot(misreadInGlare*r.Glare, 2*offEdge*math.Abs(rim-stained))
	less = math.Hypot(open, ring*math.Max(1-stained, stained-rim))
	more = math.Hypot(open, ring*math.Max(stained, rim-stained))
	return less, more
}

// roughOutline is the roughness from which an outline has probably left the
// edge of the face for that of its stain, with no skin to be seen outside. It is
// rare: one of 1280 halves of tuning trays is marked, whose outline is good.
const roughOutline = 0.012

// Halves with so much of the face seen through glare, or with some glare that hides so much flesh, have errors of
// the stained fraction three times as large as others on tuning trays.
const muchGlare, someGlare, muchHidden = 0.10, 0.03, 0.02

// remarksOn lists what makes the numbers of one half doubtful. The other limits
// were set by looking at the tuning trays.
func remarksOn(f locate.Face, r stain.Reading) []note.Note {
	var out []note.Note
	for _, c := range []struct {
		doubtful bool
		remark   note.Code
	}{
		{r.Glare > muchGlare || r.Glare > someGlare && r.Profile.Hidden() > muchHidden, RemarkGlare},
		{f.Radius < smallRadius, RemarkSmall},
		{f.Star < locate.FaintStar, RemarkCore},
		{f.Roughness > roughOutline, RemarkOutline},
		{r.Faint > 0.12, RemarkFaint},
		{r.Browned > 0.06, RemarkBrowned},
		{!r.LightSeen, RemarkNoClear},
		{r.Edge, RemarkEdge},
		{r.Dim, RemarkDim},
		{f.Counted, RemarkCounted},
	} {
		if c.doubtful {
			out = append(out, note.New(c.remark))
		}
	}
	return out
}

// remark adds what is the matter with the photo as a whole, to it and to every
// measured half. A face without a sharp edge of its own tells nothing of the
// lens, so sharpness is judged by the middle of all.
func (t *Tray) remark(readings []stain.Reading) {
	if len(readings) == 0 {
		return
	}
	focus, level := make([]float64, len(readings)), make([]float64, len(readings))
	for i, r := range readings {
		focus[i], level[i] = r.Focus, r.Level
	}
	slices.Sort(focus)
	slices.Sort(level)
	if focus[len(focus)/2] < 0.28 {
		t.Remarks = append(t.Remarks, note.New(RemarkBlurred))
	}
	if level[len(level)/2] < -0.65 {
		t.Remarks = append(t.Remarks, note.New(RemarkDark))
	}
	for i := range t.Halves {
		if !t.Halves[i].Clipped {
			t.Halves[i].Remarks = append(t.Halves[i].Remarks, t.Remarks...)
		}
	}
}
