package ledger

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
)

// Beside is what is kept beside something that is written.
type Beside struct {
	// Anyway is why it was written although the program objected; empty when it
	// did not object. Objections is what it objected, a JSON list of notes.
	Anyway     string
	Objections json.RawMessage
	// Sending names the sending that it came in, by a name that its sender chose
	// and never uses again; empty for none. What is sent a second time is not
	// written a second time: the method gives the first answer again.
	Sending string
}

// With gives the same season, through which one thing is written that has b
// beside it. Close either of them, not both.
func (s *Season) With(b Beside) *Season {
	with := *s
	with.beside = b
	return &with
}

// Sending is a sending that was carried out.
type Sending struct {
	Name   string
	Verb   string          // what was done
	Answer json.RawMessage // what the method gave back
	By     string          // initials
	At     time.Time
}

// Sent gives the sending of a name, if it was carried out.
func (s *Season) Sent(ctx context.Context, name string) (sent Sending, ok bool, err error) {
	err = s.read(ctx, func(r reader) error {
		sent, ok, err = r.sent(name)
		return err
	})
	return sent, ok, err
}

func (r reader) sent(name string) (Sending, bool, error) {
	sent := Sending{Name: name}
	var answer string
	err := r.one("SELECT verb, answer, who, at FROM sending WHERE name = ?", []any{name}, &sent.Verb, &answer, &sent.By, instant(&sent.At))
	if errors.Is(err, sql.ErrNoRows) {
		return Sending{}, false, nil
	}
	sent.Answer = json.RawMessage(answer)
	return sent, err == nil, err
}

// enter does one thing that a person asked for, in one transaction: f adds its
// rows. What was done for the same sending before is not done again.
func enter[T any](ctx context.Context, s *Season, verb, by string, f func(w writer) (T, error)) (T, error) {
	var none, answer T
	if err := signedBy(by); err != nil {
		return none, err
	}
	err := s.write(ctx, func(w writer) error {
		again, err := w.again(s.beside.Sending, verb, &answer)
		if again || err != nil {
			return err
		}
		if answer, err = f(w); err != nil {
			return err
		}
		if err := w.putInsisted(by, s.beside); err != nil {
			return err
		}
		return w.putSending(by, s.beside.Sending, verb, answer)
	})
	if err != nil {
		return none, err
	}
	return answer, nil
}

// do is enter for what has no answer.
func (s *Season) do(ctx context.Context, verb, by string, f func(w writer) error) error {
	_, err := enter(ctx, s, verb, by, func(w writer) (struct{}, error) { return struct{}{}, f(w) })
	return err
}

// again fills in the answer that a sending got before.
func (w writer) again(sending, verb string, answer any) (bool, error) {
	if sending == "" {
		return false, nil
	}
	sent, ok, err := w.sent(sending)
	if !ok || err != nil {
		return false, err
	}
	if sent.Verb != verb {
		return false, refuse("sending %q: %w, for another thing (%s, not %s); send it under another name", sending, ErrTaken, sent.Verb, verb)
	}
	return true, json.Unmarshal(sent.Answer, answer)
}

// putInsisted keeps what was insisted on, beside the first row that was added.
func (w writer) putInsisted(by string, b Beside) error {
	if strings.TrimSpace(b.Anyway) == "" || len(w.rows.all) == 0 {
		return nil
	}
	objections := string(b.Objections)
	if objections == "" {
		objections = "[]"
	}
	first := w.rows.all[0]
	for _, row := range w.rows.all {
		if row.table != "block" && row.table != "sample" && row.table != "tray" && row.table != "device" {
			first = row // rows of these say nothing by themselves
			break
		}
	}
	_, err := w.add("insisted", w.signed(by,
		column{"of_table", first.table}, column{"of_row", first.id}, column{"objections", objections}, column{"why", b.Anyway})...)
	return err
}

func (w writer) putSending(by, sending, verb string, answer any) error {
	if sending == "" {
		return nil
	}
	text, err := json.Marshal(answer)
	if err != nil {
		return fmt.Errorf("the answer to %s cannot be kept: %w", verb, err)
	}
	_, err = w.add("sending", w.signed(by, column{"name", sending}, column{"verb", verb}, column{"answer", string(text)})...)
	return err
}

// reasoned refuses what takes something back without saying why.
func reasoned(what, why string) error {
	if strings.TrimSpace(why) == "" {
		return refuse("%s needs a reason; say what was wrong", what)
	}
	return nil
}
