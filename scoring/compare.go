package scoring

import (
	"fmt"
	"slices"
	"time"

	"traystage/scoring/instrument"
	"traystage/scoring/trend"
)

// Year is one block's season, to be laid beside others of it.
type Year struct {
	Season  string // as the grower calls it
	Block   Block
	Bloom   time.Time // day of full bloom, midnight UTC; zero when it is not known
	Samples []Sample  // of the season; those of other blocks are left out
	Checks  []instrument.Check
}

// Comparison lays a block's curves of this year over those of earlier seasons.
type Comparison struct {
	Block Block
	// FromBloom says that days count from full bloom, which all seasons have a day
	// of; else they count from the beginning of the year.
	FromBloom  bool
	Quantities []Compared
}

// Compared is one quantity through the seasons.
type Compared struct {
	Quantity Quantity
	Unit     string
	Value    float64     // where this year stands at its last sample
	Years    []YearCurve // this year first, then as they were given; those that know the quantity
}

// YearCurve is a quantity through one season.
type YearCurve struct {
	Season  string
	Points  []YearPoint
	HasRate bool           // false for samples of one day: then what follows means nothing
	Rate    trend.Estimate // units a day, in the middle of the season's samples
	// Reached is the day on which the season stood where this year stands at its last
	// sample; Low and High are its 90 % interval. Known is false where it never did
	// while it was followed.
	Known              bool
	Reached, Low, High float64
	Ahead              float64 // days that this year is ahead of the season; negative behind, 0 for this year
}

// YearPoint is one sample's mean.
type YearPoint struct {
	Day float64 // from full bloom, or from the beginning of the year
	DayMean
}

// Compare lays this year over earlier seasons of the same block. Stages on
// another scale than this year's are left out.
func Compare(now Year, earlier []Year) (Comparison, error) {
	years := append([]Year{now}, earlier...)
	out := Comparison{Block: now.Block, FromBloom: !slices.ContainsFunc(years, func(y Year) bool { return y.Bloom.IsZero() })}
	var seasons []*following
	for _, y := range years {
		f, err := y.follow(now)
		if err != nil {
			return out, err
		}
		seasons = append(seasons, f)
	}
	if seasons[0] == nil {
		return out, fmt.Errorf("block %s: it has no sample this season, so there is nothing to compare", now.Block.Name)
	}
	for _, s := range seasons[0].subjects(Verdict{}) {
		if c, ok := out.compare(s, years, seasons); ok {
			out.Quantities = append(out.Quantities, c)
		}
	}
	return out, nil
}

// follow takes the season up; nil where the block has no sample in it. Firmness is
// in this year's unit.
func (y Year) follow(now Year) (*following, error) {
	samples := ofBlock(y.Samples, y.Block.Name, lastDay(y.Samples))
	if len(samples) == 0 {
		return nil, nil
	}
	unit := lastUnit(ofBlock(now.Samples, now.Block.Name, lastDay(now.Samples)))
	pressed := pressingError(samples, y.Checks, unit)
	var all []evidence
	for _, s := range samples {
		e, err := examine(s, unit, pressed, 0)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", y.Season, err)
		}
		all = append(all, e)
	}
	return follow(all, samples[len(samples)-1].Picked, y.Block.Variety, Leaning{}), nil
}

func (c Comparison) compare(s subject, years []Year, seasons []*following) (Compared, bool) {
	out := Compared{Quantity: s.quantity, Unit: s.unit}
	first := seasons[0].of(s)
	if _, ok := seasons[0].course(s.quantity); first == nil || !ok {
		return out, false
	}
	out.Value = first.at.Value
	var today float64
	for i, f := range seasons {
		if f == nil || f.scale != seasons[0].scale && (s.quantity == StageOf || s.quantity == StreifOf) {
			continue
		}
		known := f.of(s)
		if known == nil {
			continue
		}
		curve := c.curve(years[i], known, out.Value)
		if i == 0 {
			today = curve.Points[len(curve.Points)-1].Day
			curve.Known, curve.Reached, curve.Low, curve.High = true, today, today, today
		} else {
			curve.Ahead = curve.Reached - today
		}
		out.Years = append(out.Years, curve)
	}
	return out, len(out.Years) > 1
}

func (c Comparison) curve(y Year, known *followed, value float64) YearCurve {
	out := YearCurve{Season: y.Season}
	for _, p := range known.Points {
		out.Points = append(out.Points, YearPoint{c.day(y, p.Day), p})
	}
	if known.Trend == nil {
		return out
	}
	middle := known.Points[0].Day.Add(known.last().Day.Sub(known.Points[0].Day) / 2)
	out.HasRate, out.Rate = true, known.Trend.Rate(middle)
	if f, err := known.Trend.Forecast(value); err == nil && f.Reach == trend.Reached && !f.Low.IsZero() && !f.High.IsZero() {
		out.Known, out.Reached, out.Low, out.High = true, c.day(y, f.Day), c.day(y, f.Low), c.day(y, f.High)
	}
	return out
}

// day counts a day from full bloom, or from the beginning of its year.
func (c Comparison) day(y Year, day time.Time) float64 {
	from := y.Bloom
	if !c.FromBloom {
		from = time.Date(y.Samples[0].Picked.Year(), time.January, 1, 0, 0, 0, 0, time.UTC)
	}
	return day.Sub(from).Hours() / 24
}
