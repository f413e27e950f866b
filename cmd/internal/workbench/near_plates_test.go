package workbench

import (
	"testing"

	"traystage/calibrate"
)

func TestNearPlates(t *testing.T) {
	plate := func(stage, stained float64) calibrate.Plate { return calibrate.Plate{Stage: stage, Stained: stained} }
	for _, tt := range []struct {
		name   string
		scale  calibrate.Scale
		plates []calibrate.Plate
		want   [][2]float64 // stages
	}{
		{"even", calibrate.Scale{Stained: 1, Clear: 8}, []calibrate.Plate{plate(1, 1), plate(4, 0.57), plate(8, 0)}, nil},
		{"one misread, and out of order", calibrate.Scale{Stained: 1, Clear: 8},
			[]calibrate.Plate{plate(4, 0.65), plate(1, 1), plate(3, 0.66), plate(2, 0.92)}, [][2]float64{{3, 4}}},
		{"two of one stage", calibrate.Scale{Stained: 1, Clear: 8}, []calibrate.Plate{plate(1, 1), plate(5, 0.4), plate(5, 0.4)}, nil},
		{"a scale that runs down", calibrate.Scale{Stained: 10, Clear: 1}, []calibrate.Plate{plate(10, 1), plate(6, 0.5), plate(4, 0.48), plate(1, 0)}, [][2]float64{{4, 6}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := nearPlates(calibrate.Set{Scale: tt.scale, Plates: tt.plates})
			if len(got) != len(tt.want) {
				t.Fatalf("%d pairs, want %d: %v", len(got), len(tt.want), got)
			}
			for i, n := range got {
				if n.One.Stage != tt.want[i][0] || n.Other.Stage != tt.want[i][1] {
					t.Errorf("stages %v and %v, want %v", n.One.Stage, n.Other.Stage, tt.want[i])
				}
			}
		})
	}
}
