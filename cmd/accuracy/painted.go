package main

import (
	"fmt"
	"slices"

	"traystage/refimages/painter"
)

// Painted photos of each kind, from the seeds that nothing is tuned on and from
// those that may be.
const (
	paintedPlain = 8
	paintedHard  = 6
	paintedNone  = 4
	tunedPlain   = 4
	tunedHard    = 3
)

// paintedGroups are trays painted in memory, and a chart for each pattern
// family of them. dir is where painted photos are remembered.
func paintedGroups(world, dir string) ([]group, map[string]photo, error) {
	keep := cache{dir: dir}
	charts := map[string]photo{}
	plates := group{source: world + ", judged", name: "charts", kind: plain, plates: true}
	for i, f := range painter.Families() {
		c := paintedChart(world, f, painter.JudgingSeeds+int64(i), keep)
		charts[chartKey(world, f)] = c
		plates.photos = append(plates.photos, c)
	}
	seeded := func(source, name string, k kind, d painter.Difficulty, first int64, count int) group {
		g := group{source: source, name: name, kind: k}
		for i := range count {
			seed := first + int64(i)
			g.photos = append(g.photos, painted(world, fmt.Sprintf("%s_%d", name, seed), painter.RandomSpec(seed, d), keep))
		}
		return g
	}
	tuned, judged := world+", tuned", world+", judged"
	groups := []group{
		plates,
		{source: judged, name: "graded", kind: plain, photos: paintedGraded(world, keep)},
		seeded(judged, "plain", plain, painter.Plain, painter.JudgingSeeds, paintedPlain),
		seeded(judged, "hard", hard, painter.Hard, painter.JudgingSeeds, paintedHard),
		seeded(judged, "none", none, painter.None, painter.JudgingSeeds, paintedNone),
	}
	return slices.Concat([]group{
		seeded(tuned, "plain", plain, painter.Plain, 1, tunedPlain),
		seeded(tuned, "hard", hard, painter.Hard, 1, tunedHard),
	}, groups, calibratedGroups(judged, gradedOf(groups), groups, charts)), charts, nil
}

// gradedSeeds begin where those of the judged trays end, so that no tray is both.
const gradedSeeds = painter.JudgingSeeds + 100

// paintedGraded are two graded trays of each family, in random lights, their
// stages spread over the scale.
func paintedGraded(world string, keep cache) []photo {
	var out []photo
	for i, f := range painter.Families() {
		for k := range 2 {
			seed := gradedSeeds + int64(2*i+k)
			s := painter.RandomSpec(seed, painter.Plain)
			for j := range s.Halves {
				s.Halves[j].Family = f
				s.Halves[j].Stage = painter.StageStained + (painter.StageClear-painter.StageStained)*(float64(j)+0.5)/float64(len(s.Halves))
			}
			out = append(out, painted(world, fmt.Sprintf("graded_%s_%d", f, seed), s, keep))
		}
	}
	return out
}

// painted is the photo of a spec, painted anew each time it is loaded unless
// it is remembered.
func painted(world, name string, spec painter.Spec, keep cache) photo {
	p := photo{world: world, name: name, light: spec.Light, load: func() ([]byte, trayTruth, error) {
		data, truth, err := keep.paint(spec)
		return data, truthOf(truth), err
	}}
	p.large = func() ([]byte, trayTruth, error) {
		wide := spec
		wide.Width, wide.Height = longSides[0], longSides[0]*spec.Height/spec.Width
		data, truth, err := keep.paint(wide)
		return data, truthOf(truth), err
	}
	if len(spec.Halves) > 0 {
		p.chart = chartKey(world, spec.Halves[0].Family)
	}
	return p
}

func paintedChart(world string, f painter.Family, seed int64, keep cache) photo {
	p := painted(world, fmt.Sprintf("chart_%s", f), chartSpec(f, seed), keep)
	p.plate = true
	return p
}

// chartSpec is the chart that a grower of this family would photograph: eight
// halves at stages 1 to 8 in two rows of four, in soft light from overhead.
func chartSpec(f painter.Family, seed int64) painter.Spec {
	s := painter.RandomSpec(seed, painter.Plain)
	const pitch = 90.0 // mm, so that halves of 36 mm radius lie apart
	s.Width, s.Height, s.Orientation = 1600, 1200, 1
	s.Tray, s.Table, s.Light, s.LightHeight = painter.GreyMetal, painter.Laminate, painter.Overcast, 70
	s.TrayX, s.TrayY = 2*pitch+20, pitch+20
	s.EV, s.White, s.Wet, s.Browning = 0, [3]float64{1, 1, 1}, 0.1, 0
	s.Camera = painter.Camera{Tilt: 2, Toward: 90, Focal: 0.85, Distance: (4*pitch + 60) * 0.85}
	s.Clutter, s.Halves = nil, nil
	for i := range 8 {
		s.Halves = append(s.Halves, painter.HalfSpec{
			X: (float64(i%4) - 1.5) * pitch, Y: (float64(i/4) - 0.5) * pitch,
			Radius: 36, Height: 36, Stage: painter.StageStained + float64(i), Family: f, Seed: uint64(seed)*8 + uint64(i),
		})
	}
	return s
}
