package trend

import (
	"errors"
	"fmt"
	"math"
	"slices"
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
	// Prior is what is known of the rate before the samples; nil for nothing.
	Prior *Prior
}

// Prior is a rate known from elsewhere, such as earlier seasons of the variety.
type Prior struct {
	Rate     float64 // units per day, with the sign of the change; of a stage in the middle of the scale, where it is fastest
	Standard float64 // standard uncertainty of Rate for this block and year, above 0
	From     string  // where it is from, in words, for the report
}

// ErrNoTrend says that the samples were taken on fewer than two days, so that
// nothing tells the rate. A Prior helps where there is one sample.
var ErrNoTrend = errors.New("one day's samples give no trend: sample again, or give a usual rate")

// Trend is the course of one quantity through a season, with all that is not
// sure about it.
type Trend struct {
	Samples []Sample // that it was fitted to, in order of day
	Prior   *Prior   // the usual rate that it leans on; nil when it rests on the samples alone

	course  Course
	common  float64   // of progress
	origin  time.Time // day 0
	freedom float64   // degrees of freedom behind the samples' Standard
	chances []chance
}

// Fit lays the course through the samples of one season, in any order, each
// weighted by its precision.
//
// A sample's mean strays from the block's by its own Standard, and by more; how
// much more, and how lopsided the curve is, cannot be told from a handful of
// samples. So neither is estimated and then believed: see supposition.
func Fit(course Course, samples []Sample, opt Options) (*Trend, error) {
	if err := check(course, samples, opt); err != nil {
		return nil, err
	}
	t := &Trend{
		Samples: slices.Clone(samples),
		Prior:   opt.Prior,
		course:  course,
		common:  opt.Common / math.Abs(course.per()),
	}
	slices.SortStableFunc(t.Samples, func(a, b Sample) int { return a.Day.Compare(b.Day) })
	t.origin = meanDay(t.Samples)
	t.freedom = freedom(t.Samples)
	t.weigh()
	return t, nil
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
	return checkDays(course, samples, opt.Prior)
}

// checkDays makes sure that something tells the rate, and something the level.
func checkDays(course Course, samples []Sample, p *Prior) error {
	if len(samples) == 0 {
		return fmt.Errorf("no sample: %w", ErrNoTrend)
	}
	first, last := samples[0].Day, samples[0].Day
	for _, s := range samples {
		if s.Day.Before(first) {
			first = s.Day
		}
		if s.Day.After(last) {
			last = s.Day
		}
	}
	if days := last.Sub(first).Hours() / 24; days > longestSeason {
		return fmt.Errorf("samples span %.0f days: give those of one season", days)
	}
	if p == nil {
		if last.Equal(first) {
			return ErrNoTrend
		}
		return nil
	}
	if !(p.Standard > 0 && p.Standard <= largest) || !(p.Rate*course.per() > 0 && math.Abs(p.Rate) <= largest) {
		return fmt.Errorf("usual rate %g ± %g a day: give a rate in the direction of ripening and an uncertainty above 0", p.Rate, p.Standard)
	}
	return nil
}

// longestSeason is more than fruit of one year can be sampled for, days.
const longestSeason = 200

// meanDay is the mean of the samples' days.
func meanDay(samples []Sample) time.Time {
	var sum time.Duration
	for _, s := range samples {
		sum += s.Day.Sub(samples[0].Day) / time.Duration(len(samples))
	}
	return samples[0].Day.Add(sum)
}

// freedom is how many fruit beyond their means stand behind the samples'
// uncertainties; infinite when one of them is taken as known.
func freedom(samples []Sample) float64 {
	sum := 0
	for _, s := range samples {
		if s.N == 0 {
			return math.Inf(1)
		}
		sum += s.N - 1
	}
	return math.Max(1, float64(sum))
}

// days counts from the middle of the samples.
func (t *Trend) days(day time.Time) float64 { return day.Sub(t.origin).Hours() / 24 }

// date undoes days.
func (t *Trend) date(x float64) time.Time {
	return t.origin.Add(time.Duration(x * 24 * float64(time.Hour)))
}
