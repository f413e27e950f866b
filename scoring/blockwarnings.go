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
		r.noTrend(),
		fewRead(e.pressed),
		fewRead(e.solids),
	} {
		if text != "" {
			out = append(out, text)
		}
	}
	if text := unread(e); text != "" {
		out = append(out, text)
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
	for _, reading := range e.sample.Readings {
		if err := reading.Plausible(); err != nil {
			out = append(out, fmt.Sprintf("%v; it is in the mean all the same", err))
		}
	}
	for _, remark := range instrument.Remarks(e.sample.Readings) {
		out = append(out, remark.String())
	}
	return append(out, instrument.CheckRemarks(e.sample.tested(), r.Checks, e.sample.Readings)...)
}

// unread names the fruit that nothing was read off though others were.
func unread(e evidence) string {
	var without []int
	for _, row := range e.rows {
		if row.Reading == nil {
			without = append(without, row.Fruit)
		}
	}
	if len(without) == 0 || len(e.sample.Readings) == 0 {
		return ""
	}
	return fmt.Sprintf("no readings were entered for fruit %s", Numbers(without))
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

// noTrend says why there is no window, where a standard asks for one.
func (r BlockReport) noTrend() string {
	if r.Verdict.Standard == nil || r.Window != nil {
		return ""
	}
	for _, s := range r.Season {
		if s.NoTrend != "" && (s.Opens.Set || s.Closes.Set) {
			return s.NoTrend
		}
	}
	return ""
}

func fewRead(s Statistic) string {
	if s.N == 0 || s.N >= FewestFruit {
		return ""
	}
	return fmt.Sprintf("only %d readings of %s; read at least %d fruit", s.N, s.Quantity, FewestFruit)
}
