package scoring

import (
	"slices"
	"testing"

	"traystage/calibrate"
)

func TestStageTargets(t *testing.T) {
	eight := calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1}
	for _, row := range []struct {
		name  string
		block Block
		scale calibrate.Scale
		want  []float64
	}{
		{"both ends", Block{Variety: "Gala", Market: "long CA"}, eight, []float64{3, 6}},
		{"one end", Block{Variety: "gala", Market: "Short CA or cold"}, eight, []float64{3}},
		{"another scale", Block{Variety: "Gala", Market: "long CA"}, calibrate.Scale{Stained: 1, Clear: 10, Step: 0.1}, nil},
		{"no market", Block{Variety: "Gala"}, eight, nil},
		{"no such variety", Block{Variety: "Unheard of", Market: "long CA"}, eight, nil},
	} {
		if got := StageTargets(row.block, shipped(t), row.scale); !slices.Equal(got, row.want) {
			t.Errorf("%s: %v, want %v", row.name, got, row.want)
		}
	}
}
