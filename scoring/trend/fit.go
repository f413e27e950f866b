package trend

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
	"time"
)

// Confidence is the coverage of every interval of this package: nine in ten
// such intervals hold the true value.
const Confidence = 0.90

// Sample is what one sample says of one quantity.
type Sample struct {
	Day      time.Time // when the fruit were taken; midnight UTC, or finer
	Value    float64   // mean, on the scale or in the unit of the course
	Standard float64   // standard uncertainty of Value from this sample alone (sampling and reading), 0 or more
	N        int       // fruit behind Value; 0 takes Standard as known
}

// Options are what Fit may be told besides the samples; the zero value is the
// usual one.
type Options struct {
	// Common is the standard uncertainty that all samples share, such as plates
	// that sit a little high, in units of the quantity. It moves every sample
	// alike, so it leaves the rate alone and blurs the day.
	Common float64
	// Prior is a usual rate that the trend shall lean on; nil for none. Then one
	// sample is enough.
	Prior *Prior
	// Published is a rate published for the variety: it takes the place of that
	// over all varieties, and is no more than that; nil for none.
	Published *Prior
}

// Prior is a rate known from elsewhere, such as earlier seasons of the variety.
type Prior struct {
	Rate     float64 // units per day, with the sign of the change; of a stage half way, where it is fastest; of an index parts of it
	Standard float64 // standard uncertainty of Rate for this block and year, above 0
	From     string  // where it is from, in words, for the report
}

// ErrNoTrend says that the samples were taken on fewer than two days, so that
// nothing tells the rate. A Prior helps where there is one sample.
var ErrNoTrend = errors.New("one day's samples give no trend: sample again, or give a usual rate")

// Trend is the course of one quantity through a season, with all that is not
// sure about it. It is safe for several callers.
type Trend struct {
	Samples []Sample // that it was fitted to, in order of day
	Prior   *Prior   // the usual rate that it leans on; nil when it does not

	options  Options
	measure  measure
	common   float64   // of progress
	origin   time.Time // day 0: that of the last sample
	held     bool      // it keeps the last value: see Hold
	branches []branch
	drift    drift
	evidence float64 // logarithm of how likely the samples are, up to a constant

	mu    sync.Mutex
	known map[float64][]moment // of the branches, by day
}

// Fit lays the course through the samples of one season, in any order.
//
// A sample's mean strays from the block's by its own Standard and by an error
// that all fruit of its day share; the rate is lognormal about a usual one and
// drifts with the weather; the shape is one of several. All of these are summed
// over: see belief and branch.
func Fit(course Course, samples []Sample, opt Options) (*Trend, error) {
	if err := check(course, samples, opt); err != nil {
		return nil, err
	}
	if opt.Prior == nil && oneDay(samples) {
		return nil, ErrNoTrend
	}
	return fit(course, course.belief(), samples, opt), nil
}

func fit(course Course, b belief, samples []Sample, opt Options) *Trend {
	t := newTrend(course, b, samples, opt)
	for _, p := range []*Prior{opt.Published, opt.Prior} {
		if p == nil {
			continue
		}
		rate := math.Abs(p.Rate)
		b.pace = rate
		if course.kind != index {
			b.pace /= math.Abs(t.measure.unit)
		}
		b.spread = math.Sqrt(math.Log1p(p.Standard * p.Standard / rate / rate)) // of a lognormal
	}
	t.branchOut(b.suppositions(), t.read(b), negligible)
	return t
}

func newTrend(course Course, b belief, samples []Sample, opt Options) *Trend {
	t := &Trend{Samples: slices.Clone(samples), Prior: opt.Prior, options: opt, drift: b.drift, known: map[float64][]moment{}}
	slices.SortStableFunc(t.Samples, func(a, b Sample) int { return a.Day.Compare(b.Day) })
	last := t.Samples[len(t.Samples)-1]
	t.origin = last.Day
	t.measure = newMeasure(course, meanSize(samples))
	t.common = t.measure.spread(opt.Common, last.Value)
	return t
}

// meanSize is the mean size of the samples' values.
func meanSize(samples []Sample) float64 {
	sum := 0.0
	for _, s := range samples {
		sum += math.Abs(s.Value)
	}
	return sum / float64(len(samples))
}

func check(course Course, samples []Sample, opt Options) error {
	if err := course.validate(); err != nil {
		return err
	}
	for _, s := range samples {
		what := "sample of " + s.Day.Format(time.DateOnly)
		if err := course.checkValue(what, s.Value); err != nil {
			return err
		}
		if !(s.Standard >= 0 && s.Standard <= largest) {
			return fmt.Errorf("%s: standard uncertainty %g: give 0 or more", what, s.Standard)
		}
		if s.N < 0 || s.N == 1 && s.Standard == 0 {
			return fmt.Errorf("%s: %d fruit have no spread: say how sure the value is", what, s.N)
		}
	}
	if !(opt.Common >= 0 && opt.Common <= largest) {
		return fmt.Errorf("common uncertainty %g: give 0 or more", opt.Common)
	}
	for _, p := range []*Prior{opt.Prior, opt.Published} {
		if err := course.checkPrior(p); err != nil {
			return err
		}
	}
	return checkDays(samples)
}

// checkDays makes sure that there is a sample, and that all are of one season.
func checkDays(samples []Sample) error {
	if len(samples) == 0 {
		return fmt.Errorf("no sample: %w", ErrNoTrend)
	}
	first, last := ends(samples)
	if days := last.Sub(first).Hours() / 24; days > longestSeason {
		return fmt.Errorf("samples span %.0f days: give those of one season", days)
	}
	return nil
}

func (c Course) checkPrior(p *Prior) error {
	if p == nil {
		return nil
	}
	ripens := p.Rate * newMeasure(c, 1).unit
	if !(p.Standard > 0 && p.Standard <= largest) || !(ripens > 0 && math.Abs(p.Rate) <= largest) {
		return fmt.Errorf("usual rate %g ± %g a day: give a rate in the direction of ripening and an uncertainty above 0", p.Rate, p.Standard)
	}
	return nil
}

// longestSeason is more than fruit of one year can be sampled for, days.
const longestSeason = 200

func oneDay(samples []Sample) bool {
	first, last := ends(samples)
	return first.Equal(last)
}

// ends are the first and the last day of the samples.
func ends(samples []Sample) (first, last time.Time) {
	first, last = samples[0].Day, samples[0].Day
	for _, s := range samples {
		if s.Day.Before(first) {
			first = s.Day
		}
		if s.Day.After(last) {
			last = s.Day
		}
	}
	return first, last
}

// days counts from the last sample.
func (t *Trend) days(day time.Time) float64 { return day.Sub(t.origin).Hours() / 24 }

// date undoes days.
func (t *Trend) date(x float64) time.Time {
	return t.origin.Add(time.Duration(x * 24 * float64(time.Hour)))
}
