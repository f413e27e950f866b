package locate

import (
	"math"

	"gocv.io/x/gocv"

	"traystage/vision/internal/parallel"
)

// Point is a place on the working picture, in pixels.
type Point struct{ X, Y float64 }

// Face is one cut face.
type Face struct {
	Core    Point     // centre of the core
	Radius  float64   // of the circle with the outline's area, px
	Flesh   []float64 // radius of the flesh by bearing from Core: equal steps from the x axis towards y, px
	Outline []float64 // radius of the outline, skin included, on the same bearings, px
	Clipped bool      // cut off by the frame
	Star    float64   // how clear the core is, 0 to 1
	// Evidence is the natural logarithm of how much likelier all that is seen of the
	// face is on a half than on something else.
	Evidence float64
	Doubt    Doubt // what says most against a suspect
	Counted  bool  // taken for a half as so many were expected
	// Roughness is how far the outline strays from a smooth one, in shares of
	// the radius: fruit are lobed, but not jagged.
	Roughness float64
}

// Edge is the outline as points, clockwise as seen.
func (f Face) Edge() []Point {
	out := make([]Point, len(f.Outline))
	for b, r := range f.Outline {
		sin, cos := math.Sincos(2 * math.Pi * float64(b) / float64(len(f.Outline)))
		out[b] = Point{f.Core.X + r*cos, f.Core.Y + r*sin}
	}
	return out
}

// Find looks for cut faces on an 8-bit BGR picture of a tray: the sure ones and those that may be some, in no
// order. expected is how many there should be, 0 where that is not known. None is no error. Faces want 60 px of
// radius or more to be outlined well. What lies where somebody pointed to a half is one.
func Find(bgr gocv.Mat, expected int, pointed ...Disc) (faces, suspects []Face) {
	var p *picture
	var cands []candidate
	parallel.Each(2, func(i int) {
		if i == 0 {
			p = newPicture(bgr)
		} else {
			cands = candidates(bgr)
		}
	})
	fs, doubted := decide(p, cands)
	fs, doubted = recount(fs, doubted, expected)
	fs = withPointed(p, fs, pointed)
	if len(fs) == 0 {
		return nil, roughly(p, doubted)
	}
	l := learn(p, ringsOf(fs), everyone)
	fs = sharpen(p, fs, l)
	if beyond(p, fs, l.owner) {
		l = learn(p, ringsOf(fs), everyone)
	}
	return finish(p, fs, l), roughly(p, doubted)
}

// finish draws the skin ring of every face.
func finish(p *picture, fs []face, l lessons) []Face {
	rings := ringsOf(fs)
	rims := make([]rim, len(fs))
	parallel.Each(len(fs), func(i int) { rims[i] = lookAlong(p, rings[i], l.tray(i)) })
	radii := make([]float64, len(fs))
	for i, g := range rings {
		radii[i] = g.radius()
	}
	width := skinWidth(rims, radii)
	out := make([]Face, len(fs))
	parallel.Each(len(fs), func(i int) {
		flesh, outline := rims[i].edges(seenWidth(width, radii[i]), width)
		out[i] = describe(p, rings[i].moved(flesh), rings[i].moved(outline), fs[i].core)
		out[i].Evidence, out[i].Counted = fs[i].sum(), fs[i].counted
	})
	return out
}

// describe tells a face as seen from the centre of its core, or from the middle
// of the face where no core can be made out.
func describe(p *picture, flesh, outline ring, c core) Face {
	r := outline.radius()
	x, y := outline.centroid()
	if again := findCore(p, x, y, r); again.share > c.share {
		c = again
	}
	if c.share >= FaintStar {
		c = centreCore(p, c, r)
		x, y = c.x, c.y
	}
	f := Face{Core: Point{x, y}, Radius: r, Star: c.share, Roughness: outline.roughness()}
	f.Clipped = outline.cutOff(p)
	flesh, outline = flesh.recentred(x, y), outline.recentred(x, y)
	f.Flesh, f.Outline = flesh.r[:], outline.r[:]
	for b := range f.Flesh {
		f.Flesh[b] = math.Min(f.Flesh[b], f.Outline[b])
	}
	return f
}

// roughly describes faces by their outlines alone.
func roughly(p *picture, fs []face) []Face {
	out := make([]Face, len(fs))
	for i, f := range fs {
		out[i] = describe(p, f.ring, f.ring, f.core)
		out[i].Evidence, out[i].Doubt = f.sum(), f.worst()
	}
	return out
}
