package trays

import (
	"time"

	"traystage/refimages/painter"
)

// demo is a tray as a tester should photograph it.
func demo() painter.Spec {
	s := seeded(96, painter.Plain, 1600)
	s.Tray, s.Table, s.Light = painter.WhitePlastic, painter.Wood, painter.Overcast
	s.Camera.Tilt, s.Camera.Roll = 5, -1.5
	s.Stains, s.Drops, s.Wet, s.Amber = 0.1, 3, 0.15, 0.16
	s.EV, s.White, s.Noise = 0, [3]float64{1, 1, 1}, 0.006
	s.Taken = time.Date(2026, 9, 14, 8, 31, 0, 0, time.UTC)
	s.Quality = 88
	families(&s, painter.Concentric)
	stages(&s, 2.6, 3.9, 4.4, 3.1, 5.2, 4.0, 1.8, 3.5, 4.8, 6.3, 2.9, 4.2)
	return s
}

func blackStained() painter.Spec {
	s := seeded(12, painter.Hard, 1200)
	families(&s, painter.Concentric)
	stages(&s, 1)
	return s
}

func whiteClear() painter.Spec {
	s := seeded(73, painter.Plain, 1200)
	s.EV = 0.2
	families(&s, painter.Concentric)
	stages(&s, 8)
	return s
}

func glare() painter.Spec { return seeded(16, painter.Hard, 1200) }

func lamp() painter.Spec { return seeded(48, painter.Hard, 1200) }

func wholeYellow() painter.Spec {
	s := seeded(26, painter.None, 1200)
	s.Light, s.EV, s.Stains = painter.Overcast, 0.15, 0.3
	return s
}

func rotated() painter.Spec {
	s := seeded(3, painter.Plain, 1200)
	s.Orientation = 6
	return s
}
