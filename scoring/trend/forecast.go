package trend

import (
	"math"
	"time"
)

// Horizon is how many days beyond the first or the last sample a trend is
// followed. A day that lies further off is no forecast.
const Horizon = 60

// Reach says whether a target is reached.
type Reach string

const (
	Reached    Reach = "reached"       // on the day given, past or to come
	AtStart    Reach = "met all along" // since before all that the trend is followed to
	NotInTime  Reach = "not in time"   // the trend does not get there within Horizon days
	NeverQuite Reach = "never quite"   // the target is the end that the course only nears
	NotTold    Reach = "not told"      // it was read on one day only: see Hold
)

// Forecast is the day on which a block's true mean reaches a target. The day of
// the month is what people are told; the hours are not meant.
type Forecast struct {
	Target float64
	Reach  Reach
	Day    time.Time // as likely earlier as later; zero unless Reach is Reached
	// The 90 % interval of Day. Zero is an end left open: the samples cannot rule
	// out that the target was reached more than Horizon days before them (Low), or
	// that it will not be within Horizon days (High). Both are zero where that is
	// all but certain, see Reach.
	Low, High time.Time
	// Distance is how many days Day lies beyond the last sample; negative within
	// the samples. A forecast over a week is a guess at the weather too.
	Distance float64
	Usual    bool // it leans on a usual rate, not on the samples alone
}

// Forecast tells when the block reaches the target.
//
// The chance that it has been reached by a day is that the block's age, on that
// day, lies beyond the target's, over all branches. Low, Day and High are where
// that chance passes 5, 50 and 95 per cent. With nothing held of rate and
// scatter beforehand, and a straight line, this is Fieller's interval.
func (t *Trend) Forecast(target float64) (Forecast, error) {
	if err := t.measure.course.checkValue("target", target); err != nil {
		return Forecast{}, err
	}
	return t.forecast(target), nil
}

func (t *Trend) forecast(target float64) Forecast {
	f := Forecast{Target: target, Usual: t.Prior != nil}
	if t.held {
		f.Reach = NotTold
		return f
	}
	by := t.by(target)
	at, ok := t.crossing(by, 0.5)
	switch {
	case ok:
		f.Reach = Reached
		f.Day = t.date(at)
		f.Distance = at
	case by(0) >= 0.5:
		f.Reach = AtStart
	case t.measure.course.curved() && target == t.measure.course.scale.Clear:
		f.Reach = NeverQuite
	default:
		f.Reach = NotInTime
	}
	if x, ok := t.crossing(by, (1-Confidence)/2); ok {
		f.Low = t.date(x)
	}
	if x, ok := t.crossing(by, (1+Confidence)/2); ok {
		f.High = t.date(x)
	}
	return f
}

func (t *Trend) first() float64 { return t.days(t.Samples[0].Day) }

// by gives the chance that the block has reached the target by day x.
func (t *Trend) by(target float64) func(x float64) float64 {
	g := t.goal(t.measure.progress(target))
	return func(x float64) float64 { return t.beyond(x, g) }
}

// crossing finds the day on which a chance first passes p, from the last sample
// on, where the curve is best known: forward if p is not yet passed there, else
// back. Fruit do not go back, so what the chance does beyond says nothing. It is
// false when p is not passed within Horizon of the samples.
func (t *Trend) crossing(by func(x float64) float64, p float64) (float64, bool) {
	const step = 4 // days
	forward := by(0) < p
	near, end, way := 0.0, float64(Horizon), 1.0
	if !forward {
		end, way = t.first()-Horizon, -1
	}
	for near*way < end*way {
		far := near + way*step
		if (by(far) < p) != forward {
			return rootOf(by, p, min(near, far), max(near, far)), true
		}
		near = far
	}
	return 0, false
}

// rootOf finds where a function that lies below p at low and not below it at
// high passes p.
//
// Source: M. Dowell, P. Jarratt, A modified regula falsi method for computing
// the root of an equation, BIT 11, 1971 (the Illinois method).
func rootOf(f func(x float64) float64, p, low, high float64) float64 {
	const nearEnough = 1e-9 // of the wider of the span and 1
	limit := nearEnough * math.Max(1, high-low)
	fl, fh := f(low)-p, f(high)-p
	side := 0
	for range 200 {
		x := high - fh*(high-low)/(fh-fl)
		if !(x > low && x < high) {
			x = (low + high) / 2
		}
		fx := f(x) - p
		if math.Abs(fx) < 1e-7 || high-low < limit {
			return x
		}
		if fx < 0 {
			low, fl = x, fx
			if side == -1 {
				fh /= 2
			}
			side = -1
		} else {
			high, fh = x, fx
			if side == 1 {
				fl /= 2
			}
			side = 1
		}
	}
	return (low + high) / 2
}
