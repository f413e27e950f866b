package vision

import (
	"math"
	"math/rand/v2"
	"testing"

	"traystage/vision/internal/locate"
)

// slanted lays faces of 50 px in rows, turned by degrees and shifted at random by
// up to loose px; Star holds the place in reading order.
func slanted(degrees, loose float64, rows ...int) []locate.Face {
	r := rand.New(rand.NewPCG(uint64(len(rows)), 3))
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	var out []locate.Face
	for row, n := range rows {
		for column := range n {
			x := 120*float64(column) + loose*(2*r.Float64()-1)
			y := 115*float64(row) + loose*(2*r.Float64()-1)
			out = append(out, locate.Face{
				Core:   locate.Point{X: 700 + x*cos - y*sin, Y: 300 + x*sin + y*cos},
				Radius: 50, Star: float64(len(out)),
			})
		}
	}
	return out
}

func TestInReadingOrder(t *testing.T) {
	for _, tt := range []struct {
		name  string
		faces []locate.Face
	}{
		{"none", nil},
		{"one", slanted(0, 0, 1)},
		{"one row", slanted(0, 10, 6)},
		{"one slanted row", slanted(12, 5, 6)},
		{"one column", slanted(0, 10, 1, 1, 1, 1)},
		{"straight", slanted(0, 0, 5, 5, 5, 5)},
		{"loosely laid", slanted(0, 15, 5, 4, 5)},
		{"turned clockwise", slanted(8, 8, 5, 5, 5, 5)},
		{"turned the other way", slanted(-8, 8, 5, 5, 5, 5)},
		{"turned far", slanted(14, 4, 6, 6, 6)},
		{"rows of many lengths", slanted(5, 5, 2, 6, 1, 4)},
		{"forty", slanted(-6, 6, 8, 8, 8, 8, 8)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			mixed := append([]locate.Face(nil), tt.faces...)
			rand.New(rand.NewPCG(1, 2)).Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
			got := inReadingOrder(mixed)
			if len(got) != len(tt.faces) {
				t.Fatalf("%d faces in, %d out", len(tt.faces), len(got))
			}
			for i, f := range got {
				if f.Star != float64(i) {
					t.Fatalf("place %d has the face laid at place %v", i+1, f.Star+1)
				}
			}
		})
	}
}
