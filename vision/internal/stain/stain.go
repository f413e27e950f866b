package stain

import (
	"math"

	"traystage/vision/internal/parallel"
	"traystage/vision/zones"
)

// Reading is what one face shows.
type Reading struct {
	Profile zones.Profile
	// Low and High are the stained fraction with the threshold higher and lower: by how much thicker
	// and thinner stain may look, and by how far off the level of clear flesh may be, in quadrature.
	Low, High float64
	Glare     float64 // share of the face in glare
	Browned   float64 // share of the flesh that is browned
	Faint     float64 // share of the flesh within a quarter of the threshold
	Clear     float64 // share of the flesh that gave the light; 0 when it came from elsewhere
	Edge      bool    // the edge of a shadow lies on the face
	Dim       bool    // it may be stained all over, or its flesh seen in less light than that of others
	LightSeen bool    // clear flesh was seen on this face or another of the tray
	Focus     float64 // sharpness of the face, 0 to 1; see focus
	Level     float64 // red of clear flesh at the core, log10 of full scale
}

// Read tells what every face of one tray shows, with n zones. threshold is the
// red density from which flesh counts as stained.
func (m Model) Read(p Picture, faces []Face, n int, threshold float64) []Reading {
	c := newCurve(m.RollOff)
	tray := sceneOf(p, faces, m.MixedRim, c)
	patches := tray.patches
	ls := m.lights(tray, p.underexposed(c))
	mixed := m.besideStain()
	unmixed := make([]separated, len(faces))
	parallel.Each(len(faces), func(i int) { unmixed[i] = m.separate(patches[i], ls[i], c) })
	flat := flattened(patches, unmixed, threshold)
	out := make([]Reading, len(faces))
	parallel.Each(len(faces), func(i int) {
		var seen []sight
		seen, out[i] = m.see(patches[i], ls[i], unmixed[i], mixed, threshold, flat)
		out[i].count(patches[i], seen, n)
		out[i].widen(ls[i])
	})
	return out
}

// widen moves the bounds by what the light leaves open: all of what may be stained or in less light, and of the penumbra of a shadow, where that is
// known, half either way.
func (r *Reading) widen(l light) {
	const fair = 0.05 // share of the face
	r.Dim = l.dim
	r.Edge = len(l.ends) > 0 || l.edge > fair && !l.dim
	r.Low = math.Max(0, r.Low-l.edge-l.penumbra/2)
	r.High = math.Min(1, r.High+l.penumbra/2)
	if l.dim && l.share > 0 {
		r.High = 1
	}
}

// usualDensest is the red density which the densest tenth of a tray's stain reaches where it has had its time and
// the camera leaves contrast as it is: of tuning trays of both ray-tracing painters the middle one has 1.3, those by
// flattening phones 0.8 to 1.
const usualDensest = 1.3

// flattened is by how much thinner the densest stain of a tray looks than it usually is, as a share. It may be
// faint, or the camera may have flattened the contrast: that cannot be told.
func flattened(qs []*patch, of []separated, threshold float64) float64 {
	const stride = 7
	var stained []float64
	for i, q := range qs {
		for k := 0; k < len(q.rho); k += stride {
			if d := float64(of[i].complex[k]); d > threshold && q.flesh[k] && q.rho[k] > coreReach {
				stained = append(stained, d)
			}
		}
	}
	const enough = 20 // pixels to tell by
	if len(stained) < enough {
		return 0
	}
	return math.Max(0, 1-quantile(stained, 0.9)/usualDensest)
}

// see tells what every pixel of a face shows.
func (m Model) see(q *patch, l light, s separated, mixed *beside, threshold, flat float64) ([]sight, Reading) {
	verdicts, out := m.judge(q, l, s, threshold)
	out.Clear, out.LightSeen, out.Level, out.Focus = l.share, l.known, l.level[0], q.focus()
	j := judgement{q: q, density: s.complex, verdicts: verdicts, mixed: mixed, threshold: threshold}
	j.over = math.Hypot(thicker, l.doubt/threshold)
	j.under = math.Hypot(1-(1-thinner)*(1-flat), l.doubt/threshold)
	seen := make([]sight, len(verdicts))
	for i, v := range verdicts {
		seen[i] = j.sight(i, v)
	}
	for _, e := range q.rim {
		seen[e.at] = seen[e.inward]
	}
	return seen, out
}

// count fills in the profile, and how much of the flesh is nearly something else.
func (r *Reading) count(q *patch, seen []sight, n int) {
	class := make([]zones.Class, len(seen))
	var count [surelyStained + 1]float64
	for i, s := range seen {
		class[i] = classes[s]
		count[s]++
	}
	flesh := math.Max(count[surelyClear]+count[barelyClear]+count[barelyStained]+count[surelyStained], 1)
	r.Profile = zones.Count(class, q.rho, q.bearing, n)
	stained, _ := r.Profile.Stained()
	r.Low = math.Max(0, stained-count[barelyStained]/flesh)
	r.High = math.Min(1, stained+count[barelyClear]/flesh)
}

// separated is a face in densities relative to its clear flesh.
type separated struct {
	complex []float32 // density of the complex in red
	iodine  []float32 // amount of unbound iodine, in units of the red density of the complex
	red     []float32 // density in red, whatever made it
	bluer   []float32 // log10 blue less red than clear flesh's
}

// separate unmixes every pixel.
func (m Model) separate(q *patch, l light, c *curve) separated {
	n := len(q.rho)
	s := separated{make([]float32, n), make([]float32, n), make([]float32, n), make([]float32, n)}
	by := newSeparation(m.Complex, m.Iodine)
	var complexOf, iodineOf [3]float32
	for band := range by {
		complexOf[band], iodineOf[band] = float32(by[band][0]), float32(by[band][1])
	}
	green, blue := float32(l.level[1]-l.level[0]), float32(l.blue())
	step, residue := float32(l.slopeU/q.face.Radius), float32(m.Residue)
	for row := 0; row < n; row += q.w {
		u, v := q.at(row)
		here := float32(l.at(u, v)) // log10 red of clear flesh
		for i := row; i < row+q.w; i++ {
			if q.rho[i] < 1 {
				r := here - c[q.raw[3*i+2]]
				g := here + green - c[q.raw[3*i+1]]
				b := here + blue - c[q.raw[3*i]]
				if len(l.ends) > 0 {
					d := l.dims(q.at(i))
					r, g, b = r-float32(d[0]), g-float32(d[1]), b-float32(d[2])
				}
				s.red[i], s.bluer[i] = r, r-b
				s.complex[i] = r*complexOf[0] + g*complexOf[1] + b*complexOf[2] + residue
				s.iodine[i] = r*iodineOf[0] + g*iodineOf[1] + b*iodineOf[2]
			}
			here += step
		}
	}
	return s
}

// verdict of one pixel, apart from the threshold.
type verdict uint8

const (
	away    verdict = iota // not the face
	byLight                // flesh: stained from the threshold on
	mask                   // neither: skin, core
	hidden                 // flesh under glare that hides which it is
	isClear                // flesh seen clear through glare
	isStain                // flesh seen stained through glare
)

// judge gives every pixel its verdict.
func (m Model) judge(q *patch, l light, s separated, threshold float64) ([]verdict, Reading) {
	hollow := q.cavities(s.red, s.bluer, float32(m.HollowDark), float32(l.blueing))
	if l.share == 0 {
		m.amidStain(q, l, s, threshold, hollow)
	}
	white := m.reflections(q, s)
	shaded := q.shaded(s.red, l.shade)
	verdicts := make([]verdict, len(q.rho))
	var out Reading
	var face, flesh, faint, brown, glare float64
	for i := range q.rho {
		if q.rho[i] >= 1 {
			continue
		}
		face++
		switch {
		case !q.flesh[i] || hollow[i] || m.isSkin(q.rho[i], s.red[i], s.bluer[i]):
			verdicts[i] = mask
			continue
		case white[i]:
			verdicts[i] = m.throughGlare(q, i, l, s, threshold)
			if !m.isPale(s.red[i], s.bluer[i]) {
				glare++
			}
		case shaded != nil && shaded[i]:
			verdicts[i] = isClear
		default:
			verdicts[i] = byLight
		}
		if verdicts[i] == hidden {
			continue
		}
		flesh++
		if d := float64(s.complex[i]); math.Abs(d-threshold) < threshold/4 {
			faint++
		}
		if m.isBrown(s.red[i], s.bluer[i]) {
			brown++
		}
	}
	out.Glare, out.Browned, out.Faint = glare/math.Max(face, 1), brown/math.Max(flesh, 1), faint/math.Max(flesh, 1)
	return verdicts, out
}

// isBrown tells browned flesh: warmer than clear flesh, and darker in the red too, which amber is not.
func (m Model) isBrown(red, bluer float32) bool {
	const dark = 0.05
	return red > dark && float64(bluer) < -m.SkinWarm
}

// isSkin tells skin, or the side of a half, that the outline took in: near the edge, darker than
// flesh and much warmer.
func (m Model) isSkin(rho, red, bluer float32) bool {
	const outer, dark = 0.9, 0.15
	return rho > outer && red > dark && float64(bluer) < -m.SkinWarm
}
