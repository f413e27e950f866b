package painter

import (
	"math"
	"sort"

	"traystage/vision/zones"
)

// Truth is what is to be known about one picture of a tray. Its JSON form is that
// of the entries of a truth file.
type Truth struct {
	File        string      `json:"file,omitempty"`
	Width       int         `json:"width"` // upright, pixels
	Height      int         `json:"height"`
	Orientation int         `json:"exif_orientation"` // with which the file is stored
	Family      Family      `json:"family,omitempty"` // of the first half; empty without halves
	Difficulty  Difficulty  `json:"difficulty"`
	Conditions  Conditions  `json:"conditions"`
	MeanStage   float64     `json:"mean_stage"` // of all halves; 0 without
	Halves      []HalfTruth `json:"halves"`     // in reading order
}

// Conditions says how the picture was taken.
type Conditions struct {
	Seed     int64     `json:"seed"`
	Tray     Ground    `json:"background"`
	Table    Ground    `json:"table"`
	Light    Light     `json:"light"`
	Tilt     float64   `json:"camera_tilt_deg"`
	Roll     float64   `json:"camera_roll_deg"`
	Clutter  []Clutter `json:"clutter"`
	Fruit    int       `json:"whole_fruit"`
	EV       float64   `json:"ev"`
	Noise    float64   `json:"noise"`
	Blur     float64   `json:"blur_px"`
	Quality  int       `json:"jpeg_q"`
	Variety  Variety   `json:"variety"`
	Amber    float64   `json:"amber"`
	Browning float64   `json:"brown"`
}

// HalfTruth is the truth of one half. Coordinates are those of the upright picture, to 0.01 pixel.
type HalfTruth struct {
	Centre      [2]float64   `json:"centre"`    // of the core
	Row         int          `json:"row"`       // from 0
	Outline     [][2]float64 `json:"outline"`   // of the cut face with its skin: OutlinePoints points, clockwise as seen, whether hidden or not
	Radius      float64      `json:"eq_radius"` // of the circle with the outline's area, pixels
	Family      Family       `json:"family"`
	Stage       float64      `json:"stage"`
	Stained     float64      `json:"frac"`              // stained / flesh of the whole half, hidden parts too
	Zones       []float64    `json:"ring_frac"`         // stained / flesh of each ring
	Weights     []float64    `json:"ring_weight"`       // share of the flesh in each ring
	MedianStain float64      `json:"od_median_stained"` // median red-band density of the stained flesh
	Clipped     bool         `json:"clipped"`           // cut off by the frame
	Touching    bool         `json:"touching"`          // less than 1 mm to another half
	Visible     float64      `json:"visible_frac"`      // share of the face in the frame and not covered
}

// OutlinePoints is the number of points of an outline.
const OutlinePoints = 72

// truth collects the truth of the scene.
func (s *scene) truth() Truth {
	sp := s.spec
	t := Truth{
		Width: sp.Width, Height: sp.Height, Orientation: max(sp.Orientation, 1), Difficulty: sp.Difficulty,
		Conditions: Conditions{
			Seed: sp.Seed, Tray: sp.Tray, Table: sp.Table, Light: sp.Light, Tilt: sp.Camera.Tilt, Roll: sp.Camera.Roll,
			Clutter: []Clutter{}, Fruit: len(sp.Fruit), EV: sp.EV, Noise: sp.Noise, Blur: sp.Blur, Quality: sp.Quality,
			Variety: sp.Variety, Amber: sp.Amber, Browning: sp.Browning,
		},
		Halves: []HalfTruth{},
	}
	for _, c := range sp.Clutter {
		t.Conditions.Clutter = append(t.Conditions.Clutter, c.Kind)
	}
	for _, o := range readingOrder(sp.Halves) {
		t.Halves = append(t.Halves, s.halfTruth(o.index, o.row))
		t.MeanStage += sp.Halves[o.index].Stage / float64(len(sp.Halves))
	}
	if len(t.Halves) > 0 {
		t.Family = t.Halves[0].Family
	}
	return t
}

type placed struct{ index, row int }

// readingOrder sorts halves into rows, top to bottom, each left to right, as they
// lie on the tray. A row holds what lies within a radius of its topmost half.
func readingOrder(hs []HalfSpec) []placed {
	order := make([]placed, len(hs))
	for i := range order {
		order[i].index = i
	}
	sort.SliceStable(order, func(a, b int) bool { return hs[order[a].index].Y < hs[order[b].index].Y })
	row, top := -1, math.Inf(-1)
	for i := range order {
		h := hs[order[i].index]
		if h.Y > top+h.Radius {
			row++
			top = h.Y
		}
		order[i].row = row
	}
	sort.SliceStable(order, func(a, b int) bool {
		if order[a].row != order[b].row {
			return order[a].row < order[b].row
		}
		return hs[order[a].index].X < hs[order[b].index].X
	})
	return order
}

func (s *scene) halfTruth(i, row int) HalfTruth {
	h := &s.halves[i]
	t := HalfTruth{
		Row: row, Family: h.spec.Family, Stage: h.spec.Stage,
		Stained: h.face.truth.stained, Zones: h.face.truth.zones, Weights: h.face.truth.weights,
		MedianStain: h.face.truth.medianStain,
	}
	z := h.shape.height
	x, y, _ := s.cam.project(vec{h.spec.X, h.spec.Y, z})
	t.Centre = [2]float64{hundredth(x), hundredth(y)}
	area := 0.0
	for k := range OutlinePoints {
		th := 2 * math.Pi * float64(k) / OutlinePoints
		r := h.shape.at(th)
		x, y, _ := s.cam.project(vec{h.spec.X + r*math.Cos(th), h.spec.Y + r*math.Sin(th), z})
		t.Outline = append(t.Outline, [2]float64{hundredth(x), hundredth(y)})
		if !s.inFrame(x, y) {
			t.Clipped = true
		}
	}
	for k, a := range t.Outline {
		b := t.Outline[(k+1)%OutlinePoints]
		area += (a[0]*b[1] - b[0]*a[1]) / 2
	}
	t.Radius = hundredth(math.Sqrt(math.Abs(area) / math.Pi))
	for j := range s.halves {
		o := &s.halves[j]
		if j != i && gap(h.shape, o.shape, o.spec.X-h.spec.X, o.spec.Y-h.spec.Y) < 1 {
			t.Touching = true
		}
	}
	t.Visible = s.visible(i)
	return t
}

// hundredth rounds a coordinate to what the truth states it to, 0.01 pixel.
func hundredth(v float64) float64 { return math.Round(v*100) / 100 }

func (s *scene) inFrame(x, y float64) bool {
	return x >= 0 && y >= 0 && x <= float64(s.spec.Width) && y <= float64(s.spec.Height)
}

// visible is the share of half i's face that the picture shows.
func (s *scene) visible(i int) float64 {
	const grid = 56
	h := &s.halves[i]
	seen, all := 0, 0
	for k := range grid * grid {
		x := (float64(k%grid)+0.5)/grid*2*h.face.span - h.face.span
		y := (float64(k/grid)+0.5)/grid*2*h.face.span - h.face.span
		if math.Hypot(x, y) >= h.shape.at(math.Atan2(y, x)) {
			continue
		}
		all++
		p := vec{h.spec.X + x, h.spec.Y + y, h.shape.height}
		px, py, ok := s.cam.project(p)
		if ok && s.inFrame(px, py) && !s.occluded(p, i) {
			seen++
		}
	}
	return float64(seen) / float64(max(all, 1))
}

// zoneCount is the number of rings of the truth.
func (s *Spec) zoneCount() int {
	if s.Zones < 1 {
		return zones.DefaultCount
	}
	return s.Zones
}
