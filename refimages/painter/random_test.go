package painter

import (
	"math"
	"reflect"
	"testing"
)

func TestRandomSpecsAreSound(t *testing.T) {
	for _, first := range []int64{1, JudgingSeeds} {
		for seed := first; seed < first+40; seed++ {
			for _, d := range []Difficulty{Plain, Hard, None} {
				s := RandomSpec(seed, d)
				if !reflect.DeepEqual(s, RandomSpec(seed, d)) {
					t.Fatalf("%d %s: two calls differ", seed, d)
				}
				checkSpec(t, &s)
			}
		}
	}
}

func checkSpec(t *testing.T, s *Spec) {
	t.Helper()
	if s.Difficulty == None {
		if len(s.Halves) > 0 {
			t.Errorf("%d: %d halves on a tray without", s.Seed, len(s.Halves))
		}
		return
	}
	if len(s.Halves) < 6 || len(s.Halves) > 40 || len(s.Fruit) > 0 {
		t.Errorf("%d %s: %d halves, %d whole fruit", s.Seed, s.Difficulty, len(s.Halves), len(s.Fruit))
	}
	if s.Camera.Tilt < 0 || s.Camera.Tilt > 25 {
		t.Errorf("%d %s: tilted by %g", s.Seed, s.Difficulty, s.Camera.Tilt)
	}
	for i, h := range s.Halves {
		if h.Stage < StageStained || h.Stage > StageClear {
			t.Errorf("%d %s: stage %g", s.Seed, s.Difficulty, h.Stage)
		}
		if h.Height < 30 || h.Height > 42 || h.Radius < 28 || h.Radius > 46 {
			t.Errorf("%d %s: half of %g by %g mm", s.Seed, s.Difficulty, h.Radius, h.Height)
		}
		for _, o := range s.Halves[:i] {
			if math.Hypot(o.X-h.X, o.Y-h.Y) > 1.3*(o.Radius+h.Radius) {
				continue
			}
			if gap(newShape(h.Radius, h.Height, h.Seed), newShape(o.Radius, o.Height, o.Seed), o.X-h.X, o.Y-h.Y) < 0 {
				t.Errorf("%d %s: halves overlap", s.Seed, s.Difficulty)
			}
		}
	}
	if s.Difficulty == Plain {
		low, high := s.extent()
		if low[0] < 0 || low[1] < 0 || high[0] > float64(s.Width) || high[1] > float64(s.Height) {
			t.Errorf("%d: a plain tray is clipped: %v to %v of %d by %d", s.Seed, low, high, s.Width, s.Height)
		}
	}
}

func TestRandomSpecsDiffer(t *testing.T) {
	trays, lights, skins, families := map[Ground]bool{}, map[Light]bool{}, map[Variety]bool{}, map[Family]bool{}
	clutter, touching := map[Clutter]bool{}, 0
	for seed := int64(1); seed <= 70; seed++ {
		for _, d := range []Difficulty{Plain, Hard} {
			s := RandomSpec(seed, d)
			trays[s.Tray], lights[s.Light], skins[s.Variety], families[s.Halves[0].Family] = true, true, true, true
			for _, c := range s.Clutter {
				clutter[c.Kind] = true
			}
			for i, h := range s.Halves {
				if !fits(s.Halves[:i], h, 1) {
					touching++
				}
			}
		}
	}
	if len(trays) != len(Trays()) || len(lights) != len(Lights()) || len(skins) != len(Varieties()) || len(families) != len(Families()) || len(clutter) != 5 {
		t.Errorf("70 seeds show %d trays, %d lights, %d skins, %d families, %d kinds of clutter", len(trays), len(lights), len(skins), len(families), len(clutter))
	}
	if touching < 50 {
		t.Errorf("only %d touching pairs on 140 trays", touching)
	}
}
