package scoring

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"traystage/calibrate"
	"traystage/scoring/instrument"
)

// Prefer joins two tables of standards: where both have a row for a variety and
// market, the grower's own counts. Own rows come first.
func Prefer(own, shipped []Standard) []Standard {
	out := slices.Clone(own)
	for _, s := range shipped {
		if !slices.ContainsFunc(own, func(o Standard) bool { return o.key() == s.key() }) {
			out = append(out, s)
		}
	}
	return out
}

// key is equal for rows on the same variety and market.
func (s Standard) key() string { return plain(s.Variety) + "\n" + plain(s.Market) }

// plain is a name without what people write now so, now so: capitals, hyphens
// and spaces.
func plain(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(name, "-", " "))), " ")
}

// ofVariety gives the rows that hold for a variety: its own, or the general ones
// when it has none.
func ofVariety(standards []Standard, variety string) (rows []Standard, general bool) {
	for _, name := range []string{plain(variety), AnyVariety} {
		for _, s := range standards {
			if plain(s.Variety) == name {
				rows = append(rows, s)
			}
		}
		if len(rows) > 0 {
			return rows, name == AnyVariety
		}
	}
	return nil, false
}

// Markets lists the markets that there are standards of for a variety, each once,
// in the order of the table.
func Markets(variety string, standards []Standard) []string {
	rows, _ := ofVariety(standards, variety)
	var out []string
	for _, row := range rows {
		if !slices.Contains(out, row.Market) {
			out = append(out, row.Market)
		}
	}
	return out
}

// Scales of the share of the flesh, per cent, beside those of stages.
const (
	percentStained = "percent stained"
	percentClear   = "percent clear"
)

// canonicalScale writes "1 to 8" and "1–8" as "1-8", "% stained" as "percent
// stained"; the name of a chart stays as it is.
func canonicalScale(text string) string {
	words := strings.Fields(strings.ToLower(strings.ReplaceAll(text, "%", " percent ")))
	switch name := strings.Join(words, " "); name {
	case percentStained, percentClear:
		return name
	}
	ends := strings.FieldsFunc(strings.ReplaceAll(strings.ToLower(text), "to", "-"), func(r rune) bool {
		return r == '-' || r == '–' || r == ' '
	})
	if len(ends) != 2 {
		return text
	}
	from, err1 := strconv.ParseFloat(ends[0], 64)
	to, err2 := strconv.ParseFloat(ends[1], 64)
	if err := errors.Join(err1, err2); err != nil || from < 0 || to < 0 {
		return text
	}
	return scaleName(from, to)
}

func scaleName(stained, clear float64) string { return fmt.Sprintf("%g-%g", stained, clear) }

// ends gives the all stained and the clear end of the row's scale; false when it
// is a chart whose ends are not told.
func (s Standard) ends() (stained, clear float64, ok bool) {
	switch s.Scale {
	case percentStained:
		return 100, 0, true
	case percentClear:
		return 0, 100, true
	}
	from, to, found := strings.Cut(s.Scale, "-")
	stained, err1 := strconv.ParseFloat(from, 64)
	clear, err2 := strconv.ParseFloat(to, 64)
	return stained, clear, found && err1 == nil && err2 == nil && stained != clear
}

// isScale says whether the row's stages are on this scale.
func (s Standard) isScale(scale calibrate.Scale) bool {
	stained, clear, ok := s.ends()
	return ok && !strings.HasPrefix(s.Scale, "percent") && stained == scale.Stained && clear == scale.Clear
}

// validate says what is wrong with the row and what to do.
func (s Standard) validate() error {
	if s.Variety == "" {
		return errors.New("names no variety; write it, or any for a general row")
	}
	stage := Range{From: s.Opens, To: s.Closes}
	if !stage.Set() && !s.Firmness.Set() && !s.Solids.Set() && !s.Streif.Set() {
		return errors.New("asks nothing; fill in a target or take the row out")
	}
	if stage.Set() {
		if err := s.validateStages(); err != nil {
			return err
		}
	}
	for _, r := range []struct {
		Range
		name string
	}{{s.Firmness, "firmness"}, {s.Solids, "solids"}, {s.Streif, "streif"}} {
		if r.From.Set && r.To.Set && r.From.Value > r.To.Value {
			return fmt.Errorf("%s from %g to %g has its ends the wrong way round", r.name, r.From.Value, r.To.Value)
		}
		for _, l := range []Limit{r.From, r.To} {
			if l.Set && l.Value <= 0 {
				return fmt.Errorf("%s %g must be above 0; leave blank what is not asked", r.name, l.Value)
			}
		}
	}
	return s.plausible()
}

func (s Standard) validateStages() error {
	if s.Scale == "" {
		return errors.New("has stages but no scale; write 1-8, percent stained or the name of the chart")
	}
	stained, clear, ok := s.ends()
	if !ok {
		return nil
	}
	for _, l := range []Limit{s.Opens, s.Closes} {
		if l.Set && (l.Value < min(stained, clear) || l.Value > max(stained, clear)) {
			return fmt.Errorf("%g is not on the scale %s", l.Value, s.Scale)
		}
	}
	if s.Opens.Set && s.Closes.Set && (s.Closes.Value-s.Opens.Value)*(clear-stained) < 0 {
		return fmt.Errorf("opens at %g and closes at %g, but on the scale %s fruit pass %g first",
			s.Opens.Value, s.Closes.Value, s.Scale, s.Closes.Value)
	}
	return nil
}

// plausible says whether targets are ones that apples can meet: beyond them the
// unit is wrong, or the column.
func (s Standard) plausible() error {
	for _, l := range []Limit{s.Firmness.From, s.Firmness.To} {
		if !l.Set {
			continue
		}
		if s.FirmnessUnit == "" {
			return errors.New("has a firmness but no unit; write lbf, kgf or N under firmness unit")
		}
		sides := []instrument.Force{{Value: l.Value, Unit: s.FirmnessUnit}}
		if err := (instrument.Firmness{Sides: sides}).Plausible(); err != nil {
			return err
		}
	}
	for _, l := range []Limit{s.Solids.From, s.Solids.To} {
		if l.Set {
			if err := (instrument.Solids{Brix: l.Value}).Plausible(); err != nil {
				return err
			}
		}
	}
	return nil
}
