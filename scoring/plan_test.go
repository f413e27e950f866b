package scoring

import (
	"strings"
	"testing"
	"time"
)

// of gives samples to another block.
func of(block string, samples []Sample) []Sample {
	for i := range samples {
		samples[i].Block = block
	}
	return samples
}

func TestErrands(t *testing.T) {
	today := day(t, "2026-09-10")
	harvest := day(t, "2026-09-24")
	early, err := Assess(Block{Name: "Early", Variety: "Gala", Market: "long CA", Harvest: harvest},
		of("Early", ripening(t, 1)), shipped(t), nil, Options{Today: today})
	if err != nil {
		t.Fatal(err)
	}
	open := onDay(t, "mid CA", 10, ripening(t, 1, 4, 8))
	past := onDay(t, "long CA", 16, ripening(t, 1, 4, 8, 16))
	unsure := past
	unsure.Block.Name, unsure.NowSure, unsure.Sample = "Unsure", false, open.Sample
	fresh := standing("New", NoVerdict, false, day(t, "2026-10-05"))
	got := Errands([]BlockReport{fresh, past, open, early, unsure}, today, 0)
	var lines []string
	for _, e := range got {
		lines = append(lines, e.Block.Name+" "+e.Due.Format(time.DateOnly)+": "+say(e.Why))
	}
	want := []string{
		"Early 2026-09-04: overdue by 6 days; harvest is expected on 24 September",
		"North 2026-09-11: it is open",
		"Unsure 2026-09-11: it looks past its window, but that is not sure",
		"New 2026-09-14: first sample, three weeks before 5 October",
	}
	if strings.Join(lines, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(lines, "\n"), strings.Join(want, "\n"))
	}
	for _, e := range got {
		if e.Fruit != FewestFruit {
			t.Errorf("%s: %d fruit where the least was asked for", e.Block.Name, e.Fruit)
		}
	}
}

// A closer day takes more fruit, and never fewer than the least sample.
func TestErrandsTakeMoreFruitForACloserDay(t *testing.T) {
	r := onDay(t, "long CA", 4, ripening(t, 1, 4))
	r.Stage.SD = 1.2
	last := 0
	for _, within := range []float64{20, 3, 2} {
		n := Errands([]BlockReport{r}, r.Origin.Day, within)[0].Fruit
		if n < FewestFruit || n < last {
			t.Errorf("within %g days: %d fruit, after %d", within, n, last)
		}
		last = n
	}
	if last == FewestFruit {
		t.Error("a single day is to be had with the least sample: the test tells nothing")
	}
}
