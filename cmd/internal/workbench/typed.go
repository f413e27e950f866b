package workbench

import (
	"fmt"

	"traystage/cmd/internal/fault"
	"traystage/scoring/instrument"
)

// Typed is what somebody typed of one fruit, as the keys were pressed.
type Typed struct {
	Fruit    int
	Firmness string   // sides parted by slashes, such as 17.2/16.8 lbf
	Brix     string   // with the juice's temperature where it was read, such as 12.4@18C
	Red      *float64 // per cent
	Ground   *float64 // on the scale of the options
	Note     string
}

// Reading makes a reading of it. What cannot be that of an apple is refused unless
// the options take it.
func (t Typed) Reading(opt instrument.Options) (instrument.Reading, error) {
	r := instrument.Reading{Fruit: t.Fruit, Note: t.Note, Red: t.Red}
	if t.Firmness != "" {
		f, err := instrument.ParseFirmness(t.Firmness, opt.Unit)
		if err != nil {
			return r, fault.Usage{Err: err}
		}
		f.Tip = opt.Tip
		if f.Tip == 0 {
			f.Tip = instrument.AppleTip
		}
		if err := instrument.CheckTip(f.Tip); err != nil && !opt.AnyTip {
			return r, err
		}
		r.Firmness = &f
	}
	if t.Brix != "" {
		s, err := instrument.ParseSolids(t.Brix)
		if err != nil {
			return r, fault.Usage{Err: err}
		}
		s.Compensated = opt.Compensated
		r.Solids = &s
	}
	if t.Ground != nil {
		r.Ground = &instrument.Ground{Score: *t.Ground, Scale: opt.Scale}
	}
	if err := r.Plausible(); err != nil && !opt.Implausible {
		return r, fmt.Errorf("%w; --implausible takes it all the same", err)
	}
	return r, nil
}
