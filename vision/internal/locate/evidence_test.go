package locate

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"
)

func TestSays(t *testing.T) {
	row := []likelihood{{1, -2}, {2, 0}, {4, 1}}
	for value, want := range map[float64]float64{-9: -2, 1: -2, 1.5: -1, 2: 0, 3: 0.5, 4: 1, 99: 1} {
		if got := says(row, value); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v says %v, want %v", value, got, want)
		}
	}
}

func TestTableIsReadable(t *testing.T) {
	for i, row := range table {
		if len(row) < 2 || !slices.IsSortedFunc(row, func(a, b likelihood) int { return cmpDown(b.value, a.value) }) {
			t.Errorf("cue %d: values do not rise: %v", i, row)
		}
		for _, l := range row {
			if math.Abs(l.logRatio) > 3 {
				t.Errorf("cue %d counts for %v: no more than e^3 to one is known of any", i, l.logRatio)
			}
			if unseen+l.logRatio >= teaching {
				t.Errorf("cue %d proves a half alone", i)
			}
		}
	}
}

// observed is what was seen of one outline of a tuning photo.
type observed struct {
	world string
	half  bool
	cues
}

// rowsOf are those of a CSV file below its heading.
func rowsOf(t *testing.T, file string) [][]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// numbers reads fields into out, as many as that holds.
func numbers(t *testing.T, fields []string, out []float64) {
	t.Helper()
	for i := range out {
		var err error
		if out[i], err = strconv.ParseFloat(fields[i], 64); err != nil {
			t.Fatal(err)
		}
	}
}

// observations are kept in testdata/cues.csv: cues in the order of their constants, which its heading names.
func observations(t *testing.T) (out []observed) {
	t.Helper()
	for _, row := range rowsOf(t, "testdata/cues.csv") {
		o := observed{world: row[0], half: row[1] == "1"}
		numbers(t, row[2:], o.cues[:])
		out = append(out, o)
	}
	return out
}

// surprise is the mean of -log of the chance given to what was so, halves and others counting alike.
func surprise(all []observed, score func(c *cues) float64) float64 {
	var sum, n [2]float64
	for i := range all {
		k, s := 0, score(&all[i].cues)
		if all[i].half {
			k, s = 1, -s
		}
		sum[k] += math.Log1p(math.Exp(s))
		n[k]++
	}
	return (sum[0]/n[0] + sum[1]/n[1]) / 2
}

func alone(c *cues) float64 {
	e := c.evidence()
	return e.alone()
}

// The cues alone, without likeness to others, tell halves of every painter from what else is on
// their photos and on photographs without a half. The list is what the table was made from, so this
// tells that the table is in order, not how good it is on other photos.
func TestTableSeparates(t *testing.T) {
	missed, halves, wrong, others := map[string]int{}, map[string]int{}, map[string]int{}, map[string]int{}
	for _, o := range observations(t) {
		s := alone(&o.cues)
		if o.half {
			halves[o.world]++
			if s < -clearStep {
				missed[o.world]++
			}
		} else {
			others[o.world]++
			if s >= teaching {
				wrong[o.world]++
			}
		}
	}
	for world, n := range halves {
		if n < 100 || missed[world] > n*4/100 {
			t.Errorf("%s: %d of %d halves are below what likeness can make up", world, missed[world], n)
		}
	}
	for world, n := range others {
		if n < 100 || wrong[world] > n/100 {
			t.Errorf("%s: %d of %d other outlines would teach what halves look like", world, wrong[world], n)
		}
	}
	if len(halves) != 4 || len(others) != 5 {
		t.Errorf("worlds with halves %v, with others %v", halves, others)
	}
}

// Without any one of its rows the table foretells worse. Fruit cut lengthwise, which are oblong, are
// too few on the photos to tell.
func TestEveryCueEarnsItsPlace(t *testing.T) {
	all := observations(t)
	full := surprise(all, alone)
	for i := range table {
		without := surprise(all, func(c *cues) float64 { return alone(c) - says(table[i], c[i]) })
		t.Logf("cue %2d: %.4f without it, %.4f with all", i, without, full)
		if without < full+1e-4 && cue(i) != cueOblong {
			t.Errorf("cue %d: surprise is %.4f without it and %.4f with all", i, without, full)
		}
	}
}

// No result hangs on a single figure of the table: with all that one row says a third more or
// less, the surprise grows by less than a fifth. And no figure changes unseen: whoever
// changes one writes down what the whole table is worth then.
func TestTableStands(t *testing.T) {
	all := observations(t)
	const worth = 0.0500
	full := surprise(all, alone)
	if math.Abs(full-worth) > 5e-5 {
		t.Errorf("surprise is %.4f, was %.4f", full, worth)
	}
	for i := range table {
		for _, share := range []float64{-0.3, 0.3} {
			moved := surprise(all, func(c *cues) float64 { return alone(c) + share*says(table[i], c[i]) })
			if moved > 1.2*full {
				t.Errorf("cue %d by %+.0f %%: surprise %.4f, before %.4f", i, 100*share, moved, full)
			}
		}
	}
}

func TestWorst(t *testing.T) {
	for _, tt := range []struct {
		want Doubt
		seen map[cue]float64
	}{
		{DoubtRim, map[cue]float64{cueEdge: 0.6}},
		{DoubtCore, map[cue]float64{cueDetail: 0, cueStar: 0, cueFold: -1}},
		{DoubtColours, map[cue]float64{cueFlesh: 1, cueDark: 1.2}},
	} {
		// Else as halves are on the middle of the tuning trays.
		c := cues{1, 2.5, 1.04, 14, 0.3, 0.3, 2, 1.6, 0.2, -0.03, 0, 0.1, 0.05}
		e := c.evidence()
		if e.alone() < teaching {
			t.Fatalf("a half in every way has evidence %v", e)
		}
		for i, value := range tt.seen {
			c[i] = value
		}
		if e = c.evidence(); e.worst() != tt.want {
			t.Errorf("%v: the doubt is %d, want %d", tt.seen, e.worst(), tt.want)
		}
	}
}
