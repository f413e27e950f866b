package desk

import (
	"context"
	"encoding/hex"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"strings"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
)

// sent is what a phone is told of something that is in the season now.
type sent struct {
	ID   string `json:"id"`
	Tray string `json:"tray,omitempty"` // its page
}

// form is a sending: its fields, and the file that came with it.
type form struct {
	fields map[string]string
	name   string // of the file
	file   []byte
}

// mostFields and longestField bound what a form may hold besides its file.
const mostFields, longestField = 400, 4 << 10

// readForm reads a multipart form part by part. The reading deadline moves as
// bytes come, so that a slow phone gets through and a silent one does not.
func readForm(w http.ResponseWriter, r *http.Request) (form, error) {
	f := form{fields: map[string]string{}}
	in, err := r.MultipartReader()
	if err != nil {
		return f, fault.Usagef("the form cannot be read: %w", err)
	}
	control := http.NewResponseController(w)
	for {
		_ = control.SetReadDeadline(time.Now().Add(stalled))
		part, err := in.NextPart()
		if err == io.EOF {
			return f, nil
		}
		if err != nil {
			return f, cutOff(err)
		}
		if err := f.take(part, control); err != nil {
			return f, err
		}
	}
}

// stalled is how long a sender may send nothing; tests shorten it.
var stalled = 20 * time.Second

func (f *form) take(part *multipart.Part, control *http.ResponseController) error {
	if part.FileName() != "" {
		var b strings.Builder
		buffer := make([]byte, 256<<10)
		for {
			_ = control.SetReadDeadline(time.Now().Add(stalled))
			n, err := part.Read(buffer)
			b.Write(buffer[:n])
			if err == io.EOF {
				f.name, f.file = part.FileName(), []byte(b.String())
				return nil
			}
			if err != nil {
				return cutOff(err)
			}
		}
	}
	text, err := io.ReadAll(io.LimitReader(part, longestField+1))
	switch {
	case err != nil:
		return cutOff(err)
	case len(text) > longestField || len(f.fields) >= mostFields:
		return fault.Usagef("the form holds more than it may")
	}
	f.fields[part.FormName()] = strings.TrimSpace(string(text))
	return nil
}

// cutOff keeps the error of a body beyond its limit, and says of others that the
// sending did not come through.
func cutOff(err error) error {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return err
	}
	return fault.Usagef("the sending was cut off: %w", err)
}

// id is the sending's name: 16 bytes in hexadecimal, made by the phone.
func (f form) id() (string, error) {
	id := f.fields["id"]
	if b, err := hex.DecodeString(id); err != nil || len(b) != 16 {
		return "", fault.Usagef("the sending has no proper id")
	}
	return id, nil
}

// sendTray scores a photo into its block's sample. A sending that was carried
// out before gets the first answer again.
func (d *Desk) sendTray(w http.ResponseWriter, r *http.Request, v visit) error {
	if !d.sends.allow(addressOf(r)) {
		return errTooOften
	}
	f, err := readForm(w, r)
	if err != nil {
		return err
	}
	id, err := f.id()
	if err != nil {
		return err
	}
	by, err := v.signed(f.fields["by"])
	if err != nil {
		return err
	}
	tray, err := trayOf(f, by, id)
	if err != nil {
		return err
	}
	if len(f.file) == 0 {
		return fault.Usagef("there is no photo in the sending")
	}
	d.hub.tell(event{What: "progress", Block: tray.Block, Of: id, Done: 0, All: 1})
	// What has come through is carried out also when the phone hangs up.
	kept, err := d.bench.Store(context.WithoutCancel(r.Context()), tray, workbench.PhotoBytes(f.name, f.file))
	if err != nil {
		return err
	}
	d.changed(event{What: "tray", Block: kept.Block, Of: kept.Report.PhotoHash})
	remember(w, v, initialsCookie, by, true)
	writeJSON(w, http.StatusCreated, sent{ID: id, Tray: "/trays/" + kept.Report.PhotoHash})
	return nil
}

// trayOf reads what a form says of a tray.
func trayOf(f form, by, id string) (workbench.SampleTray, error) {
	t := workbench.SampleTray{Act: workbench.Act{By: by, Anyway: f.fields["anyway"], Sending: id}, Block: f.fields["block"]}
	if t.Block == "" {
		return t, fault.Usagef("which block is the tray from?")
	}
	var err error
	if t.Picked, err = dayOf(f.fields["picked"]); err != nil {
		return t, err
	}
	if t.Halves, err = countOf(f.fields["halves"]); err != nil {
		return t, err
	}
	t.Without, err = countsOf(f.fields["without"])
	return t, err
}

// signed gives the initials that an action carries: those of its form, else of
// the sitting.
func (v visit) signed(by string) (string, error) {
	if by == "" {
		by = v.by
	}
	if by = strings.TrimSpace(by); by == "" {
		return "", errInitials
	}
	return by, nil
}
