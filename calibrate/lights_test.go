package calibrate

import (
	"math"
	"strings"
	"testing"
)

// The values were computed by another program, see testdata/README.md.
func TestMiddleAgainstComputed(t *testing.T) {
	list := func(cell string) []float64 {
		var out []float64
		for _, word := range strings.Fields(cell) {
			out = append(out, number(t, word))
		}
		return out
	}
	for _, row := range checkRows(t, "student_effects.csv") {
		values, scales := list(row[0]), list(row[1])
		if got, want := middleOf(values, scales), number(t, row[2]); math.Abs(got-want) > 2e-6 {
			t.Errorf("of %v with scales %v: %.7f, want %.7f", values, scales, got, want)
		}
	}
	if got := middleOf(nil, nil); got != 0 {
		t.Errorf("of nothing: %g", got)
	}
}

// The middle moves with the values and grows with their unit's scale.
func TestMiddleMovesWithItsValues(t *testing.T) {
	values, scales := []float64{0, 0.004, 0.03}, []float64{0.001, 0.006, 0.006}
	at := middleOf(values, scales)
	moved := middleOf([]float64{0.1, 0.104, 0.13}, scales)
	turned := middleOf([]float64{0, -0.004, -0.03}, scales)
	if math.Abs(moved-at-0.1) > 1e-6 || math.Abs(turned+at) > 1e-6 {
		t.Errorf("%.7f, moved by 0.1 %.7f, turned %.7f", at, moved, turned)
	}
}

// lit is a tray of sixteen halves that all are stained more by the light.
func lit(photo int, light float64) []Graded {
	var out []Graded
	for i, stage := range evenly(oneToEight, 16) {
		stained := 1 - (stage-1)/7
		out = append(out, gradedHalf(photo, i+1, stained+light*moves(stained), "AB", stage))
	}
	return out
}

// How far the lights of trays move a straight path of plates follows from the middle of
// the lights alone, 7 stages for a unit of light where half is stained: for one tray at 0.05 it is
// 0.00104 (student_effects.csv), for two at 0.02 and 0.022 0.00421. The halves' own pull may add a third.
func TestLightsMoveThePath(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	for _, c := range []struct {
		name   string
		halves [][]Graded
		middle float64
	}{
		{"one odd tray", [][]Graded{lit(0, 0.05)}, 0.0010401},
		{"one tray", [][]Graded{lit(0, 0.01)}, 0.0004655},
		{"two that agree", [][]Graded{lit(0, 0.02), lit(1, 0.022)}, 0.0042104},
		{"two that do not", [][]Graded{lit(0, 0.02), lit(1, -0.03)}, 0.0001126},
	} {
		set := s
		for _, tray := range c.halves {
			set = mustGrade(t, set, tray...)
		}
		got := mustFit(t, set).Call(seenAt(0.5)).Stage - 4.5
		if want := 7 * c.middle; math.Abs(got-want) > 0.25*want+5e-4 {
			t.Errorf("%s: half stained moved by %.4f, want %.4f", c.name, got, want)
		}
	}
}

// With three trays that agree, the chart's light is the odd one: most of what they are off
// by is taken over.
func TestManyTraysOutweighTheChart(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	for i := range 4 {
		s = mustGrade(t, s, lit(i, 0.03)...)
	}
	if shift := mustFit(t, s).Call(seenAt(0.5)).Stage - 4.5; shift < 0.7*0.21 || shift > 1.05*0.21 {
		t.Errorf("half stained moved by %.3f, want most of 0.21", shift)
	}
}

// A plate that was measured 0.06 off, between graded halves that say so, is moved most of
// the way to them; one that is right stays.
func TestBadlyMeasuredPlateIsOverruled(t *testing.T) {
	plates := straightPlates(oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	bad := corePlate(4, 4.0/7+0.06)
	plates[3] = bad
	s, err := New("bad", oneToEight, 0.2, plates...)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		s = mustGrade(t, s, lit(i, 0)...)
	}
	before, after := mustFit(t, Set{Name: s.Name, Version: 1, Scale: s.Scale, StainedDensity: s.StainedDensity, Plates: s.Plates}), mustFit(t, s)
	off := func(p *Path, stage float64) float64 { return p.Call(seenAt(1-(stage-1)/7)).Stage - stage }
	if b, a := off(before, 4), off(after, 4); math.Abs(a) > 0.6*math.Abs(b) {
		t.Errorf("stage 4 was called %+.3f off by the plates, with graded halves %+.3f", b, a)
	}
	if a := off(after, 6); math.Abs(a) > 0.03 {
		t.Errorf("stage 6, where plates are right, is called %+.3f off", a)
	}
}

// The prior of lights is worth four photos: without it two trays that agree would make the
// light of a third as sure as theirs.
func TestPriorOfLightsIsKept(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	p := mustFit(t, mustGrade(t, mustGrade(t, s, lit(0, 0)...), lit(1, 0)...))
	// t(0.95, 6) = 1.943; sqrt(4 / 6) x 0.012.
	if want := 1.943 * 0.012 * math.Sqrt(4.0/6); math.Abs(p.grades.light-want) > 0.03*want {
		t.Errorf("light reaches %.5f, want %.5f", p.grades.light, want)
	}
	// Its reach where half is stained: 7 stages for a unit of light.
	c := p.Call(seenAt(0.5))
	if want := 7 * p.grades.light; (c.High-c.Low)/2 < 0.9*want || (c.High-c.Low)/2 > 2*want {
		t.Errorf("half width %.3f, want from 0.9 to 2 times %.3f", (c.High-c.Low)/2, want)
	}
}
