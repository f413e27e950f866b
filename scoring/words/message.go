package words

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"traystage/vision/note"
)

// other is the sentence for all numbers and terms that have none of their own.
const other = "other"

// message is what is said under one key: one sentence, or several of which a
// figure decides.
type message struct {
	parts   []part
	by      string             // name of the figure that decides; empty for one sentence
	choices map[string]message // by plural form or term
}

// part is a piece of a sentence: words, or the place of a figure.
type part struct{ words, name, style string }

// UnmarshalJSON reads a sentence, or an object of sentences.
func (m *message) UnmarshalJSON(text []byte) error {
	var sentence string
	if json.Unmarshal(text, &sentence) == nil {
		var err error
		m.parts, err = split(sentence)
		return err
	}
	var all map[string]json.RawMessage
	if err := json.Unmarshal(text, &all); err != nil {
		return err
	}
	m.by, m.choices = "n", map[string]message{}
	for form, raw := range all {
		if form == "by" {
			if err := json.Unmarshal(raw, &m.by); err != nil {
				return err
			}
			continue
		}
		var choice message
		if err := json.Unmarshal(raw, &choice); err != nil {
			return err
		}
		m.choices[form] = choice
	}
	if _, ok := m.choices[other]; !ok {
		return fmt.Errorf("%.60s: there is no sentence for %q", text, other)
	}
	return nil
}

// split takes a sentence apart: "taken on {day:long}".
func split(sentence string) ([]part, error) {
	var out []part
	for sentence != "" {
		words, rest, some := strings.Cut(sentence, "{")
		if words != "" {
			out = append(out, part{words: words})
		}
		if !some {
			break
		}
		place, after, closed := strings.Cut(rest, "}")
		if !closed || place == "" {
			return nil, errors.New("a brace is not closed in: " + sentence)
		}
		name, style, _ := strings.Cut(place, ":")
		out = append(out, part{name: name, style: style})
		sentence = after
	}
	return out, nil
}

// fill puts the figures into the sentence that they call for.
func (m message) fill(c *Catalogue, with []note.Value) string {
	if m.by != "" {
		return m.choice(c, with).fill(c, with)
	}
	var b strings.Builder
	for _, p := range m.parts {
		switch v, ok := given(with, p.name); {
		case p.name == "":
			b.WriteString(p.words)
		case ok:
			b.WriteString(c.value(v, p.style))
		default:
			b.WriteString("{" + p.name + "}")
		}
	}
	return b.String()
}

func given(with []note.Value, name string) (note.Value, bool) {
	return note.Note{With: with}.Value(name)
}

// choice is the sentence that the deciding figure calls for.
func (m message) choice(c *Catalogue, with []note.Value) message {
	v, _ := given(with, m.by)
	form := other
	if n, counted := v.Size(); counted {
		form = c.pluralForm(n)
	} else if v.Kind == note.TermKind {
		_, form, _ = strings.Cut(v.Text, ".")
	}
	if chosen, ok := m.choices[form]; ok {
		return chosen
	}
	return m.choices[other]
}

// names are those of all figures that a sentence may show or be decided by.
func (m message) names() map[string]bool {
	out := map[string]bool{}
	if m.by != "" {
		out[m.by] = true
	}
	for _, p := range m.parts {
		if p.name != "" {
			out[p.name] = true
		}
	}
	for _, choice := range m.choices {
		for name := range choice.names() {
			out[name] = true
		}
	}
	return out
}
