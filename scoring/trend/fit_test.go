package trend

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"traystage/calibrate"
)

func sigmoid(h float64) float64 { return 1 / (1 + math.Exp(-h)) }

// onCurve are samples that lie exactly on the logistic curve that is half way on
// day 0, with a pace of 0.17 a day.
func onCurve(scale calibrate.Scale, standard float64, days ...float64) []Sample {
	var out []Sample
	for _, d := range days {
		v := scale.Stained + (scale.Clear-scale.Stained)*sigmoid(0.17*d)
		out = append(out, Sample{onDay(d), v, standard, 20})
	}
	return out
}

func mustFit(t *testing.T, c Course, samples []Sample, opt Options) *Trend {
	t.Helper()
	tr, err := Fit(c, samples, opt)
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

func mustForecast(t *testing.T, tr *Trend, target float64) Forecast {
	t.Helper()
	f, err := tr.Forecast(target)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// width is that of a forecast's interval, days; infinite when it is open.
func (f Forecast) width() float64 {
	if f.Low.IsZero() || f.High.IsZero() {
		return math.Inf(1)
	}
	return f.High.Sub(f.Low).Hours() / 24
}

func TestFitRefuses(t *testing.T) {
	good := onCurve(oneToEight, 0.2, -14, -7)
	with := func(change func(s *Sample)) []Sample {
		out := onCurve(oneToEight, 0.2, -14, -7)
		change(&out[1])
		return out
	}
	for _, row := range []struct {
		name    string
		course  Course
		samples []Sample
		opt     Options
		want    string
	}{
		{"no course", Course{}, good, Options{}, "no course"},
		{"bad scale", Stage(calibrate.Scale{Stained: 1, Clear: 1, Step: 0.1}), good, Options{}, "two ends are the same"},
		{"none", Stage(oneToEight), nil, Options{}, "no trend"},
		{"one day", Stage(oneToEight), onCurve(oneToEight, 0.2, -7, -7), Options{}, "no trend"},
		{"off the scale", Stage(oneToEight), with(func(s *Sample) { s.Value = 8.1 }), Options{}, "2026-08-25: stage 8.1 is not on the scale 1 to 8"},
		{"not a number", Falling(), with(func(s *Sample) { s.Value = math.NaN() }), Options{}, "2026-08-25: NaN"},
		{"negative standard", Falling(), with(func(s *Sample) { s.Standard = -1 }), Options{}, "standard uncertainty -1"},
		{"one fruit without spread", Falling(), with(func(s *Sample) { s.N, s.Standard = 1, 0 }), Options{}, "have no spread"},
		{"two seasons", Falling(), with(func(s *Sample) { s.Day = s.Day.AddDate(1, 0, 0) }), Options{}, "one season"},
		{"bad common", Falling(), good, Options{Common: math.NaN()}, "common uncertainty NaN"},
		{"prior the wrong way", Falling(), good, Options{Prior: &Prior{Rate: 0.1, Standard: 0.1}}, "direction of ripening"},
		{"prior too sure", Rising(), good, Options{Prior: &Prior{Rate: 0.1}}, "above 0"},
	} {
		if _, err := Fit(row.course, row.samples, row.opt); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: error %v, want one with %q", row.name, err, row.want)
		}
	}
}

func TestOneSampleGivesNoTrend(t *testing.T) {
	one := onCurve(oneToEight, 0.2, -7)
	if _, err := Fit(Stage(oneToEight), one, Options{}); !errors.Is(err, ErrNoTrend) {
		t.Fatalf("error %v, want ErrNoTrend", err)
	}
	// 0.17 of the logit a day is 0.17·7/4 stages a day half way.
	prior := &Prior{Rate: 0.2975, Standard: 0.06, From: "usual rate"}
	f := mustForecast(t, mustFit(t, Stage(oneToEight), one, Options{Prior: prior}), 4.5)
	if !f.Usual || f.Reach != Reached || math.Abs(f.Day.Sub(onDay(0)).Hours()/24) > 1 {
		t.Errorf("with a usual rate: %+v, want a marked day near 1 September", f)
	}
}

// A usual rate several times less sure than the samples moves the day little,
// though it is a third off, and a sure one narrows the interval.
func TestPriorIsWeak(t *testing.T) {
	samples := onCurve(oneToEight, 0.2, -28, -21, -14, -7)
	alone := mustForecast(t, mustFit(t, Stage(oneToEight), samples, Options{}), 4.5)
	prior := &Prior{Rate: 0.2, Standard: 0.5}
	helped := mustForecast(t, mustFit(t, Stage(oneToEight), samples, Options{Prior: prior}), 4.5)
	if alone.Usual || !helped.Usual {
		t.Errorf("marked %v without and %v with a prior", alone.Usual, helped.Usual)
	}
	if d := math.Abs(helped.Day.Sub(alone.Day).Hours() / 24); d > 1.5 {
		t.Errorf("the prior moved the day by %.2f days", d)
	}
	sure := &Prior{Rate: 0.3, Standard: 0.03}
	few := mustForecast(t, mustFit(t, Stage(oneToEight), samples[2:], Options{}), 4.5)
	if f := mustForecast(t, mustFit(t, Stage(oneToEight), samples[2:], Options{Prior: sure}), 4.5); f.width() > few.width() {
		t.Errorf("two samples: width %.2f with a sure rate, %.2f without", f.width(), few.width())
	}
}

// The same block read on a scale that runs the other way and is stretched gives
// the same days.
func TestScalesAgree(t *testing.T) {
	days := []float64{-21, -14, -7, 0}
	turned := calibrate.Scale{Stained: 14, Clear: 0, Step: 0.2}
	a := mustForecast(t, mustFit(t, Stage(oneToEight), onCurve(oneToEight, 0.2, days...), Options{}), 6.25)
	b := mustForecast(t, mustFit(t, Stage(turned), onCurve(turned, 0.4, days...), Options{}), 3.5)
	for _, pair := range [][2]time.Time{{a.Low, b.Low}, {a.Day, b.Day}, {a.High, b.High}} {
		if d := pair[0].Sub(pair[1]).Abs(); d > time.Minute {
			t.Errorf("%v on 1 to 8, %v on 14 to 0", pair[0], pair[1])
		}
	}
}

// Samples may come in any order and are not changed.
func TestOrderDoesNotMatter(t *testing.T) {
	samples := onCurve(oneToEight, 0.2, -7, -21, -14)
	a := mustForecast(t, mustFit(t, Stage(oneToEight), samples, Options{}), 4.5)
	if !samples[0].Day.Equal(onDay(-7)) {
		t.Error("Fit sorted the caller's samples")
	}
	b := mustForecast(t, mustFit(t, Stage(oneToEight), onCurve(oneToEight, 0.2, -21, -14, -7), Options{}), 4.5)
	if a != b {
		t.Errorf("%+v and %+v", a, b)
	}
}

func TestIntervalWidens(t *testing.T) {
	fit := func(standard float64, opt Options, days ...float64) *Trend {
		return mustFit(t, Stage(oneToEight), onCurve(oneToEight, standard, days...), opt)
	}
	four := fit(0.2, Options{}, -21, -14, -7, 0)
	near, far := mustForecast(t, four, 5.5), mustForecast(t, four, 7)
	two := mustForecast(t, fit(0.2, Options{}, -7, 0), 5.5)
	rough := mustForecast(t, fit(0.3, Options{}, -14, -7, 0), 5.5)
	common := mustForecast(t, fit(0.2, Options{Common: 0.4}, -21, -14, -7, 0), 5.5)
	for name, f := range map[string]Forecast{"further off": far, "fewer samples": two, "rougher samples": rough, "common error": common} {
		if !(f.width() > near.width()*1.1) {
			t.Errorf("%s: %.2f days wide, against %.2f", name, f.width(), near.width())
		}
	}
	if d := common.Day.Sub(near.Day).Abs(); d > time.Hour {
		t.Errorf("a common error moved the day by %v", d)
	}
	if !(near.Distance > 0) || far.Distance <= near.Distance {
		t.Errorf("distances %.1f and %.1f", near.Distance, far.Distance)
	}
}

func TestForecastWithoutADay(t *testing.T) {
	for _, row := range []struct {
		name              string
		course            Course
		values            [2]float64 // a week apart
		target            float64
		reach             Reach
		lowOpen, highOpen bool
	}{
		{"the clear end", Stage(oneToEight), [2]float64{3, 4}, 8, NeverQuite, true, true},
		{"the stained end", Stage(oneToEight), [2]float64{3, 4}, 1, AtStart, true, true},
		{"far off", Falling(), [2]float64{18, 17.9}, 6, NotInTime, false, true},
		{"long below", Falling(), [2]float64{12, 12}, 30, AtStart, true, true},
		{"may be far off", Falling(), [2]float64{18, 17.99}, 13, Reached, false, true},
		{"going back", Stage(oneToEight), [2]float64{4, 3}, 6, Reached, false, false}, // fruit do not: a day's error made it look so
	} {
		samples := []Sample{{onDay(0), row.values[0], 0.2, 20}, {onDay(7), row.values[1], 0.2, 20}}
		f := mustForecast(t, mustFit(t, row.course, samples, Options{}), row.target)
		if f.Reach != row.reach || f.Day.IsZero() != (row.reach != Reached) ||
			f.Low.IsZero() != row.lowOpen || f.High.IsZero() != row.highOpen {
			t.Errorf("%s: %+v, want %s, open %v and %v", row.name, f, row.reach, row.lowOpen, row.highOpen)
		}
	}
	tr := mustFit(t, Stage(oneToEight), onCurve(oneToEight, 0.2, -14, -7), Options{})
	if _, err := tr.Forecast(9); err == nil {
		t.Error("a target off the scale was taken")
	}
}

// On exact samples the mean is found again, the rate is the curve's slope, and
// neither band leaves the scale.
func TestAtAndRate(t *testing.T) {
	for _, scale := range []calibrate.Scale{oneToEight, {Stained: 10, Clear: 0, Step: 0.1}} {
		span := scale.Clear - scale.Stained
		tr := mustFit(t, Stage(scale), onCurve(scale, 0.1, -14, -7, 0, 7, 14), Options{})
		p := sigmoid(0.17 * 4)
		at, rate := tr.At(onDay(4)), tr.Rate(onDay(4))
		if want := scale.Stained + span*p; math.Abs(at.Value-want) > 0.1 || at.Low > want || at.High < want {
			t.Errorf("%v: mean %+v, want %.2f", scale, at, want)
		}
		if want := span * p * (1 - p) * 0.17; math.Abs(rate.Value-want) > 0.02 || rate.Low > want || rate.High < want {
			t.Errorf("%v: rate %+v, want %.3f", scale, rate, want)
		}
		for d := -60.0; d <= 60; d += 10 {
			if e := tr.At(onDay(d)); !scale.Contains(e.Low) || !scale.Contains(e.High) || !(e.Low <= e.Value && e.Value <= e.High) {
				t.Errorf("%v, day %v: band %+v", scale, d, e)
			}
		}
	}
	falling := []Sample{{onDay(0), 19, 0.2, 10}, {onDay(7), 18, 0.2, 10}, {onDay(14), 17, 0.2, 10}}
	tr := mustFit(t, Falling(), falling, Options{})
	if r := tr.Rate(onDay(3)); math.Abs(r.Value+1./7) > 0.02 || r.High > 0 {
		t.Errorf("rate %+v, want -1/7", r)
	}
	if e := tr.At(onDay(7)); math.Abs(e.Value-18) > 0.05 {
		t.Errorf("mean %+v, want 18", e)
	}
}

// Whatever is handed in: an error, or figures in order and no NaN.
func FuzzFit(f *testing.F) {
	f.Add(1.5, 0.2, 2.5, 0.2, 4.0, 0.3, 7.0, 3.0, 0.1)
	f.Add(1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 7.0, 8.0, 0.0)
	f.Add(8.0, 0.0, 1.0, 0.0, 8.0, 1e6, 0.001, 1.001, 0.0)
	f.Fuzz(func(t *testing.T, a, sa, b, sb, c, sc, gap, target, common float64) {
		if !(math.Abs(gap) < 90) {
			return
		}
		samples := []Sample{{onDay(0), a, sa, 10}, {onDay(gap), b, sb, 0}, {onDay(2 * gap), c, sc, 2}}
		for _, course := range []Course{Stage(oneToEight), Falling()} {
			tr, err := Fit(course, samples, Options{Common: common})
			if err != nil {
				continue
			}
			e := tr.At(onDay(gap))
			if !(e.Low <= e.Value && e.Value <= e.High) {
				t.Errorf("mean %+v of %v", e, samples)
			}
			g, err := tr.Forecast(target)
			if err != nil || g.Reach != Reached {
				continue
			}
			if !g.Low.IsZero() && g.Low.After(g.Day) || !g.High.IsZero() && g.High.Before(g.Day) {
				t.Errorf("forecast %+v of %v", g, samples)
			}
		}
	})
}
