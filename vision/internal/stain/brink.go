package stain

import (
	"cmp"
	"math"
	"slices"
)

// Where a shadow ends on a face, all that it crosses there, clear or stained, is darker by the same: nothing else on a face is so along
// a straight line. Most things that shade a tray have straight edges, as far as a tray reaches, and such an edge falls on several faces in one
// line. Where it falls on the ground is not known as well: faces lie higher.

// brink is the straight edge of a shadow: what lies further along (u, v) than p lies in it. On a tray in px, on a face in radii from the core.
type brink struct {
	turn int // that gives (u, v), of turns
	u, v float64
	p    float64
}

const (
	turns       = 72   // directions of brinks that are tried
	aside       = 0.12 // radii before and beyond a brink, where the light is whole and where it is gone
	alikeDrop   = 0.35 // of the depth, within which a drop is that of the shadow
	byChance    = 0.35 // of the places on a line show such a drop where no shadow ends: more speaks for one
	firstBrink  = 0.5  // radii by which places that show it have to be more than by chance, on all faces together
	nextBrink   = 0.2  // where one nearly opposite is known
	parallels   = 3    // turns within which one is nearly opposite, or on the same side
	strayPlace  = 3    // steps by which a brink lies elsewhere on faces that are higher or lower
	strayTurn   = 1    // turns by which it does
	lostFrom    = 1.0  // radii from a brink: nearer the ground does not tell, as it lies elsewhere there
	lostTo      = 3.0  // radii from a brink: further off another may lie
	mostlyShade = 0.9  // of the ground beyond a brink lies in the shade
	partlyShade = 0.6  // of that before it at most: halves shade it
	fewGround   = 0.01 // of all ground seen: less on either side does not tell
)

// facing is a brink in a direction.
func facing(turn int) brink {
	v, u := math.Sincos(2 * math.Pi * float64(turn) / turns)
	return brink{turn: turn, u: u, v: v}
}

// beyond is how far beyond the brink a place lies.
func (b brink) beyond(x, y float64) float64 { return x*b.u + y*b.v - b.p }

// on is the brink as it lies on a face.
func (b brink) on(f Face) brink {
	b.p = -b.beyond(f.X, f.Y) / f.Radius
	return b
}

// at is the place on the brink across a face, along from its middle.
func (b brink) at(along float64) (u, v float64) {
	return b.p*b.u - along*b.v, b.p*b.v + along*b.u
}

// support tells how much speaks for a shadow's edge on each line across a face, in radii of it, by turn and place.
type support [turns][places]float32

// places of lines across a face, a step apart.
const places = 2*reliefSteps + 1

// place is the step at which a line lies, which may be none of the face's.
func place(p float64) int { return int(math.Round(p*reliefSteps)) + places/2 }

// supports tells where a shadow may end on the face, for each depth that it may have, log10, the least first. Lines near the edge of the face
// count less: the stain ends along it there.
func (r *relief) supports(depths ...[3]float64) []*support {
	out := make([]*support, len(depths))
	for i := range out {
		out[i] = &support{}
	}
	least := (1 - alikeDrop) * brightness(depths[0])
	for turn := range turns / 2 {
		b := facing(turn)
		for k := range places {
			b.p = float64(k-places/2) / reliefSteps
			weight := (1 - b.p*b.p) / reliefSteps
			n := 0.0
			r.across(b, -aside, aside, func(drop [3]float64) {
				n++
				// Most places are alike on either side.
				if by := brightness(drop); by >= least {
					tell(out, drop, depths, turn, k, weight)
				} else if by <= -least {
					tell(out, [3]float64{-drop[0], -drop[1], -drop[2]}, depths, turn+turns/2, places-1-k, weight)
				}
			})
			for _, s := range out {
				s[turn][k] -= float32(byChance * weight * n)
				s[turn+turns/2][places-1-k] -= float32(byChance * weight * n)
			}
		}
	}
	return out
}

// tell adds a place that shows a drop to what speaks for the edge of a shadow of those depths which it is alike.
func tell(of []*support, drop [3]float64, depths [][3]float64, turn, place int, weight float64) {
	for i, depth := range depths {
		if alike(drop, depth) {
			of[i][turn][place] += float32(weight)
		}
	}
}

// alike says whether it gets darker as by a shadow of a depth.
func alike(drop, depth [3]float64) bool {
	off := 0.0
	for band := range drop {
		off += sq(drop[band] - depth[band])
	}
	return off < 3*sq(alikeDrop*brightness(depth))
}

// near calls do for the lines near one across a face, as near as the edge of a shadow strays from face to face.
func near(b brink, do func(turn, place int)) {
	for turn := b.turn - strayTurn; turn <= b.turn+strayTurn; turn++ {
		for k := max(0, place(b.p)-strayPlace); k <= min(places-1, place(b.p)+strayPlace); k++ {
			do((turn+turns)%turns, k)
		}
	}
}

// strayed is a support with the most that speaks for a line near each.
func (s *support) strayed() *support {
	var along, out support
	for turn := range s {
		for k := range s[turn] {
			along[turn][k] = slices.Max(s[turn][max(0, k-strayPlace):min(places, k+strayPlace+1)])
		}
	}
	for turn := range s {
		out[turn] = along[turn]
		for by := -strayTurn; by <= strayTurn; by++ {
			for k, v := range along[(turn+by+turns)%turns] {
				out[turn][k] = max(out[turn][k], v)
			}
		}
	}
	return &out
}

// brinks finds the edges of a shadow of which the ground tells, that which most speaks for first; of is what speaks for lines across each face.
func (s *shadow) brinks(c scene, of []*support) (out []brink) {
	sunlit := c.sunlit()
	for {
		var could []spoken
		c.lines(func(b brink) {
			if much := c.speaks(b, of, out); much > b.least(out) {
				could = append(could, spoken{b, much})
			}
		})
		slices.SortStableFunc(could, func(a, b spoken) int { return cmp.Compare(b.much, a.much) })
		i := slices.IndexFunc(could, func(b spoken) bool {
			return c.parts(b.brink, s.half) && c.bears(b.brink, s.depth, sunlit, len(out) > 0)
		})
		if i < 0 {
			return out
		}
		out = append(out, could[i].brink)
	}
}

// spoken is a brink and how much speaks for it, radii.
type spoken struct {
	brink
	much float64
}

// least is how much has to speak for a brink beside others, radii: little where it may be the other edge of what shades the tray, or of the
// patch of sun. None lies beside one that the same shadow has on the same side.
func (b brink) least(others []brink) float64 {
	out := firstBrink
	for _, o := range others {
		switch off := (b.turn - o.turn + turns) % turns; {
		case off <= parallels || off >= turns-parallels:
			return math.Inf(1)
		case off >= turns/2-parallels && off <= turns/2+parallels:
			out = nextBrink
		}
	}
	return out
}

// isParallel says whether two brinks run in nearly the same direction.
func (b brink) isParallel(o brink) bool { return askew(b.turn, o.turn) <= parallels }

// askew is by how many turns two directions differ, whichever way they face.
func askew(a, b int) int {
	off := (a - b + turns) % (turns / 2)
	return min(off, turns/2-off)
}

// leastStep is that between brinks, px: no face is so small that it takes less.
const leastStep = 0.1

// lines calls do for the brinks that are tried: in every direction, a step apart.
func (c scene) lines(do func(brink)) {
	for turn := range turns {
		b := facing(turn)
		from, to := math.Inf(1), math.Inf(-1)
		for _, f := range c.faces {
			at := b.beyond(f.X, f.Y)
			from, to = math.Min(from, at-f.Radius), math.Max(to, at+f.Radius)
		}
		for b.p = from; b.p < to; b.p += max(c.radius/reliefSteps, leastStep) {
			do(b)
		}
	}
}

// speaks is how much speaks for a brink on the faces that it crosses, radii, but for those on which others end or that lie beyond them.
func (c scene) speaks(b brink, of []*support, others []brink) (sum float64) {
	for i, f := range c.faces {
		k := place(b.on(f).p)
		if k < 0 || k >= places || slices.ContainsFunc(others, func(o brink) bool { return o.on(f).p < 1 }) {
			continue
		}
		sum += float64(of[i][b.turn][k])
	}
	return sum
}

// parts says whether the ground beyond the brink lies in the shade and that before it in the sun, apart from what the halves shade.
// half is the brightness between both.
func (c scene) parts(b brink, half float64) bool {
	var n, dark [2]float64 // before it and beyond it
	all := 0.0
	for _, ring := range c.rings {
		all += float64(len(ring))
		for _, p := range ring {
			off, side := b.beyond(p.u, p.v)/c.radius, 1
			if off < 0 {
				off, side = -off, 0
			}
			if off < lostFrom || off > lostTo {
				continue
			}
			n[side]++
			if brightness(p.c) < half {
				dark[side]++
			}
		}
	}
	return min(n[0], n[1]) > fewGround*all && dark[0] < partlyShade*n[0] && dark[1] > mostlyShade*n[1]
}

// bears says whether flesh is as bright as a brink would have it: none beyond it brighter than any in the sun, but for the shadow, and on
// some face what lies before it as bright as in the sun, unless that was seen elsewhere; each by half of the depth.
func (c scene) bears(b brink, depth [3]float64, sunlit float64, seen bool) bool {
	half := brightness(depth) / 2
	for i, f := range c.faces {
		at := b.on(f)
		if math.Abs(at.p) >= 1 {
			continue
		}
		if c.flanks[i].beyond(at, aside)+half > sunlit {
			return false
		}
		seen = seen || c.flanks[i].before(at, aside)+half > sunlit
	}
	return seen
}

// sunlit is how bright flesh is in the sun, log10.
func (c scene) sunlit() float64 {
	of := make([]float64, len(c.flanks))
	for i, f := range c.flanks {
		of[i] = f.beyond(facing(0), -1)
	}
	return quantile(of, 0.9)
}
