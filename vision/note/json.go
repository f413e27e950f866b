package note

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// MarshalJSON writes the note as
//
//	{"code": "call.straddles", "with": {"target": {"stage": 4.5}}}
//
// without "with" where it has no values. Words of others (Said) are written as a
// plain text, as they were before notes had codes; the zero Note is "".
func (n Note) MarshalJSON() ([]byte, error) {
	if n.IsZero() {
		return []byte(`""`), nil
	}
	if text, ok := n.quoted(); ok {
		return encode(text)
	}
	out := stored{Code: n.Code}
	if len(n.With) > 0 {
		out.With = map[string]storedValue{}
	}
	for _, v := range n.With {
		out.With[v.Name] = storedValue{v}
	}
	return encode(out)
}

// quoted is the text of a note that says nothing but words of others.
func (n Note) quoted() (string, bool) {
	if n.Code != Said || len(n.With) != 1 || n.With[0].Name != "text" || n.With[0].Kind != NameKind || n.With[0].Text == "" {
		return "", false
	}
	return n.With[0].Text, true
}

// UnmarshalJSON reads what MarshalJSON wrote. A plain text becomes a Quote.
func (n *Note) UnmarshalJSON(text []byte) error {
	if text = bytes.TrimSpace(text); len(text) > 0 && text[0] == '"' {
		var words string
		if err := json.Unmarshal(text, &words); err != nil {
			return fmt.Errorf("note: %w", err)
		}
		*n = Note{}
		if words != "" {
			*n = Quote(words)
		}
		return nil
	}
	var in stored
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&in); err != nil {
		return fmt.Errorf("note: %w", err)
	}
	if in.Code == "" {
		return fmt.Errorf("note %.100s: it has no code", text)
	}
	*n = Note{Code: in.Code}
	for name, v := range in.With {
		v.Name = name
		n.With = append(n.With, v.Value)
	}
	slices.SortFunc(n.With, func(a, b Value) int { return strings.Compare(a.Name, b.Name) })
	return nil
}

// encode is JSON without the escapes that pages need: stored notes are read by
// people too.
func encode(value any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(value); err != nil {
		return nil, err
	}
	return bytes.TrimRight(b.Bytes(), "\n"), nil
}

// stored is the layout of a note in JSON.
type stored struct {
	Code Code                   `json:"code"`
	With map[string]storedValue `json:"with,omitempty"`
}

// storedValue is a value in JSON: an object with one name that is the kind, and
// of a figure its decimals and unit.
type storedValue struct{ Value }

type figure struct {
	Figure *float64 `json:"figure"` // null when it is not finite
	Digits int      `json:"digits,omitempty"`
	Unit   string   `json:"unit,omitempty"`
}

// MarshalJSON writes the value without its name.
func (v storedValue) MarshalJSON() ([]byte, error) {
	switch v.Kind {
	case FigureKind:
		return encode(figure{finite(v.Number), v.Digits, v.Unit})
	case StageKind, ShareKind, CountKind:
		return encode(map[Kind]*float64{v.Kind: finite(v.Number)})
	case DayKind:
		return encode(map[Kind]string{v.Kind: v.Day.Format(time.DateOnly)})
	case NameKind, TermKind:
		return encode(map[Kind]string{v.Kind: v.Text})
	case NamesKind, TermsKind:
		return encode(map[Kind][]string{v.Kind: append([]string{}, v.Texts...)})
	case CountsKind:
		return encode(map[Kind][]int{v.Kind: append([]int{}, v.Numbers...)})
	case NotesKind:
		return encode(map[Kind][]Note{v.Kind: append([]Note{}, v.Notes...)})
	}
	return nil, fmt.Errorf("note: the value %s is of no kind", v.Name)
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// UnmarshalJSON reads the value without its name.
func (v *storedValue) UnmarshalJSON(text []byte) error {
	var in map[Kind]json.RawMessage
	if err := json.Unmarshal(text, &in); err != nil {
		return err
	}
	if _, ok := in[FigureKind]; ok {
		return v.readFigure(text)
	}
	for kind, raw := range in {
		if len(in) != 1 {
			return fmt.Errorf("value %.100s: it is of several kinds", text)
		}
		return v.read(kind, raw)
	}
	return fmt.Errorf("value %.100s: it is of no kind", text)
}

func (v *storedValue) readFigure(text []byte) error {
	var f figure
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return err
	}
	v.Kind, v.Number, v.Digits, v.Unit = FigureKind, math.NaN(), f.Digits, f.Unit
	if f.Figure != nil {
		v.Number = *f.Figure
	}
	return nil
}

// read takes a value of any kind but a figure.
func (v *storedValue) read(kind Kind, raw json.RawMessage) error {
	v.Kind = kind
	switch kind {
	case StageKind, ShareKind, CountKind:
		v.Number = math.NaN()
		if string(raw) == "null" {
			return nil
		}
		return json.Unmarshal(raw, &v.Number)
	case DayKind:
		var day string
		err := json.Unmarshal(raw, &day)
		if err == nil {
			v.Day, err = time.Parse(time.DateOnly, day)
		}
		return err
	case NameKind, TermKind:
		return json.Unmarshal(raw, &v.Text)
	case NamesKind, TermsKind:
		return readList(raw, &v.Texts)
	case CountsKind:
		return readList(raw, &v.Numbers)
	case NotesKind:
		return readList(raw, &v.Notes)
	}
	return fmt.Errorf("a value of the kind %q is not known: use the traystage that wrote it", kind)
}

// readList reads a list; an empty one is nil, as it was.
func readList[T any](raw json.RawMessage, into *[]T) error {
	if err := json.Unmarshal(raw, into); err != nil {
		return err
	}
	if len(*into) == 0 {
		*into = nil
	}
	return nil
}
