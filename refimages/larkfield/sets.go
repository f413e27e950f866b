package larkfield

import (
	"math"
	"math/rand/v2"

	"traystage/refimages/painter"
)

// Names of the reference sets that Larkfield made.
const (
	GalaSet     = "larkfield-gala"
	JonagoldSet = "larkfield-jonagold"
)

// Set is one reference set: a chart of halves at whole stages, and trays that
// were graded by eye.
type Set struct {
	Name   string
	Photo  string       // file name of the chart's photo, without folder
	Chart  painter.Spec // its halves stand at the stages 1 to 8, in reading order
	Graded []Graded
}

// Graded is one tray with the grades that a person gave.
type Graded struct {
	Photo  string // file name, without folder
	Tray   painter.Spec
	By     string    // initials
	Stages []float64 // in the order of Tray.Halves, which is reading order
}

// Sets lists the reference sets. The one for Gala was calibrated with two
// graded trays, that for Jonagold is a chart alone.
func Sets() []Set {
	gala := Set{Name: GalaSet, Photo: "chart_gala.jpg", Chart: chart(7001, painter.Concentric, painter.Striped)}
	for i, by := range []string{"hm", "jo"} {
		gala.Graded = append(gala.Graded, graded(int64(7100+i), by, painter.Concentric, painter.Striped))
	}
	return []Set{gala, {Name: JonagoldSet, Photo: "chart_jonagold.jpg", Chart: chart(7002, painter.Petals, painter.Bicolour)}}
}

func chart(seed int64, family painter.Family, skin painter.Variety) painter.Spec {
	s := layOut(seed, []float64{1, 2, 3, 4, 5, 6, 7, 8}, family)
	s.Variety = skin
	return s
}

// graded is a tray of sixteen halves all over the scale, graded with the
// scatter of a practised eye.
func graded(seed int64, by string, family painter.Family, skin painter.Variety) Graded {
	const scatter = 0.2 // stages, standard deviation of one grade; an invention
	r := rand.New(rand.NewPCG(uint64(seed), 9))
	truth, grades := make([]float64, 16), make([]float64, 16)
	for i := range truth {
		truth[i] = math.Round(10*(1.2+6.6*r.Float64())) / 10
		grades[i] = min(max(math.Round(10*(truth[i]+scatter*r.NormFloat64()))/10, painter.StageStained), painter.StageClear)
	}
	s := layOut(seed, truth, family)
	s.Variety = skin
	return Graded{Photo: "graded_" + by + ".jpg", Tray: s, By: by, Stages: grades}
}

// layOut is a tray of so many halves as the instructions ask for it: window
// light, nearly overhead, right exposure. Halves stand in reading order.
func layOut(seed int64, stages []float64, family painter.Family) painter.Spec {
	const width = 1200 // px; some 90 px a face's radius
	// Random trays hold 10 halves or more; a sample with fewer leaves places empty.
	want := max(len(stages), 10)
	s := painter.RandomSpec(seed, painter.Plain)
	for next := seed + 1000; len(s.Halves) != want || s.Width < s.Height; next += 1000 {
		s = painter.RandomSpec(next, painter.Plain)
	}
	s.Height = s.Height * width / s.Width
	s.Width = width
	s.Tray, s.Table, s.Light = painter.WhitePlastic, painter.Wood, painter.Overcast
	s.EV, s.White, s.Quality = 0, [3]float64{1, 1, 1}, 84
	s.Stains, s.Clutter, s.Camera.Roll = s.Stains/4, nil, s.Camera.Roll/3
	s.Halves = s.Halves[:len(stages)]
	for i := range s.Halves {
		s.Halves[i].Stage, s.Halves[i].Family = stages[i], family
	}
	return s
}
