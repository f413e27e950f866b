package stain

import (
	"math"

	"github.com/lucasb-eyer/go-colorful"

	"traystage/vision/zones"
)

// Faces drawn here are discs of flesh with the density of stain that a function
// gives, under light that changes across the tray, stored as sRGB with a full
// roll-off, as phones do. The truth of each is counted while it is drawn.

const (
	drawnRadius = 90.0
	drawnFlesh  = 0.97 // radius of the flesh / radius of the face
)

// cream is clear flesh in linear light, below the knee of any roll-off.
var cream = [3]float64{0.60, 0.52, 0.30}

// look is what a drawn face shows at normalised radius rho and bearing a.
type look func(rho, a float64) (density float64)

func evenly(density float64) look { return func(float64, float64) float64 { return density } }

// beyond is clear up to a radius and stained further out.
func beyond(from, density float64) look {
	return func(rho, _ float64) float64 {
		if rho >= from {
			return density
		}
		return 0
	}
}

// drawing is a tray of drawn faces in one row.
type drawing struct {
	Picture
	faces []Face
	truth []zones.Profile // with five zones
}

// lamp is the light across a drawing: log10 of its strength, and its change from left
// to right and from top to bottom.
type lamp struct{ level, across, down float64 }

func (l lamp) at(x, y float64) float64 { return l.level + l.across*x + l.down*y }

var evenLamp = lamp{}

// A sitter is one face to draw. Zero fields are cream flesh, the usual complex, no veil, light as
// on the rest of the tray and around it.
type sitter struct {
	density look
	flesh   [3]float64 // linear
	stain   [3]float64 // absorbance, red 1
	veil    look       // white light that lies over the face, linear
	light   float64    // log10 of how much more light falls on it
	ground  float64    // log10 of how much less light falls around it than on it
	lining  look       // of its core: log10 of how much less blue than flesh; no flesh where it is above 0
}

// draw paints one face for each look. veils, where given, are white light that
// lies over each face; nil is none.
func draw(l lamp, veils []look, looks ...look) drawing {
	var faces []sitter
	for i, density := range looks {
		f := sitter{density: density}
		if veils != nil {
			f.veil = veils[i]
		}
		faces = append(faces, f)
	}
	return drawFaces(l, faces...)
}

func drawFaces(l lamp, sitters ...sitter) drawing {
	const cell = 2*drawnRadius + 20
	d := drawing{Picture: Picture{Cols: int(cell) * len(sitters), Rows: int(cell)}}
	d.Pix = make([]byte, 3*d.Cols*d.Rows)
	for i, s := range sitters {
		f := round(cell*(float64(i)+0.5), cell/2)
		d.faces = append(d.faces, f)
		var class []zones.Class
		var radius, bearing []float32
		for y := range d.Rows {
			for x := int(cell) * i; x < int(cell)*(i+1); x++ {
				px, py := float64(x)+0.5, float64(y)+0.5
				rho := math.Hypot(px-f.X, py-f.Y) / drawnRadius
				a := math.Mod(math.Atan2(py-f.Y, px-f.X)+2*math.Pi, 2*math.Pi)
				light := l.at(px/float64(d.Cols)-0.5, py/float64(d.Rows)-0.5) + s.light
				if rho >= 1 {
					light -= s.ground
				}
				white := 0.0
				if s.veil != nil && rho < 1 {
					white = s.veil(rho, a)
				}
				colour, k := s.shown(rho, s.density(rho, a))
				if s.lining != nil && s.lining(rho, a) > 0 {
					colour, _ = s.shown(rho, 0)
					colour[2] *= math.Pow(10, -s.lining(rho, a))
					k = zones.NotFlesh
				}
				d.put(x, y, colour, light, white)
				class, radius, bearing = append(class, k), append(radius, float32(rho)), append(bearing, float32(a))
			}
		}
		d.truth = append(d.truth, zones.Count(class, radius, bearing, 5))
	}
	return d
}

// shown is the linear colour of a place and what it is.
func (s sitter) shown(rho, density float64) ([3]float64, zones.Class) {
	switch {
	case rho >= 1:
		return [3]float64{0.2, 0.2, 0.2}, zones.Outside
	case rho >= drawnFlesh:
		return [3]float64{0.3, 0.03, 0.03}, zones.NotFlesh
	}
	c, stain := s.flesh, s.stain
	if c == [3]float64{} {
		c = cream
	}
	if stain == [3]float64{} {
		stain = Default().Complex
	}
	for i, share := range stain {
		c[i] *= math.Pow(10, -density*share)
	}
	if density >= 0.20 {
		return c, zones.Stained
	}
	return c, zones.Clear
}

func (d *drawing) put(x, y int, linear [3]float64, light, white float64) {
	for i := range linear {
		linear[i] = rolledOff(linear[i]*math.Pow(10, light) + white)
	}
	r, g, b := colorful.LinearRgb(linear[0], linear[1], linear[2]).Clamped().RGB255()
	copy(d.Pix[3*(y*d.Cols+x):], []byte{b, g, r})
}

// round is a face without a tilt.
func round(x, y float64) Face {
	f := Face{X: x, Y: y, Radius: drawnRadius, Flesh: make([]float64, 128), Outline: make([]float64, 128)}
	for b := range f.Flesh {
		f.Flesh[b], f.Outline[b] = drawnFlesh*drawnRadius, drawnRadius
	}
	return f
}

func (d drawing) read() []Reading { return Default().Read(d.Picture, d.faces, 5, 0.20) }
