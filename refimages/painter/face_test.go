package painter

import (
	"math"
	"slices"
	"testing"

	"traystage/vision/zones"
)

var plainLook = faceLook{
	flesh: rgb{0.8, 0.7, 0.5}, stain: rgb{1, 0.8, 0.5},
	amber: 0.2, brown: 0.1, zones: 5, skinMM: 0.7, variety: Red,
}

func testFace(f Family, stage float64, look faceLook) (*face, *shape) {
	h := HalfSpec{Radius: 37, Height: 36, Stage: stage, Family: f, Seed: 42}
	sh := newShape(h.Radius, h.Height, h.Seed)
	return newFace(h, sh, look, 160), sh
}

func TestFaceTruthIsWhatIsPainted(t *testing.T) {
	for _, f := range Families() {
		for _, stage := range []float64{1, 2.3, 4.5, 7.7, 8} {
			fc, _ := testFace(f, stage, plainLook)
			stained, flesh := 0, 0
			for i, c := range fc.class {
				if c != zones.Clear && c != zones.Stained {
					if fc.od[i] != 0 {
						t.Fatalf("%s %.1f: stain outside the flesh", f, stage)
					}
					continue
				}
				flesh++
				if float64(fc.od[i]) >= StainedDensity {
					stained++
				}
			}
			got := float64(stained) / float64(flesh)
			if math.Abs(got-fc.truth.stained) > 1e-12 {
				t.Errorf("%s %.1f: density counts %.5f stained, truth says %.5f", f, stage, got, fc.truth.stained)
			}
			// the share of the law, to one texel
			if math.Abs(got-f.Share(stage)) > 1/float64(flesh) {
				t.Errorf("%s %.1f: %.5f stained, law says %.5f", f, stage, got, f.Share(stage))
			}
		}
	}
}

func TestRingsAddUpToTheFace(t *testing.T) {
	fc, _ := testFace(OneSided, 4, plainLook)
	sum, stained := 0.0, 0.0
	for k, w := range fc.truth.weights {
		sum += w
		stained += w * fc.truth.zones[k]
	}
	if math.Abs(sum-1) > 1e-12 {
		t.Errorf("weights add up to %g", sum)
	}
	if math.Abs(stained-fc.truth.stained) > 1e-12 {
		t.Errorf("rings hold %g stained, the face %g", stained, fc.truth.stained)
	}
	// rings of equal width: area 2k-1 of 25; skin comes off the last, the core off the first ones
	if w := fc.truth.weights[3] / fc.truth.weights[2]; math.Abs(w-7.0/5) > 0.08 {
		t.Errorf("fourth ring / third = %.3f, want about 7/5", w)
	}
}

func TestClearingNeverStainsAnew(t *testing.T) {
	for _, f := range Families() {
		before, _ := testFace(f, 1, plainLook)
		for stage := 2.0; stage <= 8; stage++ {
			after, _ := testFace(f, stage, plainLook)
			for i, c := range after.class {
				if c == zones.Stained && before.class[i] != zones.Stained {
					t.Fatalf("%s: a place clear at stage %g is stained at %g", f, stage-1, stage)
				}
			}
			before = after
		}
	}
}

func TestTintAndBrowningNeverCount(t *testing.T) {
	bare, strong := plainLook, plainLook
	bare.amber, bare.brown = 0, 0
	strong.amber, strong.brown = 0.6, 1
	a, _ := testFace(Petals, 5, bare)
	b, _ := testFace(Petals, 5, strong)
	if !slices.Equal(a.class, b.class) {
		t.Error("amber tint and browning changed what counts as stained")
	}
	if slices.Equal(a.refl, b.refl) {
		t.Error("amber tint and browning are not painted")
	}
}

func TestAbsorbIsOpticalDensity(t *testing.T) {
	got := rgb{1, 1, 1}.absorb(rgb{1, 0.5, 0}, 0.2)
	want := rgb{math.Pow(10, -0.2), math.Pow(10, -0.1), 1} // red 0.631: the threshold
	for k := range got {
		if math.Abs(got[k]-want[k]) > 1e-12 {
			t.Errorf("band %d lets through %g, want %g", k, got[k], want[k])
		}
	}
}

func TestStainedRedAgainstClearRed(t *testing.T) {
	clear, _ := testFace(Concentric, 8, plainLook)
	part, _ := testFace(Concentric, 4, plainLook)
	for i, c := range part.class {
		if clear.class[i] != zones.Clear {
			continue
		}
		od := -math.Log10(float64(part.refl[i][0]) / float64(clear.refl[i][0]))
		if (od >= StainedDensity-1e-5) != (c == zones.Stained) {
			t.Fatalf("texel %d: density %g off the picture, class %d", i, od, c)
		}
	}
}

func TestFaceAreaIsTheOutlines(t *testing.T) {
	fc, sh := testFace(Concentric, 3, plainLook)
	n := 0
	for _, c := range fc.class {
		if c != zones.Outside {
			n++
		}
	}
	want := 0.0
	for _, r := range sh.rho[:bearings] {
		want += r * r / 2 * 2 * math.Pi / bearings
	}
	got := float64(n) * sq(2*fc.span/float64(fc.n))
	if math.Abs(got/want-1) > 0.003 { // border texels: 500 of 18000, half of them each way
		t.Errorf("face of %.1f mm², outline of %.1f mm²", got, want)
	}
}
