package zones

import (
	"math"
	"slices"
	"testing"
)

// masked reads a square mask drawn in letters ('.' outside, 'c' clear, 's'
// stained, '#' not flesh, '?' hidden) as Count takes it, around the middle of the square,
// which is the unit of radius wide on each side.
func masked(rows ...string) (class []Class, radius, bearing []float32) {
	letters := map[rune]Class{'.': Outside, 'c': Clear, 's': Stained, '#': NotFlesh, '?': Hidden}
	half := float64(len(rows)) / 2
	for y, row := range rows {
		for x, letter := range row {
			dx, dy := float64(x)+0.5-half, float64(y)+0.5-half
			class = append(class, letters[letter])
			radius = append(radius, float32(math.Hypot(dx, dy)/half))
			bearing = append(bearing, float32(turn(dx, dy)))
		}
	}
	return class, radius, bearing
}

// turn is the bearing of a direction in [0, 2 pi).
func turn(dx, dy float64) float64 {
	return math.Mod(math.Atan2(dy, dx)+2*math.Pi, 2*math.Pi)
}

// In a square of 5, radius 2.5 px, rings of half that: the inner one holds the
// middle pixel and its 4 neighbours (1 px away), the outer one the 4 at 1.41,
// the 4 at 2 and the 8 at 2.24 px. The corners lie outside.
func TestCountByHand(t *testing.T) {
	for _, tt := range []struct {
		name          string
		rows          []string
		stained       [2]int
		flesh         [2]int
		face          int
		total, masked float64
		hidden        float64
	}{
		{"all clear", []string{".ccc.", "ccccc", "ccccc", "ccccc", ".ccc."}, [2]int{0, 0}, [2]int{5, 16}, 21, 0, 0, 0},
		{"all stained", []string{".sss.", "sssss", "sssss", "sssss", ".sss."}, [2]int{5, 16}, [2]int{5, 16}, 21, 1, 0, 0},
		// 3 of 5 px inside, 2 of 16 outside are stained: 5 of 21
		{"some stained", []string{".csc.", "ccscc", "ccssc", "ccccc", ".csc."}, [2]int{3, 2}, [2]int{5, 16}, 21, 5.0 / 21, 0, 0},
		// the middle pixel and one at the rim count on neither side: 4 of 19
		{"core masked", []string{".c#c.", "ccscc", "cs#sc", "ccscc", ".ccc."}, [2]int{4, 0}, [2]int{4, 15}, 21, 4.0 / 19, 2.0 / 21, 0},
		// 2 of 5 px inside hidden, 1 of the other 3 stained: (1 + 2/3) of 21
		{"glare inside", []string{".ccc.", "ccscc", "cc??c", "ccccc", ".ccc."}, [2]int{1, 0}, [2]int{3, 16}, 21, 5.0 / 3 / 21, 2.0 / 21, 2.0 / 21},
		// the whole inner ring hidden: it is taken to be like the outer one, 4 of 16
		{"glare on the core", []string{".csc.", "cc?cc", "s???s", "cc?cc", ".csc."}, [2]int{0, 4}, [2]int{0, 16}, 21, 0.25, 5.0 / 21, 5.0 / 21},
		// one side missing: 3 px of the inner ring left, 5 of the outer
		{"cut off", []string{"...c.", "..ccs", "..csc", "..scc", "....."}, [2]int{2, 1}, [2]int{4, 6}, 10, 0.3, 0, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			class, radius, bearing := masked(tt.rows...)
			p := Count(class, radius, bearing, 2)
			for i, z := range p.Zones {
				if z.Stained != tt.stained[i] || z.Flesh != tt.flesh[i] {
					t.Errorf("ring %d holds %d stained of %d, drawn were %d of %d", i, z.Stained, z.Flesh, tt.stained[i], tt.flesh[i])
				}
			}
			if p.Face != tt.face {
				t.Errorf("the face has %d px, drawn were %d", p.Face, tt.face)
			}
			if got, ok := p.Stained(); !ok || math.Abs(got-tt.total) > 1e-12 {
				t.Errorf("stained fraction %v (%v), drawn was %v", got, ok, tt.total)
			}
			if got := p.Masked(); math.Abs(got-tt.masked) > 1e-12 {
				t.Errorf("masked share %v, drawn was %v", got, tt.masked)
			}
			if got, want := p.Hidden(), tt.hidden; math.Abs(got-want) > 1e-12 {
				t.Errorf("hidden share of the flesh %v, drawn was %v", got, want)
			}
			inSectors := Zone{}
			for _, s := range p.Sectors {
				inSectors.Stained += s.Stained
				inSectors.Flesh += s.Flesh
			}
			if inSectors.Stained != tt.stained[0]+tt.stained[1] || inSectors.Flesh != tt.flesh[0]+tt.flesh[1] {
				t.Errorf("the sectors hold %d of %d px, the rings other flesh", inSectors.Stained, inSectors.Flesh)
			}
		})
	}
}

// disc is a round face of the given radius in px, its core in the middle of a pixel.
func disc(r int, class func(rho, bearing float64) Class) ([]Class, []float32, []float32) {
	var c []Class
	var radius, bearing []float32
	for y := -r - 1; y <= r+1; y++ {
		for x := -r - 1; x <= r+1; x++ {
			rho := math.Hypot(float64(x), float64(y)) / float64(r)
			a := turn(float64(x), float64(y))
			k := Outside
			if rho < 1 {
				k = class(rho, a)
			}
			c, radius, bearing = append(c, k), append(radius, float32(rho)), append(bearing, float32(a))
		}
	}
	return c, radius, bearing
}

// A ring from r1 to r2 has an area of pi (r2² - r1²). The squares of the pixels
// whose centres lie in it lie within the ring grown by half a diagonal at both
// edges, and cover the ring shrunk by as much: with h = 1/sqrt 2 the count is off
// by pi (2 h (r1 + r2) + 2 h²) at most (the argument of Gauss for the circle).
func TestRingAreas(t *testing.T) {
	const r = 400
	for _, n := range []int{1, 3, 5, 8} {
		class, radius, bearing := disc(r, func(float64, float64) Class { return Clear })
		for i, z := range Count(class, radius, bearing, n).Zones {
			r1, r2 := float64(r*i)/float64(n), float64(r*(i+1))/float64(n)
			if math.Abs(z.Inner*r-r1) > 1e-9 || math.Abs(z.Outer*r-r2) > 1e-9 {
				t.Errorf("ring %d of %d runs from %v to %v", i, n, z.Inner, z.Outer)
			}
			want, tolerance := math.Pi*(r2*r2-r1*r1), math.Pi*(math.Sqrt2*(r1+r2)+1)
			if math.Abs(float64(z.Flesh)-want) > tolerance {
				t.Errorf("ring %d of %d has %d px, its area is %.0f ± %.0f", i, n, z.Flesh, want, tolerance)
			}
		}
	}
}

// Stained beyond rho = 0.5, a disc has 1 - 0.25 of its area stained; of its
// five rings the third, from 0.4 to 0.6, has (0.36 - 0.25) / (0.36 - 0.16).
func TestStainedFromARadius(t *testing.T) {
	class, radius, bearing := disc(400, func(rho, _ float64) Class {
		if rho >= 0.5 {
			return Stained
		}
		return Clear
	})
	p := Count(class, radius, bearing, 5)
	// Half a pixel's diagonal at the edge at 200 px moves 889 of 100531 px of
	// the third ring, 889 of 502655 of the disc.
	total, _ := p.Stained()
	if math.Abs(total-0.75) > 0.002 {
		t.Errorf("stained fraction %.4f, drawn was 0.75", total)
	}
	want := []float64{0, 0, 0.55, 1, 1}
	for i, f := range p.Fractions() {
		if math.Abs(f-want[i]) > 0.01 {
			t.Errorf("ring %d: %.4f stained, drawn was %.2f", i, f, want[i])
		}
	}
}

func TestCountEdges(t *testing.T) {
	// On the outline itself a pixel counts to the last ring; on the border of
	// two rings to the outer one; a full turn is the first sector again.
	below := math.Nextafter32(0.5, 0)
	p := Count([]Class{Stained, Stained, Clear}, []float32{1, 0.5, below}, []float32{2 * math.Pi, 0, math.Pi}, 2)
	if z := p.Zones; z[0] != (Zone{Inner: 0, Outer: 0.5, Flesh: 1}) || z[1] != (Zone{Inner: 0.5, Outer: 1, Stained: 2, Flesh: 2}) {
		t.Errorf("pixels on the borders of rings went to %+v", z)
	}
	if p.Sectors[0].Flesh != 2 || p.Sectors[SectorCount/2].Flesh != 1 {
		t.Errorf("bearings 0, pi and 2 pi went to %+v", p.Sectors)
	}
}

func TestCountNumberOfRings(t *testing.T) {
	for n, want := range map[int]int{-3: DefaultCount, 0: DefaultCount, 1: 1, 7: 7} {
		if p := Count(nil, nil, nil, n); len(p.Zones) != want || len(p.Sectors) != SectorCount {
			t.Errorf("%d rings asked for, %d rings and %d sectors given", n, len(p.Zones), len(p.Sectors))
		}
	}
}

// rings makes a profile of stained counts out of 10 px of flesh each; -1 is a
// ring without flesh.
func rings(stained ...int) Profile {
	var p Profile
	for _, s := range stained {
		if s < 0 {
			p.Zones = append(p.Zones, Zone{})
		} else {
			p.Zones = append(p.Zones, Zone{Stained: s, Flesh: 10})
		}
	}
	return p
}

func TestFractions(t *testing.T) {
	for _, tt := range []struct {
		name string
		p    Profile
		want []float64
	}{
		{"all seen", rings(0, 5, 10), []float64{0, 0.5, 1}},
		{"the first from its outer neighbour", rings(-1, 2, 3), []float64{0.2, 0.2, 0.3}},
		{"the last from its inner neighbour", rings(1, 2, -1), []float64{0.1, 0.2, 0.2}},
		{"between two the inner one", rings(1, -1, 9), []float64{0.1, 0.1, 0.9}},
		{"the nearer of two", rings(1, -1, -1, 9), []float64{0.1, 0.1, 0.9, 0.9}},
		{"one for all", rings(-1, -1, 4, -1), []float64{0.4, 0.4, 0.4, 0.4}},
		{"none", rings(-1, -1), nil},
		{"no rings", Profile{}, nil},
	} {
		got := tt.p.Fractions()
		if len(got) != len(tt.want) || !slices.EqualFunc(got, tt.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-12 }) {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}

func TestWeights(t *testing.T) {
	p := Profile{Zones: []Zone{{Flesh: 1}, {Stained: 3, Flesh: 3}, {}, {Flesh: 4}}}
	if got, want := p.Weights(), []float64{0.125, 0.375, 0, 0.5}; !slices.Equal(got, want) {
		t.Errorf("weights %v, want %v", got, want)
	}
	if got := rings(-1, -1).Weights(); got != nil {
		t.Errorf("weights %v where no flesh was seen", got)
	}
}

func TestNothingSeen(t *testing.T) {
	class, radius, bearing := masked("###", "###", "###")
	for name, p := range map[string]Profile{"no pixel": {}, "no flesh": Count(class, radius, bearing, 3)} {
		if f, ok := p.Stained(); ok || f != 0 {
			t.Errorf("%s: a stained fraction of %v", name, f)
		}
		if a := p.Asymmetry(); a != 0 {
			t.Errorf("%s: an asymmetry of %v", name, a)
		}
		if f, ok := (Zone{}).Fraction(); ok || f != 0 {
			t.Errorf("a ring without flesh has a fraction of %v", f)
		}
	}
	if m := Count(class, radius, bearing, 3).Masked(); m != 1 {
		t.Errorf("a face without flesh is masked by %v", m)
	}
}

// around makes a profile of the stained fractions of its sectors.
func around(fraction func(bearing float64) float64) Profile {
	const flesh = 1_000_000
	var p Profile
	for i := range SectorCount {
		a := 2 * math.Pi * (float64(i) + 0.5) / SectorCount
		p.Sectors = append(p.Sectors, Zone{Stained: int(math.Round(flesh * fraction(a))), Flesh: flesh})
	}
	return p
}

func TestAsymmetry(t *testing.T) {
	upper := func(a float64) float64 {
		if a < math.Pi {
			return 1
		}
		return 0
	}
	for _, tt := range []struct {
		name     string
		fraction func(float64) float64
		want     float64
	}{
		{"all stained", func(float64) float64 { return 1 }, 0},
		{"half all round", func(float64) float64 { return 0.5 }, 0},
		// A continuous half turn gives 2/pi = 0.637. With n sectors the sum of n/2 unit
		// vectors 2 pi/n apart is 1/sin(pi/n) long: 2/(n sin(pi/n)) = 0.644 for 12.
		{"one side", upper, 2 / (SectorCount * math.Sin(math.Pi/SectorCount))},
		{"the other side", func(a float64) float64 { return 1 - upper(a) }, 2 / (SectorCount * math.Sin(math.Pi/SectorCount))},
		// 0.5 + 0.3 cos(a - 1) is its own first harmonic
		{"a first harmonic", func(a float64) float64 { return 0.5 + 0.3*math.Cos(a-1) }, 0.3},
		{"a fifth harmonic only", func(a float64) float64 { return 0.5 + 0.4*math.Cos(5*a) }, 0},
	} {
		if got := around(tt.fraction).Asymmetry(); math.Abs(got-tt.want) > 2e-6 { // counts are rounded to a millionth
			t.Errorf("%s: asymmetry %.6f, want %.6f", tt.name, got, tt.want)
		}
	}
}
