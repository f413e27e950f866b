package scoring

import "traystage/calibrate"

// StageTargets gives the stages on a scale at which the verdict on a block turns:
// the ends of what the standard of its market asks. It is empty where there is
// none, or it is on another scale.
func StageTargets(block Block, standards []Standard, scale calibrate.Scale) []float64 {
	rows, _ := ofVariety(standards, block.Variety)
	own := rowFor(rows, block.Market)
	if own == nil || !own.isScale(scale) {
		return nil
	}
	var out []float64
	for _, limit := range []Limit{own.Opens, own.Closes} {
		if limit.Set {
			out = append(out, limit.Value)
		}
	}
	return out
}
