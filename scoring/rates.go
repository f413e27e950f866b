package scoring

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"traystage/scoring/instrument"
	"traystage/scoring/trend"
)

// UsualRate is how fast a grower's blocks of one variety usually go, learnt from
// closed seasons.
type UsualRate struct {
	Variety  string
	Quantity Quantity // StageOf, FirmnessOf or SolidsOf
	Unit     string   // scale of stages, such as "1-8"; "lbf"; "°Brix"
	// PerDay is the rate, units a day with the sign of the change; of stages half
	// way, where it is fastest.
	PerDay float64
	// Spread is the standard deviation of the logarithm of the rate from block to
	// block and year to year: 0.3 is a third more or less.
	Spread          float64
	Blocks, Seasons int // behind it: blocks of one season each
}

// Closed is what is learnt from: the blocks of a season that is over, with their samples.
type Closed struct {
	Name    string
	Blocks  []Block
	Samples []Sample
	Checks  []instrument.Check
}

// learnt is the rate of one block in one season.
type learnt struct {
	season        string
	log, variance float64 // of the rate
	sign          float64
}

// rateKey is what rates are pooled over.
type rateKey struct {
	variety  string // as plain makes it
	quantity Quantity
	unit     string
}

// LearnRates pools the rates of all blocks of closed seasons by variety and
// quantity, in the order of their names. Blocks sampled on one day only, or
// whose samples cannot be read together, teach nothing: skipped names them.
func LearnRates(seasons []Closed) (rates []UsualRate, skipped []string) {
	found := map[rateKey][]learnt{}
	names := map[string]string{}
	for _, s := range seasons {
		for _, b := range s.Blocks {
			season := ofBlock(s.Samples, b.Name, lastDay(s.Samples))
			taught := false
			for key, one := range blockRates(b, season, s.Checks) {
				one.season = s.Name
				found[key] = append(found[key], one)
				names[key.variety] = b.Variety
				taught = true
			}
			if !taught {
				skipped = append(skipped, s.Name+": "+b.Name)
			}
		}
	}
	for key, all := range found {
		rates = append(rates, pool(key, names[key.variety], all))
	}
	slices.SortFunc(rates, func(a, b UsualRate) int {
		return cmp.Or(cmp.Compare(a.Variety, b.Variety), cmp.Compare(a.Quantity, b.Quantity), cmp.Compare(a.Unit, b.Unit))
	})
	return rates, skipped
}

// blockRates are those of one block's season.
func blockRates(b Block, season []Sample, checks []instrument.Check) map[rateKey]learnt {
	out := map[rateKey]learnt{}
	if len(season) == 0 || b.Variety == "" {
		return out
	}
	all := make([]evidence, len(season))
	pressed := pressingError(season, checks, instrument.PoundForce)
	for i, s := range season {
		var err error
		if all[i], err = examine(s, instrument.PoundForce, pressed, 0); err != nil {
			return out
		}
	}
	f := follow(all, season[len(season)-1].Picked, b.Variety, Leaning{})
	for _, s := range []subject{
		{quantity: StageOf, unit: scaleName(f.scale.Stained, f.scale.Clear)},
		{quantity: FirmnessOf, unit: string(instrument.PoundForce)}, {quantity: SolidsOf, unit: brixUnit},
	} {
		known := f.collect(s)
		course, ok := f.course(s.quantity)
		if known == nil || !ok {
			continue
		}
		rate, spread, err := trend.Pace(course, known.samples(f.scale), trend.Options{Common: known.common})
		if err != nil {
			continue
		}
		out[rateKey{plain(b.Variety), s.quantity, s.unit}] = learnt{log: math.Log(math.Abs(rate)), variance: spread * spread, sign: math.Copysign(1, rate)}
	}
	return out
}

// What blocks and years are taken to differ by before there are blocks enough to
// tell, and how many blocks that counts for. Common practice, no source.
const (
	usualApart  = 0.3 // of the logarithm of the rate
	apartCounts = 3
)

// pool is the random-effects mean of the logarithms of rates, and how far the
// next block may lie from it.
//
// Source: R. DerSimonian, N. Laird, Meta-analysis in clinical trials, Controlled
// Clinical Trials 7, 1986, for the variance between blocks.
func pool(key rateKey, variety string, all []learnt) UsualRate {
	between := betweenBlocks(all)
	sum, weights := 0.0, 0.0
	var seasons []string
	for _, l := range all {
		w := 1 / (l.variance + between)
		sum += w * l.log
		weights += w
		if !slices.Contains(seasons, l.season) {
			seasons = append(seasons, l.season)
		}
	}
	return UsualRate{
		Variety: variety, Quantity: key.quantity, Unit: key.unit,
		PerDay: all[0].sign * math.Exp(sum/weights), Spread: math.Sqrt(between + 1/weights),
		Blocks: len(all), Seasons: len(seasons),
	}
}

// betweenBlocks is the variance of the logarithm of the rate from block to block.
func betweenBlocks(all []learnt) float64 {
	var w, wy, ww float64
	for _, l := range all {
		w += 1 / l.variance
		wy += l.log / l.variance
		ww += 1 / l.variance / l.variance
	}
	q := 0.0
	for _, l := range all {
		q += (l.log - wy/w) * (l.log - wy/w) / l.variance
	}
	k := float64(len(all))
	moments := 0.0
	if k > 1 {
		moments = max((q-(k-1))/(w-ww/w), 0)
	}
	return ((k-1)*moments + apartCounts*usualApart*usualApart) / (k - 1 + apartCounts)
}

// Leaning says what rates trends lean on, marked where they are used. The zero
// Leaning lets samples stand alone.
type Leaning struct {
	Stage *trend.Prior // a rate of the stage given by hand; it comes first
	Rates []UsualRate
}

// on is the usual rate of a quantity; nil for none.
func (l Leaning) on(variety string, s subject) *trend.Prior {
	if s.quantity == StageOf && l.Stage != nil {
		return l.Stage
	}
	for _, r := range l.Rates {
		rate, ok := r.in(s)
		if !ok || plain(r.Variety) != plain(variety) {
			continue
		}
		return &trend.Prior{
			Rate: rate, Standard: math.Abs(rate) * math.Sqrt(math.Expm1(r.Spread*r.Spread)),
			From: fmt.Sprintf("%d blocks of %d closed seasons", r.Blocks, r.Seasons),
		}
	}
	return nil
}

// in is the rate in the unit of a subject; false where it is of something else.
func (r UsualRate) in(s subject) (float64, bool) {
	if r.Quantity != s.quantity {
		return 0, false
	}
	if r.Quantity == FirmnessOf {
		from, err := instrument.ParseUnit(r.Unit)
		to, err2 := instrument.ParseUnit(s.unit)
		return instrument.Force{Value: r.PerDay, Unit: from}.In(to), err == nil && err2 == nil
	}
	return r.PerDay, r.Unit == s.unit
}

// lastDay is the day of the last sample.
func lastDay(samples []Sample) time.Time {
	var last time.Time
	for _, s := range samples {
		if s.Picked.After(last) {
			last = s.Picked
		}
	}
	return last
}
