package scoring

import (
	"fmt"
	"slices"
	"time"

	"traystage/scoring/instrument"
)

const (
	// leastWait: the pattern is not there at once.
	// Source: KOB Bavendorf, Erntebestimmung von Äpfeln nach Streif (1 to 2 minutes).
	leastWait = time.Minute
	// oldSample: a block that is sampled once or twice a week has moved on by then.
	// Common practice, no source.
	oldSample = 7
	// oldCheck: instruments are checked at least once a week of testing.
	// Common practice, no source.
	oldCheck = 7
)

// warnings says in words what the reader of a block report must know beside its
// verdict: first what touches the stages, then the fruit, then the instruments.
func (r BlockReport) warnings(season []evidence) []string {
	e := season[len(season)-1]
	out := slices.Clone(e.stage.Warnings)
	for _, text := range []string{
		noStages(e),
		mixedSets(season),
		agedFruit(e.sample),
		youngStain(e.sample),
		staleSample(e.sample, r.Origin.Day),
		wrongTip(e),
		oneSide(e),
		fewRead(e.pressed),
		fewRead(e.solids),
	} {
		if text != "" {
			out = append(out, text)
		}
	}
	for _, t := range e.sample.Trays {
		for _, remark := range t.Remarks {
			out = append(out, fmt.Sprintf("photo %s: %s", t.Photo, remark.Text))
		}
	}
	for _, s := range r.Statistics {
		if s.Outlier != nil {
			out = append(out, fmt.Sprintf("fruit %d stands apart from the rest in %s; it is in the mean all the same: look whether it was read rightly",
				s.Outlier.Number, s.Quantity))
		}
	}
	if e.pressed.N > 0 {
		out = append(out, r.unchecked(instrument.CheckWeight, "penetrometer", "a known weight")...)
	}
	if e.solids.N > 0 {
		out = append(out, r.unchecked(instrument.ZeroWater, "refractometer", "purified water")...)
	}
	return out
}

func noStages(e evidence) string {
	if len(e.sample.Trays) > 0 {
		return ""
	}
	return "no tray was photographed, so no stage is known"
}

// mixedSets warns when the samples of a season, or the trays of one, were scored
// on more than one set or version.
func mixedSets(season []evidence) string {
	var names []string
	for _, e := range season {
		for _, ref := range e.sets {
			name := fmt.Sprintf("%s version %s (%s)", ref.Name, ref.Version, scaleName(ref.Scale.Stained, ref.Scale.Clear))
			if !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	if len(names) < 2 {
		return ""
	}
	return fmt.Sprintf("the block's stages of this season come from %d reference sets, %s: score the trays again on one, or the trend is partly that of the sets",
		len(names), list(names))
}

func agedFruit(s Sample) string {
	days := daysBetween(s.Picked, s.tested())
	if days <= 1 {
		return ""
	}
	return fmt.Sprintf("the fruit were %d days old when they were tested: starch goes on clearing after picking, so the block is behind its mean", days)
}

func youngStain(s Sample) string {
	if s.Wait <= 0 || s.Wait >= leastWait {
		return ""
	}
	return fmt.Sprintf("the stain was %d s old when it was photographed: wait at least a minute, or starch reads as clear", int(s.Wait.Seconds()))
}

func staleSample(s Sample, today time.Time) string {
	days := daysBetween(s.Picked, today)
	if days <= oldSample {
		return ""
	}
	return fmt.Sprintf("the last sample is %d days old: take another before you decide", days)
}

func wrongTip(e evidence) string {
	fruit := e.otherTips()
	if len(fruit) == 0 {
		return ""
	}
	if len(fruit) == 1 {
		return fmt.Sprintf("fruit %d was pressed with another tip than 11 mm: firmness is shown but not held against the standard", fruit[0])
	}
	return fmt.Sprintf("fruit %s were pressed with another tip than 11 mm: firmness is shown but not held against the standard", Numbers(fruit))
}

// oneSide warns of fruit pressed on one side only: sun and shade side differ.
func oneSide(e evidence) string {
	var fruit []int
	for _, r := range e.rows {
		if r.Firmness != nil && len(r.Reading.Firmness.Sides) < 2 {
			fruit = append(fruit, r.Fruit)
		}
	}
	switch {
	case len(fruit) == 0:
		return ""
	case len(fruit) == e.pressed.N:
		return "every fruit was pressed on one side only: press two opposite sides"
	case len(fruit) == 1:
		return fmt.Sprintf("fruit %d was pressed on one side only: press two opposite sides", fruit[0])
	}
	return fmt.Sprintf("fruit %s were pressed on one side only: press two opposite sides", Numbers(fruit))
}

func fewRead(s Statistic) string {
	if s.N == 0 || s.N >= FewestFruit {
		return ""
	}
	return fmt.Sprintf("only %d readings of %s; read at least %d fruit", s.N, s.Quantity, FewestFruit)
}

// unchecked warns when an instrument was not checked, or not lately, before the
// sample was tested.
func (r BlockReport) unchecked(kind instrument.CheckKind, name, against string) []string {
	for _, c := range r.Checks {
		if c.Kind != kind {
			continue
		}
		if days := daysBetween(c.Day, r.Sample.tested()); days > oldCheck {
			return []string{fmt.Sprintf("the %s was last checked with %s %d days before the test: check it every week of testing", name, against, days)}
		}
		return nil
	}
	return []string{fmt.Sprintf("no check of the %s with %s is recorded before the test", name, against)}
}
