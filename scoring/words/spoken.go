package words

import (
	"encoding/json"

	"traystage/vision/note"
)

// Spoken is a note as programs are given it: its code and figures, which are the
// same in every language, and what it says.
type Spoken struct {
	Code note.Code       `json:"code"`
	Text string          `json:"text"`
	With json.RawMessage `json:"with,omitempty"` // as in the JSON of the note
}

// Spoken says notes for programs; never nil.
func (c *Catalogue) Spoken(notes ...note.Note) []Spoken {
	out := make([]Spoken, len(notes))
	for i, n := range notes {
		if text, err := json.Marshal(n); err == nil {
			// The words of others are a plain text, which has no figures.
			_ = json.Unmarshal(text, &out[i])
		}
		out[i].Code, out[i].Text = n.Code, c.Say(n)
	}
	return out
}
