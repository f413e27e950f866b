package scoring

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"
)

var clean = flag.Int("clean", 300, "simulated clean samples for each setting of the outlier test")

// Clean samples on 1 to 8, of fruit that differ normally and are cut at the ends
// and read in steps: one in twenty is marked at the most, also where most fruit
// lie at an end. With -clean 5000 the worst setting of 7 to 40 fruit marked 4.6 %.
func TestCleanSamplesAreNotMarked(t *testing.T) {
	t.Parallel()
	slack := 3 * math.Sqrt(0.05*0.95/float64(*clean)) // the worst of many settings
	if *clean >= 5000 {
		slack = 0.002
	}
	worst := 0.0
	for _, n := range []int{7, 10, 20, 40} {
		for _, step := range []float64{0.1, 0.5, 1} {
			for m := 0.0; m <= 9; m += 0.5 {
				for _, s := range []float64{0.3, 0.6, 1, 1.5} {
					marked := 0
					r := rand.New(rand.NewPCG(uint64(100*m), uint64(1000*s)+uint64(n)))
					for range *clean {
						values := cleanSample(r, n, m, s, step)
						mean, sd := meanSD(values)
						if findOutlier(values, mean, sd, bounds{1, 8}) != nil {
							marked++
						}
					}
					share := float64(marked) / float64(*clean)
					worst = max(worst, share)
					if share > 0.05+slack {
						t.Errorf("%d fruit about %v, spread %v, step %v: %.3f are marked", n, m, s, step, share)
					}
				}
			}
		}
	}
	t.Logf("in the worst setting %.3f are marked", worst)
}

func cleanSample(r *rand.Rand, n int, mean, spread, step float64) []value {
	out := make([]value, n)
	for i := range out {
		out[i] = value{i + 1, min(max(math.Round((mean+spread*r.NormFloat64())/step)*step, 1), 8)}
	}
	return out
}

// What does stand apart is marked: in the middle of the scale, and beside fruit
// at its end.
func TestOddFruitAreMarked(t *testing.T) {
	for name, stages := range map[string][]float64{
		"clear among half stained": {3.1, 3.4, 2.8, 3.6, 3.3, 2.9, 3.2, 3.5, 3.0, 7.8},
		"stained among clear":      {7.1, 6.8, 7.4, 6.9, 7.2, 7.0, 6.6, 7.3, 7.1, 2.0},
		"clear beside all stained": {1, 1, 1, 1, 1.1, 1.2, 1.1, 1.3, 1.2, 1.1, 1.2, 1.4, 6.0},
	} {
		var values []value
		for i, v := range stages {
			values = append(values, value{i + 1, v})
		}
		mean, sd := meanSD(values)
		if o := findOutlier(values, mean, sd, bounds{1, 8}); o == nil || o.Number != len(stages) {
			t.Errorf("%s: %+v", name, o)
		}
	}
}
