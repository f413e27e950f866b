package desk

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"maps"
	"net/http"
	"net/url"
	"os"
	"text/template"

	"traystage/cmd/internal/apart"
	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring/ledger"
	"traystage/scoring/words"
	"traystage/vision"
	"traystage/vision/note"
)

var (
	errUnpaired  = errors.New("this device is not paired with the desk")
	errForbidden = errors.New("this device may not do that")
	errNotThere  = errors.New("there is no such page")
	errInitials  = errors.New("who does this? give your initials")
)

// statuses says which HTTP status an error has; the first that fits counts.
var statuses = []struct {
	err    error
	status int
}{
	{errUnpaired, http.StatusUnauthorized},
	{errForbidden, http.StatusForbidden},
	{errNotThere, http.StatusNotFound},
	{errInitials, http.StatusUnprocessableEntity},
	{errTooOften, http.StatusTooManyRequests},
	{errNoKey, http.StatusUnprocessableEntity},
	{errWrongKey, http.StatusUnprocessableEntity},
	{ledger.ErrNotFound, http.StatusNotFound},
	{workbench.ErrNoSample, http.StatusNotFound},
	{ledger.ErrStale, http.StatusConflict},
	{ledger.ErrTaken, http.StatusConflict},
	{ledger.ErrFull, http.StatusInsufficientStorage},
	{ledger.ErrBusy, http.StatusServiceUnavailable},
	{ledger.ErrReadOnly, http.StatusServiceUnavailable},
	{apart.ErrBusy, http.StatusServiceUnavailable},
	{apart.ErrStart, http.StatusServiceUnavailable},
	{apart.ErrClosed, http.StatusServiceUnavailable},
	{context.Canceled, http.StatusServiceUnavailable},
	{apart.ErrDied, http.StatusUnprocessableEntity},
	{apart.ErrTooLong, http.StatusUnprocessableEntity},
	{vision.ErrNoHalves, http.StatusUnprocessableEntity},
}

// statusOf gives the status of an error, and whether its words are for the
// reader: what fails inside the program is logged, and shown without its words.
func statusOf(err error) (status int, telling bool) {
	var large *http.MaxBytesError
	var wrong fault.Usage
	switch {
	case errors.As(err, &large):
		return http.StatusRequestEntityTooLarge, true
	case errors.As(err, &wrong):
		return http.StatusUnprocessableEntity, true
	}
	for _, s := range statuses {
		if errors.Is(err, s.err) {
			return s.status, true
		}
	}
	var exec template.ExecError
	var path *fs.PathError
	var syscall *os.SyscallError
	if errors.As(err, &exec) || errors.As(err, &path) || errors.As(err, &syscall) {
		return http.StatusInternalServerError, false
	}
	return http.StatusUnprocessableEntity, true // the workbench's errors are sentences for people
}

// refused is what a script is told of something that was not done.
type refused struct {
	Says []string `json:"says"`           // in the device's language
	Asks bool     `json:"asks,omitempty"` // it can be insisted on, with a reason
	Who  bool     `json:"who,omitempty"`  // initials are missing
	// Picture shows what was found where another number was counted, as a JPEG.
	Picture []byte `json:"picture,omitempty"`
}

// failure is what a person is shown of something that was not done.
type failure struct {
	refused
	Again *filled // to do it all the same; nil where it cannot be insisted on
}

// filled is a form as it was filled in.
type filled struct {
	Action string
	Fields url.Values
}

// again is the form that was refused, where it can be sent once more with a reason. Files are not
// sent back to be sent again.
func again(r *http.Request, asks bool) *filled {
	if !asks || r.MultipartForm != nil {
		return nil
	}
	f := filled{r.URL.EscapedPath(), maps.Clone(r.PostForm)}
	f.Fields.Del("anyway")
	return &f
}

// fail answers with what is wrong: JSON to scripts, a page to people.
func (d *Desk) fail(w http.ResponseWriter, r *http.Request, v visit, err error) {
	status, telling := statusOf(err)
	says := d.inWords(words.For(v.lang), err, telling)
	if !telling {
		d.log.Error("failed", "method", r.Method, "path", r.URL.Path, "error", err.Error())
	}
	answer := refused{Says: says, Who: errors.Is(err, errInitials)}
	var slip workbench.Refusal
	if errors.As(err, &slip) {
		status, answer.Asks = http.StatusConflict, true
	}
	var miscounted workbench.Miscounted
	if errors.As(err, &miscounted) {
		status, answer.Picture = http.StatusUnprocessableEntity, miscounted.Picture
	}
	if wantsJSON(r) {
		writeJSON(w, status, answer)
		return
	}
	p := d.page(r, v, "error", "desk.error.title", failure{refused: answer, Again: again(r, answer.Asks)})
	if v.role == Nobody {
		p.Tab = "none"
	}
	if err := d.pages.render(w, status, p); err != nil {
		d.log.Error("page", "error", err.Error())
		http.Error(w, says[0], status)
	}
}

// inWords says an error in a language, as far as there are words for it.
func (d *Desk) inWords(c *words.Catalogue, err error, telling bool) []string {
	var slip workbench.Refusal
	if errors.As(err, &slip) {
		var out []string
		for _, n := range slip.Notes {
			told := c.Say(n)
			if advice := c.Advice(n); advice != "" {
				told += "; " + advice
			}
			out = append(out, words.Sentence(told))
		}
		return out
	}
	for _, k := range []struct {
		err error
		key string
	}{
		{errUnpaired, "desk.error.unpaired"},
		{errForbidden, "desk.error.forbidden"},
		{errNotThere, "desk.error.none"},
		{errInitials, "desk.error.initials"},
		{errTooOften, "desk.error.often"},
		{errNoKey, "desk.error.nokey"},
		{errWrongKey, "desk.error.wrongkey"},
		{apart.ErrDied, "desk.error.died"},
		{apart.ErrTooLong, "desk.error.long"},
		{apart.ErrBusy, "desk.error.busy"},
		{ledger.ErrFull, "desk.error.full"},
		{vision.ErrPrinted, "desk.error.printed"},
		{vision.ErrNoHalves, "desk.error.nohalves"},
	} {
		if errors.Is(err, k.err) {
			return []string{c.Text(k.key)}
		}
	}
	var miscounted workbench.Miscounted
	if errors.As(err, &miscounted) {
		return []string{c.Text("desk.error.count", note.Count("want", miscounted.Want), note.Count("found", miscounted.Found))}
	}
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return []string{c.Text("desk.error.large")}
	}
	if !telling {
		return []string{c.Text("desk.error.inner")}
	}
	var several fault.Several
	if errors.As(err, &several) {
		var out []string
		for _, e := range several {
			out = append(out, e.Error())
		}
		return out
	}
	return []string{err.Error()}
}

func writeJSON(w http.ResponseWriter, status int, v any) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(v) // the phone tries again where it did not come through
}
