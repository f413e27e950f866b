package locate

import (
	"slices"
	"testing"
)

// facesWith have these sums of evidence.
func facesWith(sums ...float64) []face {
	var out []face
	for i, s := range sums {
		f := face{ring: circle(200*float64(i), 0, 60), core: core{x: 200 * float64(i)}}
		f.evidence[DoubtRim] = s - unseen
		out = append(out, f)
	}
	return out
}

func sumsOf(fs []face) []float64 {
	var out []float64
	for i := range fs {
		out = append(out, fs[i].sum())
	}
	return out
}

func TestRecount(t *testing.T) {
	for _, tt := range []struct {
		name            string
		halves, doubted []float64
		expected        int
		want            []float64
	}{
		{"not known", []float64{5, 4}, []float64{-1}, 0, []float64{5, 4}},
		{"as many as found", []float64{5, 0}, []float64{-1}, 2, []float64{5, 0}},
		{"one missing, one suspect", []float64{5, 4}, []float64{-1}, 3, []float64{5, 4, -1}},
		{"one missing, one of two suspects clearly likelier", []float64{5}, []float64{-0.6, -1.9}, 2, []float64{5, -0.6}},
		{"one missing, two suspects alike", []float64{5}, []float64{-0.9, -1}, 2, []float64{5}},
		{"more missing than suspects", []float64{5}, []float64{-1}, 3, []float64{5}},
		{"one too many and unsure", []float64{5, 4, 0}, nil, 2, []float64{5, 4}},
		{"one too many, all sure", []float64{5, 4, 3}, nil, 2, []float64{5, 4, 3}},
		{"one too many, two alike", []float64{5, 0.5, 0}, nil, 2, []float64{5, 0.5, 0}},
		{"nothing sure", nil, []float64{-1}, 1, nil},
	} {
		halves, doubted := facesWith(tt.halves...), facesWith(tt.doubted...)
		const below = 1000.0 // where the doubted ones lie
		for i := range doubted {
			doubted[i].y = below
		}
		h, d := recount(halves, doubted, tt.expected)
		if len(h)+len(d) != len(halves)+len(doubted) {
			t.Errorf("%s: %d faces became %d", tt.name, len(halves)+len(doubted), len(h)+len(d))
		}
		for _, f := range h {
			if f.counted != (f.y == below) {
				t.Errorf("%s: a face of evidence %.1f, counted %v", tt.name, f.sum(), f.counted)
			}
		}
		if got := sumsOf(h); !slices.EqualFunc(got, tt.want, func(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 }) {
			t.Errorf("%s: halves of evidence %v, want %v", tt.name, got, tt.want)
		}
	}
}

func TestSorted(t *testing.T) {
	fs := facesWith(sure+0.1, sure-0.1, likely-0.1, sureClipped-0.1, sureClipped+0.1, likely+0.1)
	fs[3].clipped, fs[4].clipped = true, true
	fs[3].evidence[DoubtLikeness] = 3 // does not make up for what the frame hides
	halves, doubted := sorted(fs)
	if len(halves) != 2 || halves[0].x != fs[0].x || halves[1].x != fs[4].x {
		t.Errorf("halves with evidence %v", sumsOf(halves))
	}
	if len(doubted) != 3 || doubted[0].x != fs[3].x || doubted[2].x != fs[5].x {
		t.Errorf("suspects with evidence %v", sumsOf(doubted))
	}
}

func TestTeachers(t *testing.T) {
	fs := facesWith(teaching+0.1, teaching-0.1, teaching+0.1)
	fs[2].clipped = true
	teaches := teachers(fs)
	if !teaches(0) || teaches(1) || teaches(2) {
		t.Error("only what is sure by itself and wholly in the frame teaches")
	}
	if teaches = teachers(fs[1:]); !teaches(0) || !teaches(1) {
		t.Error("where none is sure all teach")
	}
}

// Where none is sure by itself several of one size teach that are likely together.
func TestKnownTogether(t *testing.T) {
	for _, tt := range []struct {
		name   string
		sums   []float64
		change func(fs []face)
		want   []bool
	}{
		{"three together", []float64{2.5, 0.6, 0.6, 0.4}, nil, []bool{true, true, true, false}},
		{"two, however likely", []float64{3, 3, 0.4}, nil, []bool{false, false, false}},
		{"three that are not likely enough", []float64{1.2, 1.1, 1.1}, nil, []bool{false, false, false}},
		{"one of another size", []float64{2.5, 1.5, 1.2}, func(fs []face) { fs[2].ring = circle(400, 0, 80) }, []bool{false, false, false}},
		{"one cut off", []float64{2.5, 1.5, 1.2}, func(fs []face) { fs[1].clipped = true }, []bool{false, false, false}},
		{"beside one that is sure", []float64{teaching + 0.1, 2.5, 1.5, 1.2}, nil, []bool{true, false, false, false}},
	} {
		fs := facesWith(tt.sums...)
		if tt.change != nil {
			tt.change(fs)
		}
		if got := known(fs); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
	if len(known(nil)) != 0 {
		t.Error("some of none are known")
	}
}

func TestDistinct(t *testing.T) {
	fs := facesWith(1, 2, 3)
	fs[1].x = fs[0].x + 2*60*overlap - 1 // nearer to the first than halves can lie
	if got := sumsOf(distinct(nil, fs)); !slices.Equal(got, []float64{fs[2].sum(), fs[1].sum()}) {
		t.Errorf("kept %v: of two in one place the better", got)
	}
	if got := distinct(fs[:1], fs[1:]); len(got) != 2 || got[0].x != fs[0].x {
		t.Errorf("what is taken keeps its place: %v", sumsOf(got))
	}
}

func TestAlike(t *testing.T) {
	halves := facesWith(5, 5, 5)
	got := alike([]candidate{
		{x: 700, y: 0, r: 60}, {x: 700, y: 0, r: 80}, {x: 700, y: 0, r: 45}, {x: 410, y: 10, r: 60}, {x: 700, y: 0, r: 70},
	}, halves)
	if len(got) != 2 || got[0].r != 60 || got[1].r != 70 {
		t.Errorf("picked %v: as large as the halves within a quarter and clear of them", got)
	}
}
