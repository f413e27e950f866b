package scoring

import "traystage/scoring/instrument"

func newtons(f instrument.Force) float64 {
	switch f.Unit {
	case instrument.PoundForce:
		return f.Value * 4.4482216152605
	case instrument.KilogramForce:
		return f.Value * 9.80665
	}
	return f.Value
}

func meanFirmness(f *instrument.Firmness, unit instrument.Unit) *float64 {
	if f == nil || len(f.Sides) == 0 {
		return nil
	}
	sum := 0.0
	for _, side := range f.Sides {
		if side.Unit == unit {
			sum += side.Value
		} else {
			sum += newtons(side) / newtons(instrument.Force{Value: 1, Unit: unit})
		}
	}
	mean := sum / float64(len(f.Sides))
	return &mean
}

func solidsAt20(s *instrument.Solids) *float64 {
	if s == nil {
		return nil
	}
	return &s.Brix
}
