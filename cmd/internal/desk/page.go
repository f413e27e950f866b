package desk

import (
	"net/http"
	"net/url"
	"time"

	"traystage/scoring/words"
)

// words is the catalogue of the visitor's language, on the day that the desk is at.
func (d *Desk) words(v visit) *words.Catalogue { return words.For(v.lang).On(d.bench.Today()) }

// language is the device's choice, else the season's, else what the desk was
// started with.
func (d *Desk) language(r *http.Request) string {
	if tag := cookieOf(r, languageCookie); tag != "" && words.Known(tag) {
		return tag
	}
	if d.config.Language != "" {
		return d.config.Language
	}
	return words.Default
}

// page makes what every template gets.
func (d *Desk) page(r *http.Request, v visit, name, title string, data any) page {
	p := page{
		Catalogue: d.words(v), Name: name, Title: title, Role: v.role, Device: v.device.Name, By: v.by,
		Path: r.URL.RequestURI(), Theme: v.theme, Secure: v.way.Secure || v.way.Local, Data: data,
	}
	if v.role == Nobody {
		return p // who is not paired is not told the orchard's name
	}
	if now, err := d.view.get(r.Context()); err == nil {
		p.Orchard, p.Looks = now.Outlook.Orchard, len(now.Looks)
	}
	return p
}

// remember gives a device a choice for as long as its browser keeps it, or for
// the sitting alone.
func remember(w http.ResponseWriter, v visit, name, value string, sitting bool) {
	c := &http.Cookie{Name: name, Value: url.QueryEscape(value), Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: v.way.Secure}
	switch {
	case value == "":
		c.MaxAge = -1
	case !sitting:
		c.MaxAge = int((365 * 24 * time.Hour).Seconds())
	}
	http.SetCookie(w, c)
}

// back is the page of the desk's own that a form came from; the first page where
// it names another.
func back(r *http.Request) string {
	u, err := url.Parse(r.FormValue("back"))
	if err != nil || u.IsAbs() || u.Host != "" || u.Opaque != "" || len(u.Path) == 0 || u.Path[0] != '/' || len(u.Path) > 1 && (u.Path[1] == '/' || u.Path[1] == '\\') {
		return "/"
	}
	return u.RequestURI()
}
