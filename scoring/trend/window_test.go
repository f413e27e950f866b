package trend

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

// even is a trend that changes by rate a day and is at value on 1 September.
func even(t *testing.T, c Course, value, rate float64) *Trend {
	t.Helper()
	var samples []Sample
	for _, d := range []float64{-14, -7, 0} {
		samples = append(samples, Sample{onDay(d), value + rate*d, 0.1, 20})
	}
	return mustFit(t, c, samples, Options{})
}

// On 1 September the firmness is 17 lbf and falls by 0.1 a day, the solids are 12
// and rise by 0.1, the stage is half way.
func TestWindow(t *testing.T) {
	stage := mustFit(t, Stage(oneToEight), onCurve(oneToEight, 0.15, -21, -14, -7, 0), Options{})
	firm, sweet := even(t, Falling(), 17, -0.1), even(t, Rising(), 12, 0.1)
	at := func(name string, trend *Trend, target float64) Criterion {
		return Criterion{Name: name, Target: target, Trend: trend}
	}
	from, to := at("stage", stage, 5), at("stage", stage, 7) // reached 1.7 and 9.6 days on
	for _, row := range []struct {
		name              string
		opens, closes     []Criterion
		on                float64
		state             State
		opensBy, closesBy string
		never             bool
	}{
		{"before", []Criterion{from}, []Criterion{to}, -3, NotYet, "stage", "stage", false},
		{"after opening", []Criterion{from}, []Criterion{to}, 3, Open, "stage", "stage", false},
		{"closing", []Criterion{from}, []Criterion{to}, 8, Closing, "stage", "stage", false},
		{"day of closing", []Criterion{from}, []Criterion{to}, 9, Closing, "stage", "stage", false},
		{"past", []Criterion{from}, []Criterion{to}, 12, Past, "stage", "stage", false},
		{"firmness closes first", []Criterion{from}, []Criterion{to, at("firmness", firm, 16.5)}, 3, Closing, "stage", "firmness", false},
		{"stage closes first", []Criterion{from}, []Criterion{at("firmness", firm, 15), to}, 3, Open, "stage", "stage", false},
		{"solids delay", []Criterion{from, at("soluble solids", sweet, 12.55)}, []Criterion{to}, 3, NotYet, "soluble solids", "stage", false},
		{"soft before it is ripe", []Criterion{to}, []Criterion{at("firmness", firm, 17.2)}, -6, NotYet, "stage", "firmness", true},
		{"nothing closes", []Criterion{from}, nil, 20, Open, "stage", "", false},
		{"nothing opens", nil, []Criterion{to}, 0, Open, "", "stage", false},
		{"opens at an end", []Criterion{at("stage", stage, 8)}, nil, 0, NotYet, "stage", "", true},
		{"only told in part", []Criterion{from}, []Criterion{at("firmness", nil, 15)}, 5, Open, "stage", "", false},
		{"nothing told", []Criterion{at("stage", nil, 3)}, nil, 0, CannotTell, "", "", false},
	} {
		w, err := Between(row.opens, row.closes, onDay(row.on))
		if err != nil {
			t.Fatal(err)
		}
		if w.State != row.state || w.Opens.By != row.opensBy || w.Closes.By != row.closesBy || w.Never != row.never {
			t.Errorf("%s: %s, opens by %q, closes by %q, never %v", row.name, w.State, w.Opens.By, w.Closes.By, w.Never)
		}
	}
}

func TestWindowIsSureFarFromItsDays(t *testing.T) {
	stage := mustFit(t, Stage(oneToEight), onCurve(oneToEight, 0.15, -21, -14, -7, 0), Options{})
	sure := func(on float64, firmness *Trend) Window {
		w, err := Between([]Criterion{{Name: "stage", Target: 5, Trend: stage}}, []Criterion{{Name: "stage", Target: 7, Trend: stage}, {Name: "firmness", Target: 10, Trend: firmness}}, onDay(on))
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	firm := even(t, Falling(), 17, -0.1)
	if w := sure(-10, firm); !w.Sure || w.Chance < 0.99 {
		t.Errorf("ten days before: chance %.3f", w.Chance)
	}
	if w := sure(1, firm); w.Sure || w.Chance > 0.9 {
		t.Errorf("on the day of opening: chance %.3f", w.Chance)
	}
	if w := sure(-10, nil); w.Sure || !slices.Equal(w.Closes.Untold, []string{"firmness"}) {
		t.Errorf("with firmness untold: sure %v, untold %v", w.Sure, w.Closes.Untold)
	}
}

// Of two criteria that close on the same day by different samples, each may be
// the first: the close is expected no later, and its interval begins earlier.
func TestWindowJoinsIntervals(t *testing.T) {
	a, b := even(t, Falling(), 17, -0.1), even(t, Falling(), 17, -0.1)
	one, err := Between(nil, []Criterion{{Name: "a", Target: 16, Trend: a}}, onDay(0))
	if err != nil {
		t.Fatal(err)
	}
	two, err := Between(nil, []Criterion{{Name: "a", Target: 16, Trend: a}, {Name: "b", Target: 16, Trend: b}}, onDay(0))
	if err != nil {
		t.Fatal(err)
	}
	if !two.Closes.Low.Before(one.Closes.Low) || !two.Closes.High.Before(one.Closes.High) {
		t.Errorf("closes %v to %v with two, %v to %v with one", two.Closes.Low, two.Closes.High, one.Closes.Low, one.Closes.High)
	}
}

// A later sample on the curve tightens the window.
func TestLaterSamplesTightenTheWindow(t *testing.T) {
	last := 1e9
	for n := 2; n <= 5; n++ {
		stage := mustFit(t, Stage(oneToEight), onCurve(oneToEight, 0.2, []float64{-21, -14, -7, -3, 0}[:n]...), Options{})
		w, err := Between([]Criterion{{Name: "stage", Target: 5, Trend: stage}}, nil, onDay(0))
		if err != nil {
			t.Fatal(err)
		}
		width := min(w.Opens.width(), 1e8/float64(n)) // open intervals count as wide
		if width >= last {
			t.Errorf("%d samples: %.1f days wide, %.1f before", n, width, last)
		}
		last = width
	}
}

func TestWindowNamesABadTarget(t *testing.T) {
	stage := mustFit(t, Stage(oneToEight), onCurve(oneToEight, 0.2, -14, -7), Options{})
	if _, err := Between([]Criterion{{Name: "stage", Target: 9, Trend: stage}}, nil, onDay(0)); err == nil || !strings.Contains(err.Error(), "stage: target") {
		t.Errorf("error %v", err)
	}
}

func TestNext(t *testing.T) {
	opens := func(d, low float64) Window {
		return Window{On: onDay(0), State: NotYet, Opens: Edge{Forecast: Forecast{Reach: Reached, Day: onDay(d), Low: onDay(low)}}}
	}
	none := time.Time{}
	untold := Window{On: onDay(0), State: CannotTell}
	for _, row := range []struct {
		name          string
		last, harvest time.Time
		w             Window
		want          time.Time
	}{
		{"first, three weeks before", none, onDay(30), untold, onDay(9)},
		{"first, harvest not known", none, none, untold, onDay(0)},
		{"too early for the next", onDay(-20), onDay(30), untold, onDay(9)},
		{"weekly", onDay(0), onDay(20), opens(20, 12), onDay(7)},
		{"may open within ten days", onDay(0), onDay(20), opens(20, 10), onDay(3)},
		{"low end not known", onDay(0), onDay(20), Window{On: onDay(0), State: NotYet, Opens: Edge{Forecast: Forecast{Reach: Reached, Day: onDay(9)}}}, onDay(3)},
		{"no trend, harvest near", onDay(0), onDay(10), untold, onDay(3)},
		{"no trend, harvest far", onDay(0), onDay(11), untold, onDay(7)},
		{"open", onDay(0), onDay(40), Window{On: onDay(0), State: Open}, onDay(3)},
		{"past", onDay(0), onDay(0), Window{On: onDay(0), State: Past}, none},
		{"overdue", onDay(-9), onDay(5), untold, onDay(-2)},
	} {
		if got := Next(row.last, row.harvest, row.w); !got.Equal(row.want) {
			t.Errorf("%s: %v, want %v", row.name, got, row.want)
		}
	}
}

// What FruitFor foretells is what comes: half the interval after a sample of so
// many fruit that lies on the curve is what was wanted.
func TestFruitForComesTrue(t *testing.T) {
	const sd, wanted = 1.1, 1.1
	before := onCurve(oneToEight, 0.25, -21, -14, -7)
	tr := mustFit(t, Stage(oneToEight), before, Options{})
	n, ok := tr.FruitFor(5.5, onDay(0), sd, wanted)
	if !ok || n <= FewestFruit || n >= MostFruit {
		t.Fatalf("%d fruit, %v: choose another precision for the test", n, ok)
	}
	next := Sample{onDay(0), tr.At(onDay(0)).Value, sd / math.Sqrt(float64(n)), n}
	f := mustForecast(t, mustFit(t, Stage(oneToEight), append(before, next), Options{}), 5.5)
	if half := f.width() / 2; half > wanted*1.15 || half < wanted*0.85 {
		t.Errorf("%d fruit gave ± %.2f days, wanted ± %v", n, half, wanted)
	}
	if fewer, _ := tr.FruitFor(5.5, onDay(0), sd, 100); fewer != FewestFruit {
		t.Errorf("%d fruit for no precision, want %d", fewer, FewestFruit)
	}
	for _, row := range []struct{ target, wanted float64 }{{5.5, 0.01}, {8, 3}, {9, 3}} {
		if n, ok := tr.FruitFor(row.target, onDay(0), sd, row.wanted); ok {
			t.Errorf("target %v to ± %v days: %d fruit, want none", row.target, row.wanted, n)
		}
	}
}
