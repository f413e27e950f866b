package workbench

import (
	"cmp"
	"context"
	"math"
	"math/cmplx"
	"slices"
	"time"

	"traystage/scoring"
	"traystage/vision/note"
)

// The same fruit may come twice as another photo: sent by a messenger that
// compresses it, cut, turned or made smaller, or taken so that it overlaps the one
// before. Its bytes are others then; its faces are not. So photos are compared by
// their halves: where they lie, up to a similarity (turned, moved, another size),
// how large they are, what their outlines look like and how much of each zone is
// stained.

// How alike two halves must be to be one. What other compression and size do to a
// photo moves them by a third of this at most (TestSameFruit); neighbours on a tray
// laid out by hand lie a tenth of a radius and more from where any other tray has
// them.
const (
	sameCentre  = 0.06 // distance of centres, in radii
	sameRadius  = 0.05 // of the ratio of radii from 1
	sameZone    = 0.10 // stained fraction of any zone
	sameOutline = 0.04 // mean difference of outlines around the circle, in radii
	bearings    = 24   // at which outlines are compared
	sharedOf    = 0.75 // of the halves that both photos can show
	fewestSame  = 4    // or all halves of both
)

// facePeriod is how far apart in time, by their cameras, photos of one fruit can have
// been taken.
const facePeriod = 3 * 24 * time.Hour

// sameFruit looks through the trays that were photographed at about the same time for
// one that shows fruit of this one.
func (b *Bench) sameFruit(ctx context.Context, r scoring.Report) ([]note.Note, error) {
	trays, err := b.Season.TakenAbout(ctx, r.Taken, facePeriod)
	if err != nil {
		return nil, err
	}
	for _, t := range trays {
		if t.PhotoHash == r.PhotoHash {
			continue
		}
		if n := shared(r, t.Report); n > 0 {
			return []note.Note{note.New(SameFruit, note.Count("n", n), note.Name("photo", t.Photo), note.Name("block", t.Block), note.Day("picked", t.Picked))}, nil
		}
	}
	return nil, nil
}

// face is a half as it is compared.
type face struct {
	at      complex128 // centre of its outline, px
	radius  float64
	outline []float64 // distance from at by bearing, in radii
	zones   []float64
}

func facesOf(r scoring.Report) []face {
	var out []face
	for _, f := range r.Fruit {
		if f.Clipped || f.Place.Radius <= 0 || len(f.Place.Outline) < 8 || f.ByHand {
			continue
		}
		c := face{radius: f.Place.Radius, zones: f.Zones}
		for _, p := range f.Place.Outline {
			c.at += complex(p[0], p[1])
		}
		c.at /= complex(float64(len(f.Place.Outline)), 0)
		c.outline = outlineOf(f.Place.Outline, c.at, c.radius)
		out = append(out, c)
	}
	return out
}

// outlineOf gives how far an outline lies from a point by bearing, in radii.
func outlineOf(points []scoring.Point, from complex128, radius float64) []float64 {
	sum, n := make([]float64, bearings), make([]float64, bearings)
	for _, p := range points {
		d := complex(p[0], p[1]) - from
		turn := math.Atan2(imag(d), real(d)) / (2 * math.Pi)
		i := int(math.Floor((turn-math.Floor(turn))*bearings)) % bearings
		sum[i] += cmplx.Abs(d) / radius
		n[i]++
	}
	for i := range sum {
		sum[i] = ratio(sum[i], n[i], 1)
	}
	return sum
}

func ratio(a, b, none float64) float64 {
	if b == 0 {
		return none
	}
	return a / b
}

// similarity takes places of one photo to those of another: z -> scale*z + shift.
type similarity struct{ scale, shift complex128 }

func (s similarity) of(z complex128) complex128 { return s.scale*z + s.shift }

// shared is how many halves of two photos are the same fruit; 0 when they are
// photos of other fruit.
func shared(a, b scoring.Report) int {
	from, to := facesOf(a), facesOf(b)
	if len(from) == 0 || len(to) == 0 {
		return 0
	}
	best := 0
	try := func(s similarity) {
		n, could := agreeing(s, from, to, a, b)
		enough := n >= fewestSame || n == len(from) && n == len(to)
		if enough && float64(n) >= sharedOf*float64(could) {
			best = max(best, n)
		}
	}
	for i := range from {
		for j := range to {
			switch {
			case !alike(from[i], to[j]):
			case len(from) == 1 && len(to) == 1:
				try(upright(from[i], to[j]))
			default:
				eachThrough(from, to, i, j, try)
			}
		}
	}
	return best
}

// eachThrough gives the similarities that lay half i on half j and one of the
// halves beside i on another.
func eachThrough(from, to []face, i, j int, try func(similarity)) {
	for _, k := range beside(from, i) {
		for l := range to {
			if l == j || !alike(from[k], to[l]) {
				continue
			}
			if s, ok := through(from[i], from[k], to[j], to[l]); ok {
				try(s)
			}
		}
	}
}

// beside are the halves nearest to one.
func beside(of []face, i int) []int {
	var others []int
	for k := range of {
		if k != i {
			others = append(others, k)
		}
	}
	slices.SortFunc(others, func(a, b int) int { return cmp.Compare(cmplx.Abs(of[a].at-of[i].at), cmplx.Abs(of[b].at-of[i].at)) })
	return others[:min(len(others), 3)]
}

// alike says whether two halves may be one by what is stained of them.
func alike(a, b face) bool {
	if len(a.zones) != len(b.zones) {
		return false
	}
	for i := range a.zones {
		if math.Abs(a.zones[i]-b.zones[i]) > sameZone {
			return false
		}
	}
	return true
}

// upright is the similarity that lays one half on another without turning it.
func upright(a, b face) similarity {
	scale := complex(b.radius/a.radius, 0)
	return similarity{scale, b.at - scale*a.at}
}

// through is the similarity that lays two halves on two others, where their radii
// agree with it.
func through(a, b, toA, toB face) (similarity, bool) {
	apart := b.at - a.at
	if apart == 0 {
		return similarity{}, false
	}
	s := similarity{scale: (toB.at - toA.at) / apart}
	s.shift = toA.at - s.scale*a.at
	size := cmplx.Abs(s.scale)
	return s, size > 0 && near(toA.radius/a.radius/size, 1, sameRadius) && near(toB.radius/b.radius/size, 1, sameRadius)
}

func near(x, y, within float64) bool { return math.Abs(x-y) <= within }

// agreeing counts the halves that a similarity lays on halves of the other photo,
// and those that the other photo could show.
func agreeing(s similarity, from, to []face, a, b scoring.Report) (same, could int) {
	size := cmplx.Abs(s.scale)
	taken := make([]bool, len(to))
	for _, f := range from {
		at := s.of(f.at)
		if !inside(at, size*f.radius, b) {
			continue
		}
		could++
		for j, t := range to {
			if !taken[j] && sameFace(f, t, s, size) {
				taken[j] = true
				same++
				break
			}
		}
	}
	back := similarity{1 / s.scale, -s.shift / s.scale}
	other := 0
	for _, t := range to {
		if inside(back.of(t.at), t.radius/size, a) {
			other++
		}
	}
	return same, max(could, other)
}

// inside says whether a half lies whole on a photo.
func inside(at complex128, radius float64, on scoring.Report) bool {
	return real(at) > radius && imag(at) > radius && real(at) < float64(on.Width)-radius && imag(at) < float64(on.Height)-radius
}

// sameFace says whether a half is another one under a similarity.
func sameFace(f, t face, s similarity, size float64) bool {
	d := s.of(f.at) - t.at
	if cmplx.Abs(d) > sameCentre*t.radius || !near(size*f.radius/t.radius, 1, sameRadius) || !alike(f, t) {
		return false
	}
	turn := math.Atan2(imag(s.scale), real(s.scale)) / (2 * math.Pi) * bearings
	var off float64
	for i := range t.outline {
		was := math.Mod(float64(i)-turn+2*bearings, bearings)
		low := int(was) % bearings
		part := was - math.Floor(was)
		f := (1-part)*f.outline[low] + part*f.outline[(low+1)%bearings]
		off += math.Abs(f - t.outline[i])
	}
	return off/bearings <= sameOutline
}
