package workbench

import (
	"context"
	"encoding/json"
	"strings"

	"traystage/cmd/internal/fault"
	"traystage/scoring/ledger"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// Act says who does something that is written down, and how it came.
type Act struct {
	By string // initials; those of the season's settings when empty
	// Anyway is why it is to be done although the bench objects. Without it
	// objections are a Refusal; with it they are kept beside what is written.
	Anyway string
	// Sending names what was sent, by a name that the sender never uses again;
	// empty for none. What is sent twice is done once and answered alike.
	Sending string
}

// Refusal is what was not done because it looks like a slip. Whoever knows better
// does it again with Act.Anyway.
type Refusal struct {
	About string // the photo, file or block
	Notes []note.Note
}

func (r Refusal) Error() string { return r.About + ": " + r.In(words.For(words.Default)) }

// In is what the bench objects, in words of a language.
func (r Refusal) In(c *words.Catalogue) string { return strings.Join(c.SayAll(r.Notes), "; ") }

var errNobody = fault.Usagef("who does this? give your initials with --by, as in --by hm")

// signed gives the act with initials, which there must be.
func (b *Bench) signed(ctx context.Context, act Act) (Act, error) {
	act.By, act.Anyway = strings.TrimSpace(act.By), strings.TrimSpace(act.Anyway)
	if act.By == "" && b.Season != nil {
		s, err := b.Settings(ctx)
		if err != nil {
			return act, err
		}
		act.By = s.Initials
	}
	if act.By == "" {
		return act, errNobody
	}
	return act, nil
}

// writing gives the season to write to: with the name of the sending, and with the
// objections and why they are overruled. Objections that nobody overrules are a
// Refusal.
func (b *Bench) writing(act Act, about string, objections ...note.Note) (*ledger.Season, error) {
	beside := ledger.Beside{Sending: act.Sending}
	if len(objections) > 0 {
		if act.Anyway == "" {
			return nil, Refusal{about, objections}
		}
		text, err := json.Marshal(objections)
		if err != nil {
			return nil, err
		}
		beside.Anyway, beside.Objections = act.Anyway, text
	}
	return b.Season.With(beside), nil
}
