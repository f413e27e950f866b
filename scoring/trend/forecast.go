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
// The chance that it has been reached by a day is that the curve, on that day,
// lies beyond it: Student's t of (height of the curve - height of the target) /
// standard uncertainty, over all suppositions. Low, Day and High are where that
// chance passes 5, 50 and 95 per cent. For one supposition and a straight line this
// is Fieller's interval, which grows with the distance from the samples and may
// be open where the slope is not told apart from none.
//
// Source: E. C. Fieller, Some problems in interval estimation, Journal of the
// Royal Statistical Society B 16, 1954.
func (t *Trend) Forecast(target float64) (Forecast, error) {
	if err := t.course.checkValue("target", target); err != nil {
		return Forecast{}, err
	}
	return t.forecast(target), nil
}

func (t *Trend) forecast(target float64) Forecast {
	f := Forecast{Target: target, Usual: t.Prior != nil}
	by := t.by(target)
	at, ok := crossing(by, 0.5, t.first()-Horizon, t.last()+Horizon)
	switch {
	case ok:
		f.Reach = Reached
		f.Day = t.date(at)
		f.Distance = at - t.last()
	case by(0) >= 0.5:
		f.Reach = AtStart
	case t.course.curved() && target == t.course.scale.Clear:
		f.Reach = NeverQuite
	default:
		f.Reach = NotInTime
	}
	f.Low, f.High = t.limits(by)
	return f
}

func (t *Trend) first() float64 { return t.days(t.Samples[0].Day) }
func (t *Trend) last() float64  { return t.days(t.Samples[len(t.Samples)-1].Day) }

// limits are the days by which the chance is 5 and 95 per cent; zero where it
// never is.
func (t *Trend) limits(by func(x float64) float64) (low, high time.Time) {
	from, to := t.first()-Horizon, t.last()+Horizon
	if x, ok := crossing(by, (1-Confidence)/2, from, to); ok {
		low = t.date(x)
	}
	if x, ok := crossing(by, (1+Confidence)/2, from, to); ok {
		high = t.date(x)
	}
	return low, high
}

// by gives the chance that the block has reached the target by day x.
func (t *Trend) by(target float64) func(x float64) float64 {
	progress := t.course.progress(target)
	return func(x float64) float64 { return t.beyond(x, progress) }
}

// beyond is the chance that the block is further along than progress on day x.
func (t *Trend) beyond(x, progress float64) float64 {
	h := t.course.height(progress)
	if math.IsInf(h, 0) { // an end of the scale, which a mean comes from and only nears
		return max(0, -math.Copysign(1, h))
	}
	_, growth := t.course.bend(h)
	common := t.common / growth
	sum := 0.0
	for _, c := range t.chances {
		s := math.Hypot(c.standard(x), common)
		sum += c.weight * student((c.at(x)-h)/s, t.freedom)
	}
	return sum
}

// crossing finds the day on which a chance first passes p, seen from the middle
// of the samples (x = 0), where the curve is best known: forward if p is not yet
// passed there, else back. Fruit do not go back, so what the chance does beyond
// (far from samples whose rate is unsure it may turn) says nothing. It is false
// when p is not passed between the two days.
func crossing(by func(x float64) float64, p, from, to float64) (float64, bool) {
	const step = 2 // days
	forward := by(0) < p
	near, end, way := 0.0, to, 1.0
	if !forward {
		end, way = from, -1
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
