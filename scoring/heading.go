package scoring

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"traystage/scoring/instrument"
)

// field is what a column of a table of standards holds, by its plain heading.
type field string

const (
	varietyField field = "variety"
	marketField  field = "market"
	scaleField   field = "scale"
	opensField   field = "opens"
	closesField  field = "closes"
	firmnessFrom field = "firmness from"
	firmnessTo   field = "firmness to"
	firmnessUnit field = "firmness unit"
	solidsFrom   field = "solids from"
	solidsTo     field = "solids to"
	streifFrom   field = "streif from"
	streifTo     field = "streif to"
	streifUnit   field = "streif unit"
	storedField  field = "stored"
	sourceField  field = "source"
	noteField    field = "note"
)

// limit is where the row keeps the figure of the field; nil when it holds none.
func (f field) limit(row *Standard) *Limit {
	switch f {
	case opensField:
		return &row.Opens
	case closesField:
		return &row.Closes
	case firmnessFrom:
		return &row.Firmness.From
	case firmnessTo:
		return &row.Firmness.To
	case solidsFrom:
		return &row.Solids.From
	case solidsTo:
		return &row.Solids.To
	case streifFrom:
		return &row.Streif.From
	case streifTo:
		return &row.Streif.To
	}
	return nil
}

// heading is the heading of one column.
type heading struct {
	field field
	unit  instrument.Unit // the unit it names, as in "firmness (lbf)"; empty for none
}

// readHeadings tells what each column holds.
func readHeadings(record []string) ([]heading, error) {
	var out []heading
	for i, text := range record {
		h, ok := readHeading(text)
		if !ok && strings.TrimSpace(text) != "" {
			return nil, fmt.Errorf("column %d: %q is no heading of a table of standards; rename it to one of %s, or take the column out",
				i+1, text, strings.Join(plainHeadings, ", "))
		}
		same := func(other heading) bool { return other.field == h.field }
		if before := slices.IndexFunc(out, same); ok && before >= 0 {
			return nil, fmt.Errorf("column %d: %q says the same as column %d, %q; keep one of them", i+1, text, before+1, record[before])
		}
		out = append(out, h)
	}
	for len(out) > 0 && out[len(out)-1].field == "" {
		out = out[:len(out)-1] // a spreadsheet's empty columns to the right
	}
	for _, needed := range []field{varietyField, marketField} {
		if !slices.ContainsFunc(out, func(h heading) bool { return h.field == needed }) {
			return nil, fmt.Errorf("no column is headed %s; the headings are %s", needed, strings.Join(plainHeadings, ", "))
		}
	}
	return out, nil
}

var plainHeadings = []string{
	"variety", "market", "scale", "opens", "closes", "firmness from", "firmness to", "firmness unit", "solids from",
	"solids to", "streif from", "streif to", "streif unit", "stored", "source", "note",
}

// Words that tell what a column holds, alone or among others.
var (
	subjectWords = map[string]field{
		"variety": varietyField, "varieties": varietyField, "cultivar": varietyField,
		"market": marketField, "purpose": marketField, "use": marketField, "term": marketField,
		"scale": scaleField, "chart": scaleField,
		"opens": opensField, "open": opensField, "closes": closesField, "close": closesField,
		"stage": opensField, "starch": opensField,
		"firmness": firmnessFrom, "pressure": firmnessFrom,
		"solids": solidsFrom, "ssc": solidsFrom, "sugar": solidsFrom, "brix": solidsFrom,
		"streif": streifFrom,
		"stored": storedField, "source": sourceField, "sources": sourceField, "note": noteField, "notes": noteField, "remarks": noteField,
	}
	upperWords = []string{"to", "most", "max", "maximum", "upper", "till", "until"}
	upperEnd   = map[field]field{opensField: closesField, firmnessFrom: firmnessTo, solidsFrom: solidsTo, streifFrom: streifTo}
	unitOf     = map[field]field{firmnessFrom: firmnessUnit, streifFrom: streifUnit}
)

// readHeading tells what a column headed like this holds; false when nothing
// tells. "starch scale" is a scale, "max. firmness (lbf)" an upper end.
func readHeading(text string) (heading, bool) {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) })
	var h heading
	var upper, unit bool
	for _, w := range words {
		force, err := instrument.ParseUnit(w)
		switch subject, known := subjectWords[w]; {
		case slices.Contains(upperWords, w):
			upper = true
		case w == "unit":
			unit = true
		case err == nil:
			h.unit = force
		case known && (h.field == "" || h.field == opensField):
			h.field = subject // "starch scale" is a scale, "stage closes" an end
		}
	}
	if end, ok := unitOf[h.field]; ok && unit {
		return heading{field: end}, true
	}
	if end, ok := upperEnd[h.field]; ok && upper {
		h.field = end
	}
	return h, h.field != "" && !unit
}
