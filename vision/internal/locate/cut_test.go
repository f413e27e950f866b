package locate

import (
	"image"
	"math"
	"testing"

	"gocv.io/x/gocv"
)

// Neither one face nor one core tells how the fruit of a tray were cut: the mean does, and not more surely of many.
func TestCutAcross(t *testing.T) {
	const round, notched = -9, 3
	for _, tt := range []struct {
		name               string
		lengthwise, across []float64
		want               bool
	}{
		{"a star", []float64{round}, []float64{2.7}, true},
		{"a core that cannot be seen well", []float64{round}, []float64{-0.4}, true},
		{"no core", []float64{round}, []float64{-0.7}, false},
		{"one star among cores that cannot be seen", []float64{round, round, round}, []float64{-1.8, -1.8, 2.7}, true},
		{"many cores that cannot be seen well", []float64{round, round, round, round}, []float64{-0.4, -0.4, -0.4, -0.4}, true},
		{"notches all over", []float64{notched, notched}, []float64{0.4, 0.4}, false},
		{"notches mostly", []float64{notched, notched, round}, []float64{0.4, 0.4, 2.7}, false},
		{"dented, but not notched", []float64{-4, -4}, []float64{0.4, 0.4}, true},
		{"more than dented", []float64{-3, -3}, []float64{0.4, 0.4}, false},
		{"a fruit cut lengthwise beside halves", []float64{notched, round, round}, []float64{-0.2, 2.7, 2.7}, true},
	} {
		fs := facesWith(make([]float64, len(tt.across)+1)...)
		for i := range tt.across {
			fs[i] = facesWith(teaching)[0]
			fs[i].lengthwise, fs[i].across = tt.lengthwise[i], tt.across[i]
		}
		fs[len(fs)-1].lengthwise = 100 // does not look like a half
		if got := cutAcross(fs, fs[:len(fs)-1]); got != tt.want {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
}

// notchedOutline is a circle of radius r with a wedge cut out at two bearings, so many radii deep and 0.3 rad to either side.
func notchedOutline(r, stem, calyx float64) func(a float64) float64 {
	const half = 0.3
	return func(a float64) float64 {
		dent := func(at, deep float64) float64 {
			return deep * max(0, 1-math.Abs(math.Remainder(a-at, 2*math.Pi))/half)
		}
		return r * (1 - dent(0, stem) - dent(math.Pi, calyx))
	}
}

func TestDents(t *testing.T) {
	const chord = 1 - 0.9553 // below the circle of a chord over 0.6 rad, by 1-cos 0.3
	for _, tt := range []struct {
		name              string
		outline           func(a float64) float64
		deepest, opposite float64
	}{
		{"a circle", func(float64) float64 { return 80 }, 0, 0},
		{"an oval", func(a float64) float64 { return 80 / math.Hypot(math.Cos(a), 1.3*math.Sin(a)) }, 0, 0},
		{"a heart", notchedOutline(80, 0.2, 0), 0.2 - chord, 0},
		{"stem and calyx", notchedOutline(80, 0.2, 0.1), 0.2 - chord, 0.1 - chord},
	} {
		g := ringOf(200, 200, tt.outline)
		n := g.notches(drawnPicture(400, 400, func(x, y float64) float64 { return 50 }))
		scale := 80 / g.radius() // radii are those of the circle of the same area
		near(t, tt.name+": deepest", n.deepest, tt.deepest*scale, 0.005)
		near(t, tt.name+": opposite", n.opposite, tt.opposite*scale, 0.005)
		near(t, tt.name+": deepest by OpenCV", deepestDefect(&g), n.deepest, 0.002)
	}
}

// deepestDefect is OpenCV's deepest convexity defect of a ring, in radii.
func deepestDefect(g *ring) float64 {
	const fine = 64 // OpenCV takes whole pixels
	var pts []image.Point
	for b := range bearings {
		x, y := g.point(b)
		pts = append(pts, image.Pt(int(math.Round(x*fine)), int(math.Round(y*fine))))
	}
	outline := gocv.NewPointVectorFromPoints(pts)
	defer outline.Close()
	hull, defects := gocv.NewMat(), gocv.NewMat()
	defer hull.Close()
	defer defects.Close()
	gocv.ConvexHull(outline, &hull, false, false)
	gocv.ConvexityDefects(outline, hull, &defects)
	deepest := 0.0
	for i := range defects.Rows() {
		deepest = max(deepest, float64(defects.GetVeciAt(i, 0)[3])/256/fine/g.radius())
	}
	return deepest
}

// An outline is known without its notches. Half and more of those that the picture has is found, with a clear edge. Stain in
// the colour of the tray along a rim looks like notches, but for the skin that still goes round.
func TestNotched(t *testing.T) {
	const cx, cy, r = 150.0, 130.0, 80.0
	outline := notchedOutline(r, 0.2, 0.12)
	notched := func(skin float64) notches {
		p := drawnPicture(300, 260, func(x, y float64) float64 {
			// The edge is as soft as of a photo a little out of focus.
			const soft = 6
			d := math.Hypot(x-cx, y-cy)
			if d > r-skin && d < r {
				return 20
			}
			return 40 + 40*min(max((min(outline(math.Atan2(y-cy, x-cx)), r-skin)-d)/soft+0.5, 0), 1)
		})
		g := circle(cx, cy, r)
		return notched(p, learn(p, []ring{g}, everyone), &g, 0)
	}
	outer := notched(0)
	stain := notched(3)
	if stain.edge > outer.edge-0.05 {
		t.Errorf("in stain within a skin as clear notches are found, %+v, as without, %+v", stain, outer)
	}
	// What the way of looking makes of notches 0.16 and 0.08 deep: it does not change unseen.
	near(t, "deepest", outer.deepest, 0.0740, 5e-4)
	near(t, "opposite", outer.opposite, 0.0442, 5e-4)
	near(t, "edge", outer.edge, 0.8448, 5e-4)
	near(t, "deepest in stain", stain.deepest, 0.0620, 5e-4)
	near(t, "edge in stain", stain.edge, 0.7494, 5e-4)
	outline = func(float64) float64 { return r }
	if none := notched(0); none.deepest > 0.01 {
		t.Errorf("a round face shows %+v", none)
	}
}

func TestDoubtCut(t *testing.T) {
	for _, tt := range []struct {
		name            string
		sum, long, bare float64
		want            float64
	}{
		{"nothing against it", 5, -12, -12, 5},
		{"likelier something else", 5, 1, -9, -1},
		{"both as likely", 5, 0, 0, -math.Log(2)},
		{"surely something else", 5, 9, -9, likely},
		{"little for it either", 0, 0, -9, -math.Log(2)},
	} {
		f := facesWith(tt.sum)[0]
		f.doubtCut(tt.long, tt.bare)
		near(t, tt.name, f.sum(), tt.want, 0.01)
	}
}

// cutSeen is what was seen of a fruit on a tuning tray.
type cutSeen struct {
	what string
	face
	notches
}

// cutsSeen are kept in testdata/cut.csv: of tuning trays of two painters all fruit that were not cut across but were near to pass for
// halves, all halves that may look as if they had not been, and one in ten of the others.
func cutsSeen(t *testing.T) (out []cutSeen) {
	t.Helper()
	for _, row := range rowsOf(t, "testdata/cut.csv") {
		var v [5]float64
		numbers(t, row[1:], v[:])
		out = append(out, cutSeen{row[0], face{skin: math.Exp(v[3]), across: v[4]}, notches{v[0], v[1], v[2]}})
	}
	return out
}

// What the rows say tells halves from fruit that were not cut across on what they were set on: this tells that they
// are in order, not how good they are elsewhere. No figure of them changes unseen.
func TestCutRows(t *testing.T) {
	const worthLengthwise, worthUncut = 32.56, 28.12
	n, refused := map[string]int{}, map[string]int{}
	var long, bare float64
	for _, c := range cutsSeen(t) {
		l, u := c.cutLengthwise(c.notches), c.uncut(1)
		n[c.what]++
		if max(l, u) > -sure {
			refused[c.what]++
		}
		switch c.what {
		case "half":
			l, u = -l, -u
		case "lengthwise":
			u = math.Inf(1)
		case "uncut":
			l = math.Inf(1)
		}
		long += math.Log1p(math.Exp(-l))
		bare += math.Log1p(math.Exp(-u))
	}
	t.Log(n, refused)
	near(t, "surprise by fruit cut lengthwise", long, worthLengthwise, 0.01)
	near(t, "surprise by uncut fruit", bare, worthUncut, 0.01)
	if refused["half"] > 2 || refused["lengthwise"] < 60 || refused["uncut"] < 13 {
		t.Errorf("of %v %v are refused", n, refused)
	}
}
