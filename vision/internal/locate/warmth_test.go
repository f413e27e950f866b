package locate

import (
	"math"
	"testing"
)

// Colours that the faces do not show are as warm as the next lighter ones that they do, those lighter than all as the lightest.
func TestWarmths(t *testing.T) {
	light, dark, rare, few := bgrOf(0.2, 0.2, 0.5), bgrOf(0.9, 0.9, 0.98), bgrOf(1.3, 1.3, 1.7), bgrOf(1.8, 1.8, 2.3)
	c := coloursOf(light, dark, rare, few)
	w := c.warmths([]float32{695, 301, 1.7, 2.3}) // of a thousand: two are enough
	for _, tt := range []struct{ dark, want float32 }{{0, 0.3}, {0.3, 0.3}, {0.6, 0.3}, {0.93, 0.08}, {1.43, 0.08}, {1.97, 0.5}, {2.4, 0.5}, {9, 0.5}} {
		if got := w.at(tt.dark); math.Abs(float64(got-tt.want)) > 0.06 {
			t.Errorf("faces with a density of %v are warm by %.3f, want about %.2f", tt.dark, got, tt.want)
		}
	}
	if w := c.warmths([]float32{0, 0, 0, 0}); w != (warmths{}) {
		t.Errorf("no face is warm by %v", w)
	}
}
