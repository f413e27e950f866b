package main

import (
	"reflect"
	"testing"

	"traystage/vision"
)

func trayOf(outlines ...[]vision.Point) trayTruth {
	out := trayTruth{width: 1000, height: 1000}
	for _, o := range outlines {
		out.halves = append(out.halves, halfTruth{outline: o, visible: 1})
	}
	return out
}

func halvesOf(outlines ...[]vision.Point) []vision.Half {
	var out []vision.Half
	for i, o := range outlines {
		out = append(out, vision.Half{Number: i + 1, Outline: o})
	}
	return out
}

func TestMatch(t *testing.T) {
	left, right := disc(200, 200, 100, 64), disc(500, 200, 100, 64)
	for _, c := range []struct {
		name      string
		truth     trayTruth
		found     []vision.Half
		wantFound []int // of each true half
		unmatched []int
	}{
		{"both", trayOf(left, right), halvesOf(left, right), []int{0, 1}, nil},
		{"other order", trayOf(left, right), halvesOf(right, left), []int{1, 0}, nil},
		{"one missed", trayOf(left, right), halvesOf(right), []int{-1, 0}, nil},
		{"one false", trayOf(left), halvesOf(left, right), []int{0}, []int{1}},
		{"same half twice: the better one counts", trayOf(left), halvesOf(disc(220, 200, 100, 64), left), []int{1}, []int{0}},
		{"too far off", trayOf(left), halvesOf(disc(290, 200, 100, 64)), []int{-1}, []int{0}},
		{"one outline over two halves", trayOf(left, right), halvesOf(disc(350, 200, 260, 64)), []int{-1, -1}, []int{0}},
		{"empty tray", trayOf(), halvesOf(left), []int{}, []int{0}},
		{"nothing found", trayOf(left), nil, []int{-1}, nil},
	} {
		pairs, unmatched := match(c.truth, c.found)
		got := make([]int, len(pairs))
		for i, p := range pairs {
			got[i] = p.found
		}
		if !reflect.DeepEqual(got, c.wantFound) || !reflect.DeepEqual(unmatched, c.unmatched) {
			t.Errorf("%s: matched %v, left over %v; want %v, %v", c.name, got, unmatched, c.wantFound, c.unmatched)
		}
	}
}

func TestInOrder(t *testing.T) {
	found := halvesOf(nil, nil, nil)
	for _, c := range []struct {
		name  string
		found []int
		want  bool
	}{
		{"in order", []int{0, 1, 2}, true},
		{"a gap is no disorder", []int{0, -1, 2}, true},
		{"swapped", []int{1, 0, 2}, false},
		{"nothing", nil, true},
	} {
		var pairs []pair
		for i, f := range c.found {
			pairs = append(pairs, pair{truth: i, found: f})
		}
		if got := inOrder(pairs, found); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
