package document

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"traystage/scoring/words"
)

// WriteJSON writes the figures of a document as one object on one line: a name
// for each section, below it one for each fact, table and list. A table is
//
//	{"units": {"firmness": "lbf"}, "rows": [{"fruit": 1, "firmness": 17.25}]}
//
// Every name is always there; what is not known is null and lists are never
// null. Numbers have six decimals at most, days are year-month-day. An interval
// has two names, ending in _from and _to. Rows set apart at the end of a table,
// such as a mean, stand under "foot" and not among the rows.
func WriteJSON(w io.Writer, d Document) error {
	d = d.told()
	out := object{
		{"report", d.Kind}, {"title", d.Title}, {"day", day(d.Day)}, {"program", d.By},
	}
	for _, s := range d.Sections {
		if s.Sheet == "" {
			continue
		}
		var section object
		for _, part := range s.Parts {
			section = append(section, members(part)...)
		}
		out = append(out, member{s.Key, section})
	}
	text, err := json.Marshal(out)
	if err != nil {
		return fmt.Errorf("report as JSON: %w", err)
	}
	_, err = w.Write(append(text, '\n'))
	return err
}

func members(part Part) []member {
	switch p := part.(type) {
	case Order:
		return []member{{p.Key, p.Text}, {p.Key + "_note", p.Note}}
	case Answer:
		return []member{{p.Key, p.Answer}}
	case Facts:
		var out []member
		for _, f := range p.Facts {
			out = append(out, named(f.Key, f.Value)...)
		}
		return out
	case List:
		out := []member{{p.Key, append([]string{}, p.Items...)}}
		if p.Notes != nil {
			out = append(out, member{p.Key + "_notes", p.Notes})
		}
		return out
	case Table:
		return []member{{p.Key, tableObject(p)}}
	}
	return nil
}

// named gives a value its name, or the two ends of an interval theirs.
func named(key string, c Cell) []member {
	if c.high == nil {
		return []member{{key, c}}
	}
	low, high := c.split()
	return []member{{key + "_from", low}, {key + "_to", high}}
}

func tableObject(t Table) object {
	g := tableGrid(Section{}, t, english)
	units := object{}
	for _, c := range t.Columns {
		if c.Unit != "" {
			units = append(units, member{c.Key, c.Unit})
		}
	}
	rows := make([]object, len(g.rows))
	for i, row := range g.rows {
		for n, c := range row {
			rows[i] = append(rows[i], member{g.columns[n].Key, c})
			if g.columns[n].Noted {
				rows[i] = append(rows[i], member{g.columns[n].Key + "_notes", append([]words.Spoken{}, c.notes...)})
			}
		}
	}
	out := object{{"units", units}, {"rows", rows[:len(t.Rows)]}}
	if len(t.Foot) > 0 {
		out = append(out, member{"foot", rows[len(t.Rows):]})
	}
	return out
}

// MarshalJSON writes what the cell stands for.
func (c Cell) MarshalJSON() ([]byte, error) {
	switch v := c.value.(type) {
	case float64:
		return json.Marshal(millionth(v))
	case time.Time:
		return json.Marshal(day(v))
	}
	return json.Marshal(c.value)
}

func day(t time.Time) any {
	if t.IsZero() {
		return nil
	}
	return t.Format(time.DateOnly)
}

// object is a JSON object whose names keep their order.
type object []member

type member struct {
	name  string
	value any
}

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		name, err := json.Marshal(m.name)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}
