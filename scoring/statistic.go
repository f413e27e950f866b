package scoring

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// value is what one fruit gives to a statistic.
type value struct {
	fruit int
	v     float64
}

// describe gives the statistic of the values with the 90 % interval of their
// mean; common is the standard uncertainty that all of them share. The ends of
// the interval stay within those that the quantity can take.
func describe(q Quantity, unit string, values []value, common Common) Statistic {
	s := Statistic{Quantity: q, Unit: unit, N: len(values), common: common.Standard}
	switch s.N {
	case 0:
		return s
	case 1:
		s.Mean = values[0].v
		return s
	}
	s.Mean, s.SD = meanSD(values)
	width := meanInterval(s.SD, s.N, common, Confidence)
	s.Low, s.High = max(s.Mean-width, 0), s.Mean+width
	if unit == percentUnit {
		s.High = min(s.High, 100)
	}
	s.Outlier = findOutlier(values, s.Mean, s.SD, ends(q, unit))
	return s
}

// ends are those of the scale that a quantity is read on.
func ends(q Quantity, unit string) bounds {
	switch {
	case unit == percentUnit:
		return percentBounds
	case q == GroundOf:
		return boundsOf(unit)
	}
	return bounds{}
}

// meanSD is the mean and the sample standard deviation of two values or more.
func meanSD(values []value) (mean, sd float64) {
	plain := make([]float64, len(values))
	for i, v := range values {
		plain[i] = v.v
	}
	return stat.MeanStdDev(plain, nil)
}

const (
	percentUnit = "%"
	brixUnit    = "°Brix"
)

// collect gives the values of a quantity over the rows, without those that are
// not known.
func collect(rows []Row, of func(Row) *float64) []value {
	var out []value
	for _, r := range rows {
		if v := of(r); v != nil {
			out = append(out, value{r.Fruit, *v})
		}
	}
	return out
}

// stainedShare describes the measured share of stained flesh, per cent. A
// person's stage does not change it.
//
// Plates give stages and not shares, so no error of theirs is in it.
func stainedShare(rows []Row) Statistic {
	values := collect(rows, func(r Row) *float64 {
		if r.Half == nil || r.Half.Clipped || !r.Half.Unscored.IsZero() {
			return nil
		}
		share := 100 * r.Half.Stained
		return &share
	})
	return describe(StainedOf, percentUnit, values, Common{})
}

// estimate is a mean with its 90 % interval, where it has one.
type estimate struct {
	known       bool
	value       float64
	hasInterval bool
	low, high   float64
	standard    float64 // standard uncertainty from this sample alone
	common      float64 // and that which all samples on a set share
}

func (s Statistic) estimate() estimate {
	e := estimate{known: s.N > 0, value: s.Mean, hasInterval: s.HasInterval(), low: s.Low, high: s.High, common: s.common}
	if e.hasInterval {
		e.standard = s.SD / math.Sqrt(float64(s.N))
	}
	return e
}

func (s Summary) estimate() estimate {
	return estimate{s.N > 0, s.Mean, s.HasInterval(), s.Low, s.High, s.Sampling, s.Common}
}

// component is one independent part of a relative error.
type component struct {
	u       float64 // relative standard uncertainty
	freedom float64 // degrees of freedom; 0 when taken as known
}

// relativeInterval is the half width, as a part of the value, of the interval of
// a product or quotient whose relative error has these parts.
//
// Source: JCGM 100:2008 (GUM), 5.1.6 (products), G.4.1 (degrees of freedom).
func relativeInterval(parts []component, confidence float64) float64 {
	var u2, perFreedom float64
	for _, p := range parts {
		u2 += p.u * p.u
		if p.freedom > 0 {
			perFreedom += math.Pow(p.u, 4) / p.freedom
		}
	}
	if u2 == 0 {
		return 0
	}
	return tQuantile(0.5+confidence/2, u2*u2/perFreedom) * math.Sqrt(u2)
}
