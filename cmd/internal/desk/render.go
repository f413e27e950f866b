package desk

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"net/url"
	"path"
	"strings"
	"time"

	"traystage/scoring"
	"traystage/scoring/words"
	"traystage/vision/note"
)

//go:embed templates
var templateFiles embed.FS

// page is what every template gets; Data is the page's own.
type page struct {
	*words.Catalogue
	Name    string // of the template
	Title   string // key of the title
	Tab     string // which tab of the navigation it belongs to
	Orchard string
	Role    Role
	Device  string // name of the device; empty on loopback
	By      string // initials of the sitting; empty until given
	Path    string // of the page, to come back to
	Looks   int    // calls that wait
	Theme   string // "light", "dark" or empty for the device's own choice
	Secure  bool   // the page came by HTTPS or loopback
	Data    any
}

// May says whether the device may do what a role may.
func (p page) May(role string) bool { return p.Role >= roleNamed(role) }

// templates are the parsed pages by name.
type templates map[string]*template.Template

// newTemplates parses every page with the layout and the parts. A fault in one
// stops the start.
func newTemplates(a *assets) (templates, error) {
	funcs := template.FuncMap{
		"asset": a.path, "segment": url.PathEscape, // a name in an address: whatever is in it, it is one segment
		"name": note.Name, "count": note.Count, "stage": note.Stage, "share": note.Share, "day": note.Day, "figure": note.Figure,
		"script": script,
		"iso":    func(t time.Time) string { return t.Format(time.DateOnly) },
		"inc":    func(i int) int { return i + 1 },
		"px":     func(p scoring.Point, i int) string { return fmt.Sprintf("%.0f", p[i]) },
		"tapped": func(p scoring.Place) string { return tapped(p, " ") }, "tappedPath": func(p scoring.Place) string { return tapped(p, ",") },
		"points": points, "sentence": words.Sentence, "order": order, "blockorder": blockOrder, "blockwhy": blockWhy, "checkwords": verdictOf, "findings": findings,
		"with2": func(p page, item any) withPage { return withPage{p, item} },
	}
	shared, err := template.New("").Funcs(funcs).Option("missingkey=error").ParseFS(templateFiles, "templates/layout.html", "templates/parts/*.html")
	if err != nil {
		return nil, err
	}
	out := templates{}
	files, err := fs.Glob(templateFiles, "templates/pages/*.html")
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		t, err := shared.Clone()
		if err == nil {
			t, err = t.ParseFS(templateFiles, f)
		}
		if err != nil {
			return nil, fmt.Errorf("page %s: %w", f, err)
		}
		out[strings.TrimSuffix(path.Base(f), ".html")] = t
	}
	return out, nil
}

// withPage hands a part of a page both the page and what it is about.
type withPage struct {
	Page page
	Item any
}

// tapped is a place as if somebody had tapped its core and rim.
func tapped(p scoring.Place, between string) string {
	x, y := p.Centre[0], p.Centre[1]
	return strings.Join([]string{fmt.Sprintf("%.0f", x), fmt.Sprintf("%.0f", y), fmt.Sprintf("%.0f", x+p.Radius), fmt.Sprintf("%.0f", y)}, between)
}

// points are those of an SVG polygon.
func points(outline []scoring.Point) string {
	var b strings.Builder
	for _, p := range outline {
		fmt.Fprintf(&b, "%.0f,%.0f ", p[0], p[1])
	}
	return b.String()
}

// script gives values to a page's scripts as the text of an element of type
// application/json; html/template escapes what could end the element.
func script(v any) (template.JS, error) {
	b, err := json.Marshal(v) // writes <, > and & as \u003c and so on
	return template.JS(b), err
}

// render writes a page whole or not at all.
func (t templates) render(w http.ResponseWriter, status int, p page) error {
	tmpl, ok := t[p.Name]
	if !ok {
		return fmt.Errorf("there is no page %q", p.Name)
	}
	var b bytes.Buffer
	if err := tmpl.ExecuteTemplate(&b, "layout", p); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, err := b.WriteTo(w)
	return err
}
