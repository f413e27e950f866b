package scoring

import (
	"slices"

	"traystage/calibrate"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// evidence is what one sample says, as a standard can be held against it.
type evidence struct {
	sample Sample
	sets   []Reference // each set and version once
	rows   []Row

	scale   calibrate.Scale // of the stages; zero when no half was measured
	common  Common          // error that all stages share
	stage   Summary
	stained Statistic

	unit     instrument.Unit // of firmness
	firmness Statistic       // N is 0 when none was read with the tip that standards are for
	pressed  Statistic       // firmness as it was read, with whatever tip
	solids   Statistic
	red      Statistic
	ground   []Statistic // one for each scale that was used

	failed map[Quantity]note.Note // instruments that failed their check, by what was read with them
}

// checked keeps which instruments had failed their last check on the day.
func (e *evidence) checked(checks []instrument.Check) {
	press, prism := instrument.Failed(instrument.CheckWeight, e.sample.tested(), checks), instrument.Failed(instrument.ZeroWater, e.sample.tested(), checks)
	e.failed = map[Quantity]note.Note{FirmnessOf: press, SolidsOf: prism, StreifOf: press}
	if press.IsZero() {
		e.failed[StreifOf] = prism
	}
}

// examine joins a sample and describes what was found on its fruit; pressed is
// the error that all firmness of the season shares.
func examine(s Sample, unit instrument.Unit, pressed Common, wanted float64) (evidence, error) {
	e := evidence{sample: s, sets: sets(s), unit: unit}
	ref, err := combine(s, e.sets)
	if err != nil {
		return evidence{}, err
	}
	if e.rows, err = join(s); err != nil {
		return evidence{}, err
	}
	for i := range e.rows {
		e.rows[i].fill(unit, hasStreif(ref.Scale))
		if f := e.rows[i].Half; f != nil && f.Overridden() && !ref.Scale.Contains(f.Review.Stage) {
			return evidence{}, s.errorf("fruit %d was given stage %g, which is not on the scale %s; override it again",
				f.Number, f.Review.Stage, scaleName(ref.Scale.Stained, ref.Scale.Clear))
		}
	}
	e.scale, e.common = ref.Scale, ref.Common
	if len(s.Trays) > 0 {
		e.stage = Summarize(s.Fruit(), ref, wanted)
		e.stained = stainedShare(e.rows)
	}
	e.pressed = describe(FirmnessOf, string(unit), collect(e.rows, func(r Row) *float64 { return r.Firmness }), pressed)
	if !e.otherTip() {
		e.firmness = e.pressed
	}
	e.solids = describe(SolidsOf, brixUnit, collect(e.rows, func(r Row) *float64 { return r.Solids }), Common{})
	e.red = describe(RedOf, percentUnit, collect(e.rows, func(r Row) *float64 { return r.Red }), Common{})
	e.ground = e.groundColour()
	return e, nil
}

// groundColour describes the ground colour on each scale that was used.
func (e evidence) groundColour() []Statistic {
	var scales []string
	for _, r := range e.rows {
		if r.Ground != nil && !slices.Contains(scales, r.Reading.Ground.Scale) {
			scales = append(scales, r.Reading.Ground.Scale)
		}
	}
	var out []Statistic
	for _, scale := range scales {
		onIt := collect(e.rows, func(r Row) *float64 {
			if r.Ground == nil || r.Reading.Ground.Scale != scale {
				return nil
			}
			return r.Ground
		})
		out = append(out, describe(GroundOf, scale, onIt, Common{}))
	}
	return out
}

// statistics are those of what was read, in the order of a report.
func (e evidence) statistics() []Statistic {
	var out []Statistic
	for _, s := range append([]Statistic{e.pressed, e.solids, e.red}, e.ground...) {
		if s.N > 0 {
			out = append(out, s)
		}
	}
	return out
}

// otherTip says whether a fruit was pressed with another tip than standards are
// for.
func (e evidence) otherTip() bool {
	return slices.ContainsFunc(e.rows, func(r Row) bool {
		return r.Firmness != nil && instrument.CheckTip(r.Reading.Firmness.Tip) != nil
	})
}

func (e evidence) whyNoFirmness() note.Note {
	if e.pressed.N > 0 {
		return note.New("unjudged.other_tip")
	}
	return note.New("unjudged.no_firmness")
}

// sets gives each reference set and version of the sample's trays once.
func sets(s Sample) []Reference {
	var out []Reference
	for _, t := range s.Trays {
		if !slices.ContainsFunc(out, t.Reference.same) {
			out = append(out, t.Reference)
		}
	}
	return out
}

// same says whether two references are one version of one set.
func (r Reference) same(other Reference) bool {
	return r.Name == other.Name && r.Version == other.Version && r.Scale == other.Scale
}

// combine gives what holds for all stages of a sample scored on these sets: they
// are calibrated if all are, and as uncertain as the worst.
func combine(s Sample, sets []Reference) (Reference, error) {
	if len(sets) == 0 {
		return Reference{}, nil
	}
	all := sets[0]
	for _, r := range sets[1:] {
		if r.Scale.Stained != all.Scale.Stained || r.Scale.Clear != all.Scale.Clear {
			return Reference{}, s.errorf("its trays were scored on the scales %s and %s, which have no common mean; score them again on one set",
				scaleName(all.Scale.Stained, all.Scale.Clear), scaleName(r.Scale.Stained, r.Scale.Clear))
		}
		all.Calibrated = all.Calibrated && r.Calibrated
		if r.Common.Standard > all.Common.Standard {
			all.Common = r.Common
		}
	}
	return all, nil
}
