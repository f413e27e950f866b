package painter

import "math"

// Variety is the look of the skin.
type Variety string

// The skins.
const (
	Red      Variety = "red"
	Bicolour Variety = "bicolour"
	Striped  Variety = "striped"
	Green    Variety = "green"
	Yellow   Variety = "yellow"
	Russet   Variety = "russet"
)

// Varieties lists all skins.
func Varieties() []Variety { return []Variety{Red, Bicolour, Striped, Green, Yellow, Russet} }

// skin is the reflectance of the skin of one fruit.
type skin struct {
	variety Variety
	sun     float64 // bearing of the sun side
	n       noise
}

func newSkin(v Variety, seed uint64) skin {
	r := random(seed, 5)
	return skin{variety: v, sun: between(r, 0, 2*math.Pi), n: noise(r.Uint64())}
}

// at is the skin's reflectance at a bearing th around the core and a place v
// along the fruit from stem (0) to calyx (1).
func (s skin) at(th, v float64) rgb {
	c, d := math.Cos(th), math.Sin(th)
	// walked round the fruit, so that the pattern closes
	cloud := s.n.layers(c*1.7+v*2.7, d*1.7-v*2.2, 4)
	side := math.Cos(th - s.sun)
	blush, ground := 0.0, rgb{0.66, 0.55, 0.13}
	red := rgb{0.36, 0.025, 0.035}
	switch s.variety {
	case Red:
		streak := (s.n + 3).layers(c*9+v, d*9-v*1.5, 3)
		blush = 0.25 + 0.75*smooth(-1.7, -0.5, 0.8*side+0.9*cloud+0.4*streak)
	case Bicolour:
		ground = rgb{0.62, 0.52, 0.11}
		red = rgb{0.52, 0.07, 0.05}
		streak := (s.n + 3).layers(c*9+v, d*9-v*1.5, 3)
		blush = smooth(-0.6, 0.7, 0.8*side+0.9*cloud+0.4*streak)
	case Striped:
		stripe := (s.n + 3).layers(c*14, d*14+v*0.5, 2)
		red = rgb{0.48, 0.05, 0.04}
		blush = smooth(-0.3, 0.35, stripe+0.55*side+0.3*cloud)
	case Green:
		ground = rgb{0.30, 0.42, 0.075}
		blush = 0.25 * smooth(0.8, 1.3, side+0.3*cloud)
	case Yellow:
		ground = rgb{0.70, 0.58, 0.14}
		blush = 0.2 * smooth(0.7, 1.2, side+0.4*cloud)
	case Russet:
		rough := (s.n + 4).layers(c*18+v*12, d*18-v*9, 3)
		ground = rgb{0.45, 0.42, 0.10}.mix(rgb{0.38, 0.24, 0.10}, smooth(-0.5, 0.3, rough+0.5*cloud))
		blush = 0.15 * smooth(0.2, 1.0, side)
	}
	col := ground.mix(red, blush).scale(1 + 0.12*cloud)
	pale := rgb{0.62, 0.5, 0.26}
	if dist, id := (s.n + 6).spots(th*9, v*16); id > 0.4 { // lenticels, none in the hollows
		col = col.mix(pale, 0.6*smooth(0.05+0.07*id, 0.03+0.04*id, dist)*smooth(0.15, 0.3, v)*smooth(0.95, 0.8, v))
	}
	return col
}
