package desk

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"

	"traystage/cmd/internal/fault"
	"traystage/scoring"
	"traystage/scoring/ledger"
)

// review confirms or overrides a call as it was shown. A call that is another
// one meanwhile is shown again, with what was typed.
func (d *Desk) review(w http.ResponseWriter, r *http.Request, v visit) error {
	by, err := v.signed(r.FormValue("by"))
	if err != nil {
		return err
	}
	fruit, err := strconv.Atoi(r.FormValue("fruit"))
	if err != nil {
		return fault.Usagef("which fruit?")
	}
	review := scoring.Review{By: by, Why: why(r)}
	if r.FormValue("do") == "override" {
		if v.role < Grower {
			return errForbidden
		}
		review.Override = true
		if review.Stage, err = decimal(r.FormValue("stage")); err != nil {
			return err
		}
	}
	photo, block := r.FormValue("photo"), r.FormValue("block")
	season := d.bench.Season
	if id := r.FormValue("id"); id != "" {
		season = season.With(ledger.Beside{Sending: id})
	}
	err = season.ReviewVersion(r.Context(), photo, fruit, r.FormValue("version"), review)
	var stale *ledger.StaleError
	if errors.As(err, &stale) && !wantsJSON(r) {
		d.view.forget()
		return d.showCall(w, r, v, http.StatusConflict, stale, r.FormValue("stage"))
	}
	next := url.Values{"did": {strconv.Itoa(fruit)}, "block": {block}, "photo": {photo}, "day": {r.FormValue("day")}}
	if skip := r.FormValue("skip"); skip != "" {
		next.Set("skip", skip)
	}
	return d.put(w, r, v, by, err, event{What: "call", Block: block, Of: photo}, "/confirm?"+next.Encode())
}

// undoReview takes back what was done with a call.
func (d *Desk) undoReview(w http.ResponseWriter, r *http.Request, v visit) error {
	by, err := v.signed(r.FormValue("by"))
	if err != nil {
		return err
	}
	fruit, err := strconv.Atoi(r.FormValue("fruit"))
	if err != nil {
		return fault.Usagef("which fruit?")
	}
	err = d.bench.Season.UndoReview(r.Context(), by, r.FormValue("photo"), fruit, why(r))
	return d.put(w, r, v, by, err, event{What: "call", Block: r.FormValue("block"), Of: r.FormValue("photo")}, "/confirm")
}
