package trend

import (
	"math"
	"slices"
	"sort"
	"time"
)

// When to sample.
//
// Sources: weekly from some weeks before the expected harvest: Penn State
// Extension, Assessing optimum harvest dates, 2012 (2 weeks before), Washington
// State University, Apple harvest (2 or more, then every week), University of
// Maryland Extension, FS-1180, 2021 (4 to 5, weekly), Strickhof, Den Reifeindex
// nach Streif bestimmen (4 to 6, every 7 to 10 days). Three weeks lie between.
// Twice a week as the window nears: common practice, no source.
const (
	FirstBefore = 21 // days before the expected harvest of the first sample
	Weekly      = 7  // days between samples
	TwiceWeekly = 3  // days between samples from NearDays before the window may open
	NearDays    = 10
)

// FewestFruit is the least sample of a block.
//
// Source: Michigan State University Extension, Starch index scale, 2023.
const FewestFruit = 10

// MostFruit is more than a tester cuts of one block on one day.
const MostFruit = 100

// Next is the day on which a block's next sample is due, midnight UTC. It lies
// before today when the sample is overdue, and is zero when none is needed,
// because the window is past.
//
// last is the day of the last sample, zero for none; harvest the expected day of
// harvest, zero when not known; w the window as last forecast.
func Next(last, harvest time.Time, w Window) time.Time {
	var first time.Time
	if !harvest.IsZero() {
		first = civil(harvest).Add(-FirstBefore * day)
	}
	if last.IsZero() {
		if first.IsZero() {
			return civil(w.On)
		}
		return first
	}
	if w.State == Past {
		return time.Time{}
	}
	if near(last, harvest, w) {
		return civil(last).Add(TwiceWeekly * day)
	}
	due := civil(last).Add(Weekly * day)
	if due.Before(first) {
		return first
	}
	return due
}

// near says whether the window is open, or might open within NearDays of the
// last sample. Where no opening is forecast, the expected harvest stands for it.
func near(last, harvest time.Time, w Window) bool {
	if w.State == Open || w.State == Closing {
		return true
	}
	opening := harvest
	if w.Opens.Reach == Reached {
		opening = w.Opens.Day
		if !w.Opens.Low.IsZero() {
			opening = w.Opens.Low
		}
	}
	return !opening.IsZero() && civil(opening).Sub(civil(last)) <= NearDays*day
}

// FruitFor is the least number of fruit, from FewestFruit on, that a sample on a
// day must have so that the day on which the target is reached is then known to
// wanted days either way (half the 90 % interval). sd is the standard deviation
// from fruit to fruit, units of the quantity. It is false when a hundred fruit
// would not do, as when the weather to come or the common error alone is more,
// or when the trend reaches the target on no day.
func (t *Trend) FruitFor(target float64, on time.Time, sd, wanted float64) (int, bool) {
	f, err := t.Forecast(target)
	if err != nil || f.Reach != Reached || !(sd > 0) {
		return 0, false
	}
	enough := func(n int) bool { return t.halfWidthWith(target, on, sd, n) <= wanted }
	n := FewestFruit + sort.Search(MostFruit-FewestFruit+1, func(i int) bool { return enough(FewestFruit + i) })
	return n, n <= MostFruit
}

// halfWidthWith is half the interval of the day of a target, days, after one
// more sample that reads what is expected of it; infinite when it is open.
func (t *Trend) halfWidthWith(target float64, on time.Time, sd float64, n int) float64 {
	next := Sample{Day: on, Value: t.At(on).Value, Standard: sd / math.Sqrt(float64(n)), N: n}
	course := t.measure.course
	f := fit(course, course.belief(), append(slices.Clone(t.Samples), next), t.options).forecast(target)
	if f.Low.IsZero() || f.High.IsZero() {
		return math.Inf(1)
	}
	return f.High.Sub(f.Low).Hours() / 48
}
