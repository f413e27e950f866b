package painter

import (
	"image"
	"math"
	"sync"
)

// Tray paints the tray of a Spec as the phone would photograph it, upright, and
// gives its truth. The same Spec gives the same picture.
func Tray(spec Spec) (*image.RGBA, Truth) {
	s := newScene(&spec)
	f := newFilm(spec.Width, spec.Height)
	eachRow(spec.Height, func(y int) {
		for x := range spec.Width {
			c := s.pixel(float64(x), float64(y))
			i := 3 * (y*spec.Width + x)
			f.px[i], f.px[i+1], f.px[i+2] = float32(c[0]), float32(c[1]), float32(c[2])
		}
	})
	return s.photograph(f), s.truth()
}

// samples are the places within a pixel that rays are cast through: a square
// turned by 27 degrees, so that no edge along an axis meets two of them at once.
var samples = [...][2]float64{{0.375, 0.125}, {0.875, 0.375}, {0.625, 0.875}, {0.125, 0.625}}

// pixel is the mean light of the pixel whose top left corner is x, y.
func (s *scene) pixel(x, y float64) rgb {
	var dirs [len(samples)]vec
	var hits [len(samples)]hit
	var buf [8]int
	middle := s.cam.ray(x+0.5, y+0.5)
	near := s.near(buf[:0], s.cam.eye, middle, 3*s.cam.eye.z/s.cam.focal)
	same := true
	for i, o := range samples {
		dirs[i] = s.cam.ray(x+o[0], y+o[1])
		hits[i] = s.trace(s.cam.eye, dirs[i], near)
		same = same && hits[i].on == hits[0].on && hits[i].index == hits[0].index
	}
	const share = 1.0 / float64(len(samples))
	if same { // one surface: its colour is sampled, its light is not
		h := hits[0]
		var m material
		for i := range hits {
			m = m.add(s.material(&hits[i]), share)
		}
		h.p, h.n = vec{}, vec{}
		for i := range hits {
			h.p, h.n = h.p.along(hits[i].p, share), h.n.add(hits[i].n)
		}
		h.n = h.n.unit()
		return s.shade(&h, &m, middle)
	}
	var sum rgb
	for i := range hits {
		m := s.material(&hits[i])
		c := s.shade(&hits[i], &m, dirs[i])
		for k := range c {
			sum[k] += share * math.Min(c[k], 6) // one glint must not outshine its neighbours
		}
	}
	return sum
}

// level is the height of the faces that camera and meter look at, mm.
const level = 36

func newScene(spec *Spec) *scene {
	s := &scene{
		spec: spec, tray: newTray(spec), ground: newGround(spec),
		cam: newCamera(spec.Camera, spec.Width, spec.Height, level),
	}
	s.light = newLighting(spec, &s.cam)
	look := newLook(spec)
	s.halves = make([]half, len(spec.Halves))
	var wg sync.WaitGroup
	for i, h := range spec.Halves {
		wg.Go(func() {
			sh := newShape(h.Radius, h.Height, h.Seed)
			px := h.Radius * s.cam.focal / spec.Camera.Distance
			n := int(clamp(2.6*px, 240, 800))
			s.halves[i] = half{h, sh, newFace(h, sh, look, n), newSkin(spec.Variety, h.Seed)}
		})
	}
	wg.Wait()
	for _, f := range spec.Fruit {
		s.things = append(s.things, newFruit(f))
	}
	for _, c := range spec.Clutter {
		s.things = append(s.things, newClutter(c))
	}
	return s
}

// newLook draws what the tray's fruit have in common.
func newLook(spec *Spec) faceLook {
	r := random(uint64(spec.Seed), 19)
	flesh := rgb{0.80, 0.735, 0.50}
	switch spec.Variety {
	case Green:
		flesh = rgb{0.79, 0.78, 0.55}
	case Yellow, Russet:
		flesh = rgb{0.81, 0.73, 0.44}
	}
	flesh = flesh.times(rgb{between(r, 0.97, 1.02), between(r, 0.96, 1.02), between(r, 0.88, 1.12)})
	return faceLook{
		flesh: flesh,
		stain: rgb{1, between(r, 0.76, 0.9), between(r, 0.44, 0.62)},
		amber: spec.Amber, brown: spec.Browning, zones: spec.zoneCount(),
		skinMM: between(r, 0.5, 0.85), variety: spec.Variety,
	}
}

// photograph is what lens, sensor and camera program make of the light.
func (s *scene) photograph(f *film) *image.RGBA {
	sp := s.spec
	f.blur(sp.Blur)
	f.vignette(0.16)
	gain := 0.95 / s.light.level(level) * math.Pow(2, sp.EV)
	white := rgb(sp.White)
	if white == (rgb{}) {
		white = rgb{1, 1, 1}
	}
	f.expose(white.scale(gain))
	f.grain(sp.Noise, uint64(sp.Seed)*2654435761+97)
	f.blur(0.45) // colours are interpolated between the sensor's cells
	f.sharpen(0.6)
	return f.develop()
}
