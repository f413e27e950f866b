package painter

import (
	"math"
	"testing"
)

func TestSRGB(t *testing.T) {
	// IEC 61966-2-1: linear 0.21586 is 128 of 255; 0.0031308 is where the two branches meet
	for _, c := range []struct {
		in   float64
		want uint8
	}{{-1, 0}, {0, 0}, {0.0031308, 10}, {0.21586, 128}, {0.2159, 128}, {0.5, 188}, {1, 255}, {3, 255}} {
		if got := srgb(c.in); got != c.want {
			t.Errorf("srgb(%g) = %d, want %d", c.in, got, c.want)
		}
	}
}

func TestShoulder(t *testing.T) {
	if shoulder(0.5) != 0.5 || shoulder(0.8) != 0.8 {
		t.Error("light up to the knee must stay as it is")
	}
	for v := 0.8; v < 4; v += 0.05 {
		if a, b := shoulder(v), shoulder(v+0.05); b <= a || b >= 1 {
			t.Errorf("from %g to %g the shoulder runs from %g to %g", v, v+0.05, a, b)
		}
	}
}

func TestBlurKeepsLightAndHasItsWidth(t *testing.T) {
	f := newFilm(41, 31)
	mid := 3 * (15*41 + 20)
	f.px[mid] = 1
	f.blur(1.7)
	var sum, vx, vy float64
	for y := range 31 {
		for x := range 41 {
			v := float64(f.px[3*(y*41+x)])
			sum += v
			vx += v * sq(float64(x-20))
			vy += v * sq(float64(y-15))
		}
	}
	if math.Abs(sum-1) > 1e-5 {
		t.Errorf("a point of light 1 becomes %g", sum)
	}
	// cut off at three deviations, a Gaussian keeps 97 % of its variance
	for _, v := range []float64{vx, vy} {
		if math.Abs(v/sq(1.7)-0.98) > 0.03 {
			t.Errorf("variance %g, want about %g", v, sq(1.7))
		}
	}
}

func TestBlurLeavesFlatAlone(t *testing.T) {
	f := newFilm(9, 7)
	for i := range f.px {
		f.px[i] = 0.4
	}
	f.blur(1.3)
	f.sharpen(0.8)
	for i, v := range f.px {
		if math.Abs(float64(v)-0.4) > 1e-6 {
			t.Fatalf("sample %d of a flat picture became %g", i, v)
		}
	}
}

func TestGrain(t *testing.T) {
	f := newFilm(200, 200)
	for i := range f.px {
		f.px[i] = 0.21
	}
	f.grain(0.01, 5)
	var sum, sq2 float64
	n := 0.0
	for i := 1; i < len(f.px); i += 3 {
		d := float64(f.px[i]) - 0.21
		sum += d
		sq2 += d * d
		n++
	}
	// green at mid grey: read and shot noise add up to level * sqrt(0.12 + 1)
	want := 0.01 * math.Sqrt(1.12)
	if dev := math.Sqrt(sq2 / n); math.Abs(dev/want-1) > 0.02 { // 1/sqrt(2 * 40000) is 0.4 %
		t.Errorf("noise of %g, want %g", dev, want)
	}
	if math.Abs(sum/n) > 4*want/math.Sqrt(n) {
		t.Errorf("noise is off centre by %g", sum/n)
	}
}

func TestVignetteSparesTheMiddle(t *testing.T) {
	f := newFilm(101, 101)
	for i := range f.px {
		f.px[i] = 1
	}
	f.vignette(0.2)
	if mid, corner := f.px[3*(50*101+50)], f.px[0]; mid < 0.999 || math.Abs(float64(corner)-0.8) > 0.01 {
		t.Errorf("middle %g, corner %g; want 1 and 0.8", mid, corner)
	}
}
