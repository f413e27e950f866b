package painter

import (
	"math"
	"math/rand/v2"
	"time"
)

// RandomSpec lays out a tray of the given difficulty from a seed; see the package
// comment for which seeds to use. The picture is of 1.9 megapixels; Width and Height may be
// multiplied by the same factor for a larger or smaller one.
func RandomSpec(seed int64, d Difficulty) Spec {
	r := random(uint64(seed), 31+uint64(len(d)))
	s := Spec{
		Seed: seed, Width: 1600, Height: 1200, Difficulty: d, Orientation: 1,
		Tray:    pick(r, Trays()...),
		Table:   pick(r, Laminate, Concrete, Wood, GreyMetal),
		Variety: pick(r, Varieties()...),
		Taken:   time.Date(2026, 8, 20+r.IntN(60), 7+r.IntN(10), r.IntN(60), r.IntN(60), 0, time.UTC),
		Quality: 76 + r.IntN(16),
	}
	if s.Table == s.Tray {
		s.Table = Laminate
	}
	s.Amber = between(r, 0.08, 0.38)
	s.Browning = math.Max(0, between(r, -0.1, 0.12))
	s.Stains = math.Max(0, between(r, -0.5, 0.8))
	if r.Float64() < 0.5 {
		s.Drops = 1 + r.IntN(5)
	}
	s.randomCamera(r)
	s.randomLight(r)
	if r.Float64() < 0.2 {
		s.Width, s.Height = s.Height, s.Width
		s.Orientation = pick(r, 6, 8)
	}
	if d == None {
		s.layNothing(r)
		return s
	}
	s.layHalves(r)
	if d == Hard {
		s.spoil(r)
	}
	return s
}

func pick[T any](r *rand.Rand, from ...T) T { return from[r.IntN(len(from))] }

func (s *Spec) randomLight(r *rand.Rand) {
	hard := s.Difficulty == Hard
	if hard {
		s.Light = pick(r, Sun, Sun, Lamp, Lamp, Flash, Flash, Tungsten, Tubes, Overcast)
	} else {
		s.Light = pick(r, Overcast, Overcast, Tubes, Tubes, Tungsten, Sun)
	}
	s.LightFrom = between(r, 0, 360)
	low := 0.0
	if hard {
		low = 12
	}
	switch s.Light {
	case Tubes:
		s.LightHeight = between(r, 66, 86)
	case Tungsten:
		s.LightHeight = between(r, 58, 80) - low
	case Sun:
		s.LightHeight = between(r, 42, 60) - low
	case Lamp:
		s.LightHeight = between(r, 34, 58)
	default:
		s.LightHeight = between(r, 48, 72)
	}
	s.Wet = between(r, 0.05, 0.45)
	s.EV = between(r, -0.3, 0.3)
	if hard {
		s.Wet = between(r, 0.2, 0.95)
		s.EV = between(r, -0.7, 0.45)
	}
	if hard && r.Float64() < 0.6 {
		s.mirror(r)
	}
	if s.Tray == BlackPlastic {
		s.EV += 0.2 // the meter sees a dark picture
	}
	s.White = [3]float64{between(r, 0.96, 1.05), between(r, 0.98, 1.03), between(r, 0.92, 1.06)}
}

// mirror turns the light so that its mirror image stands on the tray: glare.
func (s *Spec) mirror(r *rand.Rand) {
	s.LightFrom = s.Camera.Toward + 180 + between(r, -25, 25)
	s.LightHeight = 90 - s.Camera.Tilt + between(r, -14, 4)
	if s.Light == Flash {
		s.Camera.Tilt = between(r, 3, 12)
	}
}

func (s *Spec) randomCamera(r *rand.Rand) {
	s.Noise = between(r, 0.004, 0.011)
	s.Blur = between(r, 0.5, 0.9)
	s.Camera = Camera{
		Tilt: between(r, 0, 11), Toward: between(r, 50, 130), Roll: between(r, -6, 6),
		Focal: between(r, 0.76, 0.92),
	}
	if s.Difficulty == Hard {
		s.Noise = between(r, 0.008, 0.02)
		s.Blur = between(r, 0.7, 1.2)
		s.Camera.Tilt = between(r, 5, 25)
		s.Camera.Roll = between(r, -10, 10)
	}
}

// layHalves puts halves on the tray in rows, some of them touching.
func (s *Spec) layHalves(r *rand.Rand) {
	columns, rows := 4, 3
	switch v := r.Float64(); {
	case v < 0.3:
		columns = 5
	case v < 0.45:
		columns, rows = 5, 4
	case v < 0.6:
		rows = 4
	}
	if s.Width < s.Height {
		columns, rows = min(columns, rows), max(columns, rows)
	}
	family := pick(r, Families()...)
	mean, spread := between(r, 1.4, 7.6), between(r, 0.4, 1.7)
	if s.Difficulty == Hard && s.Tray == BlackPlastic && r.Float64() < 0.6 {
		mean, spread = 1.1, 0.4
	}
	if s.Difficulty == Hard && s.Tray == WhitePlastic && r.Float64() < 0.6 {
		mean, spread = 7.8, 0.5
	}
	size, height := between(r, 33.5, 39), between(r, 34, 39)
	pitchX, pitchY := size*between(r, 2.3, 2.75), size*between(r, 2.3, 2.6)
	missing := r.IntN(3)
	for i := range columns * rows {
		stage := math.Round(10*clamp(mean+spread*r.NormFloat64(), 1, 8)) / 10
		h := HalfSpec{
			X:      (float64(i%columns)-float64(columns-1)/2)*pitchX + between(r, -0.05, 0.05)*pitchX,
			Y:      (float64(i/columns)-float64(rows-1)/2)*pitchY + between(r, -0.05, 0.05)*pitchY,
			Radius: size * between(r, 0.88, 1.12), Height: height * between(r, 0.95, 1.05),
			Stage: stage, Family: family, Seed: r.Uint64(),
		}
		if missing > 0 && r.Float64() < 0.15 {
			missing--
			continue
		}
		s.Halves = append(s.Halves, h)
	}
	s.Halves = apart(s.Halves)
	for range r.IntN(4) {
		s.Halves = nudge(s.Halves, r)
	}
	s.TrayX = float64(columns)*pitchX/2 + between(r, 4, 26)
	s.TrayY = float64(rows)*pitchY/2 + between(r, 4, 26)
	s.strip(r)
	s.frame(between(r, 1.04, 1.16))
}

// apart leaves out each half that would overlap one before it.
func apart(hs []HalfSpec) []HalfSpec {
	var out []HalfSpec
	for _, h := range hs {
		if fits(out, h, 0.3) {
			out = append(out, h)
		}
	}
	return out
}

// fits says whether a half keeps a distance to all others.
func fits(hs []HalfSpec, h HalfSpec, room float64) bool {
	sh := newShape(h.Radius, h.Height, h.Seed)
	for _, o := range hs {
		if o.Seed == h.Seed || math.Hypot(o.X-h.X, o.Y-h.Y) > 1.3*(o.Radius+h.Radius) {
			continue
		}
		if gap(sh, newShape(o.Radius, o.Height, o.Seed), o.X-h.X, o.Y-h.Y) < room {
			return false
		}
	}
	return true
}

// nudge slides one half towards its nearest neighbour until they touch, unless
// another is in the way.
func nudge(hs []HalfSpec, r *rand.Rand) []HalfSpec {
	if len(hs) < 2 {
		return hs
	}
	i := r.IntN(len(hs))
	best, at := math.Inf(1), 0
	for j := range hs {
		if d := math.Hypot(hs[j].X-hs[i].X, hs[j].Y-hs[i].Y); j != i && d < best {
			best, at = d, j
		}
	}
	a, b := hs[i], hs[at]
	sa, sb := newShape(a.Radius, a.Height, a.Seed), newShape(b.Radius, b.Height, b.Seed)
	for range 12 {
		d := math.Hypot(b.X-a.X, b.Y-a.Y)
		step := gap(sa, sb, b.X-a.X, b.Y-a.Y) - 0.25
		a.X += (b.X - a.X) / d * step
		a.Y += (b.Y - a.Y) / d * step
	}
	if fits(hs, a, 0.1) {
		hs[i] = a
	}
	return hs
}

// strip now and then widens the tray at the bottom or top for a label, a pen or a knife.
func (s *Spec) strip(r *rand.Rand) {
	odds := 0.35
	if s.Difficulty == Hard {
		odds = 0.6
	}
	if r.Float64() > odds {
		return
	}
	const room = 62.0
	side := pick(r, -1.0, 1.0)
	s.TrayY += room / 2
	for i := range s.Halves {
		s.Halves[i].Y -= side * room / 2
	}
	y := side * (s.TrayY - room/2)
	left := ClutterSpec{Kind: pick(r, Label, Label, Pen, Cloth), X: -s.TrayX * between(r, 0.45, 0.65), Y: y, Turn: between(r, -12, 12), Seed: r.Uint64(), Text: blockName(r)}
	s.Clutter = append(s.Clutter, left)
	if r.Float64() < 0.5 {
		s.Clutter = append(s.Clutter, ClutterSpec{Kind: pick(r, Knife, Pen), X: s.TrayX * between(r, 0.25, 0.5), Y: y, Turn: between(r, -14, 14) + pick(r, 0, 180.0), Seed: r.Uint64()})
	}
}

func blockName(r *rand.Rand) string {
	return pick(r, "North", "South", "Hill", "Brook", "Gate") + " " + pick(r, "1", "2", "3", "4", "5", "6", "7", "8")
}

// spoil makes a hard picture of it in one or two further ways.
func (s *Spec) spoil(r *rand.Rand) {
	if r.Float64() < 0.35 { // too near: some halves are clipped
		s.Camera.Distance *= between(r, 0.8, 0.92)
		s.Camera.X += s.TrayX * between(r, -0.12, 0.12)
		s.Camera.Y += s.TrayY * between(r, -0.1, 0.1)
	}
	if r.Float64() < 0.35 {
		s.Browning = between(r, 0.15, 0.5)
	}
	if r.Float64() < 0.4 && len(s.Halves) > 0 {
		h := s.Halves[r.IntN(len(s.Halves))]
		for _, o := range s.Halves { // the rightmost one of its row
			if math.Abs(o.Y-h.Y) < o.Radius && o.X > h.X {
				h = o
			}
		}
		s.Clutter = append(s.Clutter, ClutterSpec{Kind: Fingers, X: h.X + h.Radius*between(r, 0.45, 0.9), Y: h.Y + between(r, -12, 12), Turn: between(r, -20, 25), Seed: r.Uint64()})
	}
}

// layNothing makes a picture without cut halves.
func (s *Spec) layNothing(r *rand.Rand) {
	s.TrayX, s.TrayY = 190, 140
	if s.Width < s.Height {
		s.TrayX, s.TrayY = 140, 190
	}
	kind := r.IntN(3)
	if kind == 0 { // whole fruit
		variety := pick(r, Red, Striped, Bicolour, Yellow, Yellow, Green)
		s.Variety = variety
		for i := range 12 {
			x, y := float64(i%4)-1.5, float64(i/4)-1
			if s.Width < s.Height {
				x, y = y, x
			}
			if r.Float64() < 0.25 {
				continue
			}
			s.Fruit = append(s.Fruit, FruitSpec{
				X: x*90 + between(r, -6, 6), Y: y*90 + between(r, -6, 6), Radius: between(r, 32, 39),
				Tip: between(r, 0, 75), Turn: between(r, 0, 360), Variety: variety, Seed: r.Uint64(),
			})
		}
	}
	if kind == 1 { // clutter only
		kinds := []Clutter{Knife, Cloth, Label, Pen, Fingers}
		r.Shuffle(len(kinds), func(a, b int) { kinds[a], kinds[b] = kinds[b], kinds[a] })
		at := [][2]float64{{-0.5, -0.5}, {0.45, -0.45}, {-0.45, 0.5}, {0.5, 0.45}}
		for i, k := range kinds[:3+r.IntN(2)] {
			s.Clutter = append(s.Clutter, ClutterSpec{Kind: k, X: at[i][0] * s.TrayX, Y: at[i][1] * s.TrayY, Turn: between(r, -25, 25), Seed: r.Uint64(), Text: blockName(r)})
		}
	}
	s.frame(between(r, 0.98, 1.15))
}

// frame sets the camera's distance so that the floor's corners and all halves
// are in the picture with slack of it to spare.
func (s *Spec) frame(slack float64) {
	s.Camera.Distance = 250
	for s.Camera.Distance < 3000 {
		low, high := s.extent()
		// look at the middle of it: a pixel is about distance/focal wide
		mm := s.Camera.Distance / (s.Camera.Focal * float64(s.Width))
		dx := (low[0] + high[0] - float64(s.Width)) / 2
		dy := (low[1] + high[1] - float64(s.Height)) / 2
		s.Camera.X += 0.5 * mm * dx
		s.Camera.Y += 0.5 * mm * dy
		wide, tall := (high[0]-low[0])*slack, (high[1]-low[1])*slack
		if wide < float64(s.Width) && tall < float64(s.Height) && math.Abs(dx)+math.Abs(dy) < 4 {
			return
		}
		if wide >= float64(s.Width) || tall >= float64(s.Height) {
			s.Camera.Distance *= 1.02
		}
	}
}

// extent is the box in the picture that holds all halves, or the floor of a tray without.
func (s *Spec) extent() (low, high [2]float64) {
	cam := newCamera(s.Camera, s.Width, s.Height, level)
	low, high = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	include := func(x, y, z float64) {
		px, py, _ := cam.project(vec{x, y, z})
		low = [2]float64{math.Min(low[0], px), math.Min(low[1], py)}
		high = [2]float64{math.Max(high[0], px), math.Max(high[1], py)}
	}
	for _, h := range s.Halves {
		for k := range 16 {
			sn, cs := math.Sincos(2 * math.Pi * float64(k) / 16)
			include(h.X+1.08*h.Radius*cs, h.Y+1.08*h.Radius*sn, h.Height)
		}
	}
	if len(s.Halves) == 0 {
		for _, c := range [...][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
			include(c[0]*s.TrayX, c[1]*s.TrayY, 0)
		}
	}
	return low, high
}
