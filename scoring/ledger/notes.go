package ledger

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"traystage/vision/note"
)

// Notes are kept as JSON. Seasons of before notes had codes hold words in their
// places: those that the program wrote then are known by heart below and get
// their code back, others stay as they were said.

// notes reads a list of notes.
type notes struct{ to *[]note.Note }

func (n notes) Scan(value any) error {
	text, ok := value.(string)
	if !ok {
		return fmt.Errorf("notes are kept as %T", value)
	}
	*n.to = nil
	if text == "null" {
		return nil
	}
	var kept []kept
	if err := json.Unmarshal([]byte(text), &kept); err != nil {
		return err
	}
	*n.to = []note.Note{}
	for _, k := range kept {
		*n.to = append(*n.to, k.Note)
	}
	return nil
}

// oneNote reads a single note, whose zero is the empty text.
type oneNote struct{ to *note.Note }

func (n oneNote) Scan(value any) error {
	text, ok := value.(string)
	switch {
	case !ok:
		return fmt.Errorf("a note is kept as %T", value)
	case text == "":
		*n.to = note.Note{}
		return nil
	case looksKept(text) && json.Unmarshal([]byte(text), n.to) == nil:
		return nil
	}
	*n.to = recall(text)
	return nil
}

// looksKept says whether a text begins as a note in JSON does.
func looksKept(text string) bool { return strings.HasPrefix(text, "{") || strings.HasPrefix(text, `"`) }

// noteText is a single note as it is kept.
func noteText(n note.Note) (string, error) {
	if n.IsZero() {
		return "", nil
	}
	if v, ok := n.Value("text"); ok && n.Code == note.Said && !looksKept(v.Text) {
		return v.Text, nil
	}
	text, err := json.Marshal(n)
	return string(text), err
}

// kept is a note as it stands in a list: as package note writes it, or a remark
// as it was written before, with its advice beside it.
type kept struct{ note.Note }

func (k *kept) UnmarshalJSON(text []byte) error {
	var old struct{ Text *string }
	if json.Unmarshal(text, &old) == nil && old.Text != nil {
		k.Note = recall(*old.Text)
		return nil
	}
	if err := k.Note.UnmarshalJSON(text); err != nil {
		return err
	}
	if v, ok := k.Value("text"); ok && k.Code == note.Said {
		k.Note = recall(v.Text)
	}
	return nil
}

// recall gives words that were kept before notes had codes their code.
func recall(words string) note.Note {
	if code, ok := spoken[words]; ok {
		return note.New(code)
	}
	for _, s := range spokenOf {
		if rest, ok := strings.CutPrefix(words, s.words); ok {
			if stage, err := strconv.ParseFloat(rest, 64); err == nil {
				return note.New(s.code, note.Stage(s.figure, stage))
			}
		}
	}
	return note.Quote(words)
}

// spoken are the sentences that were kept in place of codes. They are history
// and do not change with the words of today.
var spoken = map[string]note.Code{
	"glare hides part of the face":                                   "photo.glare",
	"the face is blurred":                                            "photo.blurred",
	"the face is small on the photo":                                 "photo.small",
	"the core is not seen clearly":                                   "photo.core",
	"the edge of the face is unclear":                                "photo.outline",
	"the stain is faint":                                             "photo.faint",
	"the flesh has browned":                                          "photo.browned",
	"the tray shows no clear flesh to compare with":                  "photo.no_clear",
	"the photo cuts the half off":                                    "photo.clipped",
	"the photo is very dark":                                         "photo.dark",
	"its stage is much less sure than is usual with this set":        "call.unsure",
	"no flesh could be measured on it":                               "call.no_flesh",
	"its pattern is unlike every plate of the set":                   "call.unlike",
	"a zone of it could not be measured, so only its total was used": "call.zone_missing",
	"a side of it could not be measured, so only its total was used": "call.side_missing",
	"no flesh can be seen on it":                                     "half.no_flesh",
}

// spokenOf are those that ended with a stage.
var spokenOf = []struct {
	words  string
	code   note.Code
	figure string
}{
	{"its interval straddles the target of ", "call.straddles", "target"},
	{"it is more stained than the first plate, stage ", "call.before_first", "plate"},
	{"it is less stained than the last plate, stage ", "call.after_last", "plate"},
}
