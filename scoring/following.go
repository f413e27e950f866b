package scoring

import (
	"errors"
	"math"
	"slices"
	"time"

	"traystage/calibrate"
	"traystage/scoring/instrument"
	"traystage/scoring/trend"
	"traystage/vision/note"
)

// following is what a block's season tells of each quantity on one day. Whatever
// decides is asked of it, at the same moment and from the same trends: state,
// chance, reason and window.
type following struct {
	season  []evidence // in order of day, 1 or more
	on      time.Time  // the beginning of this day is the moment
	scale   calibrate.Scale
	unit    instrument.Unit // of firmness
	usual   Leaning
	variety string
	kept    map[subject]*followed
}

// subject is a quantity in a unit.
type subject struct {
	quantity Quantity
	unit     string          // as of a Series
	force    instrument.Unit // of a Streif index
}

// followed is one quantity through the season.
type followed struct {
	Series
	keeps *trend.Trend   // Series.Trend, or the last value where there is no trend; nil where nothing was read
	at    trend.Estimate // the mean on the day that is asked about
	doubt note.Note      // why what was read last is not sure, beside its interval; zero for nothing
}

// last is what was read last.
func (f *followed) last() DayMean { return f.Points[len(f.Points)-1] }

// follow takes a season of one variety up.
func follow(season []evidence, on time.Time, variety string, usual Leaning) *following {
	f := &following{season: season, on: on, variety: variety, usual: usual, kept: map[subject]*followed{}}
	for _, e := range season {
		if len(e.sample.Trays) > 0 {
			f.scale = e.scale
		}
		f.unit = e.unit
	}
	return f
}

// evidence is that of the last sample.
func (f *following) evidence() evidence { return f.season[len(f.season)-1] }

// of gives a quantity through the season; nil where it was never read.
func (f *following) of(s subject) *followed {
	if known, ok := f.kept[s]; ok {
		return known
	}
	found := f.collect(s)
	if found != nil {
		found.settle(f)
	}
	f.kept[s] = found
	return found
}

// collect gathers the means of a quantity, without a trend.
func (f *following) collect(s subject) *followed {
	out := followed{Series: Series{Quantity: s.quantity, Unit: s.unit}}
	for _, e := range f.season {
		if found, n := f.mean(e, s); found.known {
			out.Points = append(out.Points, found.point(e.sample.Picked, n))
			out.standards = append(out.standards, found.standard)
			out.doubt = e.failed[s.quantity]
			out.common = found.common // that of the last: it is what blurs the days to come
		}
	}
	if len(out.Points) == 0 {
		return nil
	}
	return &out
}

// mean is one sample's mean of a quantity. Stages and indices on another scale
// than the last are left out: they cannot be drawn on one axis.
func (f *following) mean(e evidence, s subject) (estimate, int) {
	of := func(s Statistic) (estimate, int) { return s.estimate(), s.N }
	switch s.quantity {
	case StageOf:
		if e.scale == f.scale {
			return e.stage.estimate(), e.stage.N
		}
	case StainedOf:
		return of(e.stained)
	case FirmnessOf:
		return of(e.firmness)
	case SolidsOf:
		return of(e.solids)
	case RedOf:
		return of(e.red)
	case GroundOf:
		return of(e.groundOn(s.unit))
	case StreifOf:
		if index := e.streif(s.force); index != nil && e.scale == f.scale {
			return index.estimate(), index.OfFruit.N
		}
	}
	return estimate{}, 0
}

// settle lays a course through the means, or keeps the last of them. Colours
// have none: the red of a block hangs on light and leaves, ground colour on the card.
func (q *followed) settle(f *following) {
	course, ok := f.course(q.Quantity)
	if !ok {
		return
	}
	opt := trend.Options{Common: q.common, Prior: f.usual.on(f.variety, subject{quantity: q.Quantity, unit: q.Unit})}
	if q.Quantity == StageOf {
		opt.Published = publishedRate(f.variety, f.scale)
	}
	samples := q.samples(f.scale)
	fitted, err := trend.Fit(course, samples, opt)
	if err == nil {
		q.Trend, q.keeps = fitted, fitted
	} else {
		q.NoTrend = noTrend(err)
		q.keeps, err = trend.Hold(course, samples[len(samples)-1], opt)
	}
	if err != nil {
		return
	}
	if q.at = q.keeps.At(f.on); q.keeps.Held() {
		q.at.Value = q.last().Mean
	}
	q.at = q.Quantity.possible(q.at)
}

// possible is an estimate with its ends at what the quantity can be: a line through few samples
// leads below nothing. Stages and indices are kept within theirs by their courses.
func (q Quantity) possible(e trend.Estimate) trend.Estimate {
	most := math.Inf(1)
	switch q {
	case StageOf, StreifOf:
		return e
	case SolidsOf, StainedOf, RedOf: // parts of a hundred
		most = 100
	}
	in := func(x float64) float64 { return min(max(x, 0), most) }
	return trend.Estimate{Value: in(e.Value), Low: in(e.Low), High: in(e.High)}
}

func (f *following) course(q Quantity) (trend.Course, bool) {
	switch q {
	case StageOf:
		return trend.Stage(f.scale), true
	case StainedOf:
		return trend.Stage(calibrate.Scale{Stained: 100, Clear: 0, Step: 100 * f.scale.Step / f.scale.Span()}), true
	case FirmnessOf:
		return trend.Falling(), true
	case SolidsOf:
		return trend.Rising(), true
	case StreifOf:
		return trend.Index(), true
	}
	return trend.Course{}, false
}

// samples are the means as a trend takes them. A single fruit tells a mean as
// surely as fruit of a block usually differ.
func (q *followed) samples(scale calibrate.Scale) []trend.Sample {
	var out []trend.Sample
	for i, p := range q.Points {
		s := trend.Sample{Day: p.Day, Value: p.Mean, Standard: q.standards[i], N: p.N}
		if !p.HasInterval {
			s.N, s.Standard = 0, q.Quantity.usualSpread(p.Mean, scale)
		}
		out = append(out, s)
	}
	return out
}

// usualSpread is how much fruit of a block differ, standard deviation. Common
// practice, no source.
func (q Quantity) usualSpread(mean float64, scale calibrate.Scale) float64 {
	switch q {
	case StageOf:
		return scale.Span() / 7
	case StainedOf:
		return 100. / 7
	case StreifOf:
		return mean * 0.3
	}
	return mean * 0.08
}

// noTrend says why no course was laid.
func noTrend(err error) note.Note {
	if errors.Is(err, trend.ErrNoTrend) {
		return note.New("trend.one_day")
	}
	return note.Quote(err.Error())
}

// subjects are all that was read in the season, in the order of a report.
func (f *following) subjects(v Verdict) []subject {
	scale := scaleName(f.scale.Stained, f.scale.Clear)
	out := []subject{
		{quantity: StageOf, unit: scale}, {quantity: StainedOf, unit: percentUnit}, {quantity: FirmnessOf, unit: string(f.unit)},
		{quantity: SolidsOf, unit: brixUnit}, {quantity: RedOf, unit: percentUnit},
	}
	for _, unit := range groundScales(f.season) {
		out = append(out, subject{quantity: GroundOf, unit: unit})
	}
	force := v.streifUnit(f.unit)
	return append(out, subject{StreifOf, streifName(force, scale), force})
}

// series gives every quantity of the block through its samples, with what the
// verdict's standard asks of it. In a brief report only what decided has a trend.
func (f *following) series(v Verdict, brief bool) []Series {
	var out []Series
	for _, s := range f.subjects(v) {
		known := f.kept[s]
		switch {
		case known == nil && brief:
			known = f.collect(s)
		case known == nil:
			known = f.of(s)
		}
		if known == nil {
			continue
		}
		one := known.Series
		one.Opens, one.Closes = v.asks(s.quantity, s.unit)
		out = append(out, one)
	}
	return out
}

// shifted is the season with the mean stage of its last sample moved.
func (f *following) shifted(by float64) *following {
	season := slices.Clone(f.season)
	last := &season[len(season)-1]
	last.stage.Mean = within(last.stage.Mean+by, last.scale)
	out := follow(season, f.on, f.variety, f.usual)
	for s, known := range f.kept {
		if s.quantity != StageOf && s.quantity != StreifOf {
			out.kept[s] = known
		}
	}
	return out
}
