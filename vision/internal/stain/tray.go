package stain

import (
	"math"
	"slices"
)

// tray is the light over all faces: a plane in log10 of the red of clear flesh.
type tray struct {
	x, y, scale float64 // middle of the faces, and how far the farthest lies from it, px
	level       float64 // in the middle
	acrossX     float64 // change per scale
	acrossY     float64
	blue        float64 // middle of log10 blue less red of clear flesh
	blueing     float64 // middle of the faces' blueing; 0 where none tells
	seen        bool    // some face shows clear flesh
}

// at is log10 of the red of clear flesh on the tray at the core of face f.
func (t tray) at(f Face) float64 {
	return t.level + t.acrossX*(f.X-t.x)/t.scale + t.acrossY*(f.Y-t.y)/t.scale
}

// over finds the light over the tray: of all lights that the brightest level of some face
// proposes, that which explains most of what the faces show. A lamp that is seen in the wet film over a stained face proposes
// none: what is darker on it is hardly bluer, where it is on other faces. Where their stain is no bluer than flesh that does not tell.
func (m Model) over(faces []Face, of [][]level, all [][]sample, under float64) tray {
	best := middle(faces)
	most := math.Inf(-1)
	seen := seenBlueing(of)
	for _, ls := range of {
		if len(ls) == 0 {
			continue
		}
		if seen >= m.usualBlueing()/2 && ls[0].blueing < m.Film*seen { // not so where that is not told
			continue
		}
		t := m.spread(middle(faces), ls[0].c[0], faces, of)
		const tie = 0.01 // then the brighter
		if s := m.explains(&t, faces, of); s > most+tie || s > most-tie && t.level > best.level {
			best, most = t, s
		}
	}
	best.seen = !math.IsInf(most, -1)
	if best.seen {
		best.blue = m.trayBlue(best, faces, of)
		best.blueing = m.trayBlueing(best, faces, of, all)
		best.seen = best.isFlesh(under) || best.level+under > darkFlesh && m.isShared(best, faces, of)
	}
	return best
}

// isFlesh tells clear flesh from stain where the tray shows nothing brighter. Flesh is cream in any
// light that a camera balances, and a photo is not exposed so that cream is stored dark. under is
// how far the photo is exposed below the usual, log10.
func (t tray) isFlesh(under float64) bool {
	const (
		white = 0.05 // log10 blue less red: nothing bluer is flesh
		dim   = -0.5 // log10 red: clear flesh is seldom darker, and then it is cream
		cream = -0.15
	)
	level := t.level + under
	return t.blue < white && level > darkFlesh && (level > dim || t.blue < cream)
}

// darkFlesh is the log10 red of clear flesh that nothing darker is, on a photo exposed as usual.
const darkFlesh = -0.85

// isShared says that most faces show a level as bright as the tray's, and several of them stain well below it. Clear flesh is nearly as bright on
// all fruit, however grey it looks beside white paper; stain that thins out is not.
func (m Model) isShared(t tray, faces []Face, of [][]level) bool {
	const fewest = 3
	shared, stained := 0, 0
	for i, ls := range of {
		if k := m.expected(t, faces[i], ls); k >= 0 {
			shared++
			if m.stainedBelow(ls, k) {
				stained++
			}
		}
	}
	return 2*shared > len(faces) && stained >= fewest
}

// spread lays the plane through the brightest levels near it, from an even light on.
func (m Model) spread(t tray, from float64, faces []Face, of [][]level) tray {
	const rounds, hold = 6, 1.0 // one face's weight holds the plane level
	t.level = from
	for range rounds {
		var a normal
		for i, ls := range of {
			for _, l := range ls {
				off := l.c[0] - t.at(faces[i])
				if off < -m.Alike || off > m.Alike {
					continue
				}
				w := math.Min(l.share/0.3, 1) * (1 - off*off/(m.Alike*m.Alike))
				a.add((faces[i].X-t.x)/t.scale, (faces[i].Y-t.y)/t.scale, l.c[0], w)
				break
			}
		}
		if a.n == 0 {
			break
		}
		a.hold(hold, 0, 0)
		t.level, t.acrossX, t.acrossY = a.solve()
	}
	return t
}

// explains says how much of what the faces show the light explains, in faces: a level as bright
// as clear flesh is that, the less the brighter it is than the light: nothing brighter than clear flesh lies below it; a
// darker one may be stain unless it is less blue, when the bright one
// is a reflection over it; one brighter still may be a reflection, which explains little.
func (m Model) explains(t *tray, faces []Face, of [][]level) float64 {
	t.blue = m.trayBlue(*t, faces, of)
	sum := 0.0
	for i, ls := range of {
		for _, l := range ls {
			w := math.Min(l.share/0.2, 1) / float64(len(ls))
			switch off, bluer := l.c[0]-t.at(faces[i]), l.blue()-t.blue; {
			case off > m.Alike && bluer < 0.03:
				sum -= 2 * w // nothing makes flesh brighter without making it whiter
			case off > m.Alike:
				sum -= 0.3 * w
			case off > 0:
				sum += w * (1 - sq(off/m.Alike))
			case off > -m.Alike:
				sum += w
			case bluer > -0.05:
				sum += 0.75 * w
			}
		}
	}
	return sum
}

// trayBlue is the middle of log10 blue less red of the faces' clear flesh.
func (m Model) trayBlue(t tray, faces []Face, of [][]level) float64 {
	var blues []float64
	for i, ls := range of {
		if k := m.expected(t, faces[i], ls); k >= 0 {
			blues = append(blues, ls[k].blue())
		}
	}
	return quantile(blues, 0.4)
}

// trayBlueing is the middle of the faces' blueing; 0 where none tells.
func (m Model) trayBlueing(t tray, faces []Face, of [][]level, all [][]sample) float64 {
	var rises []float64
	for i, ls := range of {
		var b float64
		if k := m.expected(t, faces[i], ls); k >= 0 {
			b = ls[k].blueing
		} else {
			b = blueing(level{c: [3]float64{t.at(faces[i]), 0, t.at(faces[i]) + t.blue}}, all[i], m.LeastClear)
		}
		if !math.IsNaN(b) {
			rises = append(rises, b)
		}
	}
	return quantile(rises, 0.5)
}

// expected is the brightest level of a face that is as bright as the tray's clear flesh, -1 where there is none.
func (m Model) expected(t tray, f Face, ls []level) int {
	return slices.IndexFunc(ls, func(l level) bool { return math.Abs(l.c[0]-t.at(f)) < m.Alike })
}

// middle is a tray of which only the place is known.
func middle(faces []Face) tray {
	var t tray
	for _, f := range faces {
		t.x += f.X / float64(len(faces))
		t.y += f.Y / float64(len(faces))
	}
	t.scale = 1
	for _, f := range faces {
		t.scale = math.Max(t.scale, math.Hypot(f.X-t.x, f.Y-t.y))
	}
	return t
}

// seenBlueing is the middle of the blueing from the brightest level of each face on; 0 where none tells.
func seenBlueing(of [][]level) float64 {
	var told []float64
	for _, ls := range of {
		if len(ls) > 0 && !math.IsNaN(ls[0].blueing) {
			told = append(told, ls[0].blueing)
		}
	}
	return quantile(told, 0.5)
}
