package main

import "testing"

func TestParseScale(t *testing.T) {
	for text, ends := range map[string][2]float64{"1-8": {1, 8}, "10-1": {10, 1}, "0-9": {0, 9}, " 1 - 6 ": {1, 6}} {
		got, err := parseScale(text, 0.1)
		if err != nil || got.Stained != ends[0] || got.Clear != ends[1] {
			t.Errorf("%q: %+v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "8", "a-b", "3-3", "1-"} {
		if got, err := parseScale(text, 0.1); err == nil {
			t.Errorf("%q passes for the scale %+v", text, got)
		}
	}
}
