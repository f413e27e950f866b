package painter

import (
	"bytes"
	"image"
	"math"
	"reflect"
	"runtime"
	"testing"
)

func TestTrayIsTheSameEachTime(t *testing.T) {
	for _, d := range []Difficulty{Plain, Hard, None} {
		a, ta := Tray(small(4, d))
		before := runtime.GOMAXPROCS(3)
		b, tb := Tray(small(4, d))
		runtime.GOMAXPROCS(before)
		if !bytes.Equal(a.Pix, b.Pix) || !reflect.DeepEqual(ta, tb) {
			t.Errorf("%s: the same Spec gave two pictures", d)
		}
		c, _ := Tray(small(5, d))
		if bytes.Equal(a.Pix, c.Pix) {
			t.Errorf("%s: two seeds gave the same picture", d)
		}
	}
}

// linear undoes the sRGB curve.
func linear(v uint8) float64 {
	f := float64(v) / 255
	if f <= 0.04045 {
		return f / 12.92
	}
	return math.Pow((f+0.055)/1.055, 2.4)
}

// meanRed is the mean linear red over a disc around the middle, the core left out.
func meanRed(img *image.RGBA, inner, outer float64) float64 {
	c := float64(img.Bounds().Dx()) / 2
	sum, n := 0.0, 0.0
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if r := math.Hypot(float64(x)+0.5-c, float64(y)+0.5-c); r > inner && r < outer {
				sum += linear(img.RGBAAt(x, y).R)
				n++
			}
		}
	}
	return sum / n
}

func TestPlateShowsItsStain(t *testing.T) {
	for _, f := range Families() {
		dark, stained := Plate(f, 1, 9, 120)
		light, clear := Plate(f, 8, 9, 120)
		if stained.Stained != 1 || clear.Stained != 0 {
			t.Errorf("%s: stained fractions %g and %g at the ends", f, stained.Stained, clear.Stained)
		}
		if math.Abs(stained.Radius/120-0.415) > 0.02 {
			t.Errorf("%s: radius %.1f of a plate of 120 pixels", f, stained.Radius)
		}
		// the camera sees less than the full density, for the wet face mirrors the room
		od := -math.Log10(meanRed(dark, 22, 44) / meanRed(light, 22, 44))
		if od < 2*StainedDensity || od > stained.MedianStain+0.1 {
			t.Errorf("%s: the picture shows density %.2f, painted %.2f", f, od, stained.MedianStain)
		}
		if lit := meanRed(light, 22, 44); lit < 0.4 || lit > 0.95 {
			t.Errorf("%s: clear flesh is exposed at %.2f", f, lit)
		}
	}
}

func TestShadowAndGlareNeverCount(t *testing.T) {
	soft, hard := small(6, Plain), small(6, Plain)
	soft.Light, hard.Light = Overcast, Flash
	hard.Wet, hard.Camera.Tilt = 1, 0
	_, a := Tray(soft)
	_, b := Tray(hard)
	for i := range a.Halves {
		if a.Halves[i].Stained != b.Halves[i].Stained {
			t.Errorf("half %d: light changed the truth", i+1)
		}
	}
}

// BenchmarkTray12Megapixels paints what a phone takes: 4000 by 3000 with 20 halves.
func BenchmarkTray12Megapixels(b *testing.B) {
	spec := RandomSpec(9, Plain)
	for len(spec.Halves) < 20 {
		spec = RandomSpec(spec.Seed+1, Plain)
	}
	spec.Width, spec.Height = spec.Width*5/2, spec.Height*5/2
	for b.Loop() {
		Tray(spec)
	}
}

// BenchmarkTray paints a tray of the usual size.
func BenchmarkTray(b *testing.B) {
	for b.Loop() {
		Tray(RandomSpec(1, Plain))
	}
}
