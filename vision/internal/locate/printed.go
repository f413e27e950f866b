package locate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A chart may be printed as halves beside each other, with all that faces have but one thing: they are as large as each other, and alike in shape. No
// fruit of a sample are, cut where they happen to be widest.

// What is seen says for a printed chart: natural logarithms of how many times likelier it is there, as for halves and others.
var (
	printedSize  = []likelihood{{0.008, 3}, {0.016, 0}, {0.024, -5}} // by scatterOfSize
	printedShape = []likelihood{{0.012, 2}, {0.02, 0}, {0.023, -6}}  // by scatterOfShape
)

// fewestPrinted faces tell.
const fewestPrinted = 6

// Printed says that faces are as alike as pictures on a chart.
func Printed(faces []Face) bool {
	var rings []ring
	for _, f := range faces {
		if f.Clipped {
			continue
		}
		g := ring{x: f.Core.X, y: f.Core.Y}
		copy(g.r[:], f.Outline)
		rings = append(rings, g.recentred(g.centroid()))
	}
	return len(rings) >= fewestPrinted && says(printedSize, scatterOfSize(rings))+says(printedShape, scatterOfShape(rings)) > 0
}

// scatterOfSize is the standard deviation of the natural logarithm of radii about a plane: seen aslant, what lies farther off is smaller.
func scatterOfSize(rings []ring) float64 {
	n := len(rings)
	at, logs := mat.NewDense(n, 3, nil), mat.NewVecDense(n, nil)
	for i := range rings {
		g := &rings[i]
		at.SetRow(i, []float64{1, g.x, g.y})
		logs.SetVec(i, math.Log(g.radius()))
	}
	var plane, seen mat.VecDense
	if err := plane.SolveVec(at, logs); err != nil {
		return math.Inf(1) // all in one line
	}
	seen.MulVec(at, &plane)
	seen.SubVec(logs, &seen)
	return mat.Norm(&seen, 2) / math.Sqrt(float64(n-3))
}

// scatterOfShape is the standard deviation of the natural logarithm of radius over mean radius about that of all at the same bearing.
func scatterOfShape(rings []ring) float64 {
	shapes := make([][bearings]float64, len(rings))
	var usual [bearings]float64
	for i := range rings {
		mean := 0.0
		for b, r := range rings[i].r {
			shapes[i][b] = math.Log(r)
			mean += shapes[i][b] / bearings
		}
		for b := range shapes[i] {
			shapes[i][b] -= mean
			usual[b] += shapes[i][b] / float64(len(rings))
		}
	}
	sum := 0.0
	for i := range shapes {
		for b, s := range shapes[i] {
			sum += (s - usual[b]) * (s - usual[b]) / bearings
		}
	}
	return math.Sqrt(sum / float64(len(rings)-1))
}
