package scoring

import (
	"fmt"
	"math"

	"traystage/calibrate"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// streifIndex is firmness / (soluble solids × stage), in the unit of the
// firmness. It falls as fruit ripen.
//
// Source: J. Streif, Optimum harvest date for different apple cultivars in the
// Bodensee area, 1996, as cited by the guides in testdata/checks/streif.csv.
func streifIndex(firmness, brix, stage float64) float64 { return firmness / (brix * stage) }

// hasStreif says whether the index means anything on the scale: it divides by
// the stage, which must rise as starch goes and begin above 0.
func hasStreif(scale calibrate.Scale) bool { return scale.Stained > 0 && scale.Clear > scale.Stained }

// streif gives the sample's index in a unit; nil when it cannot be had.
func (e evidence) streif(unit instrument.Unit) *Streif {
	if !hasStreif(e.scale) || e.stage.N == 0 || e.firmness.N == 0 || e.solids.N == 0 {
		return nil
	}
	factor := instrument.Force{Value: 1, Unit: e.unit}.In(unit)
	s := Streif{Unit: unit, Scale: e.scale}
	s.OfMeans = streifIndex(factor*e.firmness.Mean, e.solids.Mean, e.stage.Mean)
	s.OfFruit = describe(StreifOf, streifName(unit, scaleName(e.scale.Stained, e.scale.Clear)), e.eachStreif(factor), Common{})
	if sampling, ok := e.streifSampling(); ok {
		shared := component{math.Hypot(e.common.Standard/e.stage.Mean, e.firmness.common/e.firmness.Mean), e.common.Freedom}
		width := s.OfMeans * relativeInterval([]component{sampling, shared}, Confidence)
		s.standard, s.common = s.OfMeans*sampling.u, s.OfMeans*shared.u
		s.HasInterval, s.Low, s.High = true, max(s.OfMeans-width, 0), s.OfMeans+width
	}
	return &s
}

// streifSampling is the relative standard uncertainty of the index of means from
// sampling and independent measuring error, from the fruit of which all three
// are known; false with fewer than two. Ripe fruit are soft, sweet and clear at
// once, so the three errors add up and must not be taken as independent: each
// fruit gives the first-order change of the index,
//
//	firmness/mean - solids/mean - stage/mean
//
// and the scatter of these holds the correlations.
//
// Source: JCGM 100:2008 (GUM), 5.2.2, for products of correlated quantities.
func (e evidence) streifSampling() (component, bool) {
	var changes []value
	for _, r := range e.rows {
		if r.Streif != nil {
			change := *r.Firmness/e.firmness.Mean - *r.Solids/e.solids.Mean - r.Half.Stage()/e.stage.Mean
			changes = append(changes, value{r.Fruit, change})
		}
	}
	n := float64(len(changes))
	if n < 2 {
		return component{}, false
	}
	_, sd := meanSD(changes)
	return component{sd / math.Sqrt(n), n - 1}, true
}

func (e evidence) eachStreif(factor float64) []value {
	var out []value
	for _, r := range e.rows {
		if r.Streif != nil {
			out = append(out, value{r.Fruit, factor * *r.Streif})
		}
	}
	return out
}

// whyNoStreif says why the row's index cannot be held against a block whose
// stages are on a scale: it says in which unit, and on which scale of starch.
func (s Standard) whyNoStreif(scale calibrate.Scale) note.Note {
	switch {
	case s.StreifUnit == "":
		return note.New("unjudged.streif_unit")
	case s.Scale == "":
		return note.New("unjudged.streif_scale")
	case scale.Span() > 0 && !s.isScale(scale):
		return note.New("unjudged.streif_other_scale", note.Name("standard", s.Scale), note.Name("block", scaleName(scale.Stained, scale.Clear)))
	}
	return note.Note{}
}

// estimate is that of the index of means.
func (s Streif) estimate() estimate {
	return estimate{true, s.OfMeans, s.HasInterval, s.Low, s.High, s.standard, s.common}
}

func streifName(unit instrument.Unit, scale string) string {
	return fmt.Sprintf("%s, %s", unit, scale)
}

// streifDecimals: in kgf the index is near 0.1, in N near 1.
func streifDecimals(unit instrument.Unit) int {
	if unit == instrument.KilogramForce {
		return 3
	}
	return 2
}
