package desk

import (
	"net/http"
	"slices"
	"strings"

	"traystage/scoring/words"
)

type settingsPage struct {
	Languages []language
	Back      string
}

type language struct{ Tag, Name string }

// settings shows what each device chooses for itself: initials of the sitting,
// language, and the look.
func (d *Desk) settings(w http.ResponseWriter, r *http.Request, v visit) error {
	data := settingsPage{Back: back(r)}
	for _, tag := range words.Tags() {
		data.Languages = append(data.Languages, language{tag, words.For(tag).Name()})
	}
	p := d.page(r, v, "settings", "desk.settings.title", data)
	if v.role == Nobody {
		p.Tab = "none"
	}
	return d.pages.render(w, http.StatusOK, p)
}

// longestInitials bounds what stands beside everything that somebody does.
const longestInitials = 12

func (d *Desk) setSettings(w http.ResponseWriter, r *http.Request, v visit) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	if r.Form.Has("by") {
		by := []rune(strings.TrimSpace(r.FormValue("by")))
		remember(w, v, initialsCookie, string(by[:min(len(by), longestInitials)]), true)
	}
	if tag := r.FormValue("language"); words.Known(tag) {
		remember(w, v, languageCookie, tag, false)
	}
	if look := r.FormValue("look"); slices.Contains([]string{"light", "dark"}, look) {
		remember(w, v, themeCookie, look, false)
	} else if r.Form.Has("look") {
		remember(w, v, themeCookie, "", false)
	}
	http.Redirect(w, r, back(r), http.StatusSeeOther)
	return nil
}

func (d *Desk) asset(w http.ResponseWriter, r *http.Request, _ visit) error {
	d.assets.ServeHTTP(w, r)
	return nil
}

// nothing answers what there is no page for.
func (d *Desk) nothing(http.ResponseWriter, *http.Request, visit) error { return errNotThere }
