//go:build wholecv

package stain

import (
	"math/rand/v2"
	"slices"
	"testing"

	"gocv.io/x/gocv"
)

// OpenCV's threshold of Otsu parts the same values at the same place.
func TestSplitIsOpenCVs(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		values := make([]byte, 500+r.IntN(500))
		share, middle := r.Float64(), 60+120*r.Float64()
		for i := range values {
			v := 30 + 10*r.NormFloat64()
			if r.Float64() < share {
				v = middle + 20*r.NormFloat64()
			}
			values[i] = byte(min(max(v, 0), 255))
		}
		src, err := gocv.NewMatFromBytes(1, len(values), gocv.MatTypeCV8U, values)
		if err != nil {
			t.Fatal(err)
		}
		out := gocv.NewMat()
		want := float64(gocv.Threshold(src, &out, 0, 255, gocv.ThresholdBinary|gocv.ThresholdOtsu))
		src.Close()
		out.Close()
		slices.Sort(values)
		var of []float64
		for _, v := range values {
			of = append(of, float64(v))
		}
		if at := split(of); float64(values[at-1]) > want || float64(values[at]) <= want {
			t.Errorf("split between %d and %d, OpenCV at %.0f", values[at-1], values[at], want)
		}
	}
}
