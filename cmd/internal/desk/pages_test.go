package desk

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// paths are one of every page that shows something.
func (d *testDesk) paths() []string {
	return []string{
		"/", "/confirm", "/readings", "/readings/" + url.PathEscape(oneBlock), "/blocks", "/blocks/" + url.PathEscape(oneBlock),
		"/blocks/" + url.PathEscape(another), "/blocks/" + url.PathEscape(oneBlock) + "/message", "/sets", "/sets/builtin-1-8", "/devices", "/pair", "/settings",
		"/trays/" + d.hash, "/sets/builtin-1-8/grade/" + d.hash,
	}
}

// key is the key of a text that has no words, as it would be shown.
var key = regexp.MustCompile(`desk\.[a-z]+[a-z.]*|%!|ZgotmplZ|&lt;nil&gt;`)

var assetNames = regexp.MustCompile(`/assets/[a-z0-9/.]+`)

func TestEveryPageInEveryLanguage(t *testing.T) {
	d := newTestDesk(t)
	for _, lang := range []string{"en", "es"} {
		for _, role := range []Role{Reader, Tester, Grower} {
			c := d.client(t, role)
			c.jar.SetCookies(home, []*http.Cookie{{Name: languageCookie, Value: lang, Path: "/"}})
			for _, path := range d.paths() {
				w := c.get(path)
				if w.Code == http.StatusForbidden && role < Grower {
					continue
				}
				body := w.Body.String()
				switch {
				case w.Code != http.StatusOK:
					t.Errorf("%s as %v in %s: %d", path, role, lang, w.Code)
				case !strings.Contains(body, `<html lang="`+lang+`"`):
					t.Errorf("%s as %v is not in %s", path, role, lang)
				case key.MatchString(assetNames.ReplaceAllString(body, "")):
					t.Errorf("%s as %v in %s shows %q", path, role, lang, key.FindAllString(assetNames.ReplaceAllString(body, ""), 3))
				case strings.Contains(body, `<b>"Row"`) || strings.Contains(body, `<b>&#34;Row`):
					t.Errorf("%s: the name of a block became markup", path)
				}
			}
		}
	}
}

// Every link, form and picture of the desk finds its block, whatever signs its name has.
func TestAddressesOfNames(t *testing.T) {
	address := regexp.MustCompile(`(?:href|action|src)="(/(?:blocks|readings)/[^"]+)"`)
	for _, name := range []string{"North/South", "Row #3", "Which?", "50 % shade", "a%2Fb", `c\d`, "a/../b", "+", "Ñ & ü"} {
		d := newDeskOf(t, name)
		c := d.client(t, Grower)
		seen := 0
		for _, page := range []string{"/", "/blocks", "/readings", "/blocks/" + url.PathEscape(name)} {
			w := c.get(page)
			if w.Code != http.StatusOK || page != "/" && !strings.Contains(w.Body.String(), html.EscapeString(name)) {
				t.Errorf("%q: %s answers %d", name, page, w.Code)
			}
			for _, found := range address.FindAllStringSubmatch(w.Body.String(), -1) {
				to := html.UnescapeString(found[1])
				if strings.Contains(to, url.PathEscape(oneBlock)) {
					continue
				}
				u, err := url.Parse(to)
				if seen++; err != nil || u.RawQuery != "" || u.Fragment != "" || !strings.HasSuffix(strings.TrimSuffix(u.Path, "/picked"), name) && !strings.Contains(u.Path, name+"/") {
					t.Errorf("%q: %s leads to %q (%v)", name, page, to, err)
				}
				if strings.HasSuffix(to, "/picked") {
					continue // a form
				}
				if got := c.get(to); got.Code != http.StatusOK {
					t.Errorf("%q: %s answers %d", name, to, got.Code)
				}
			}
		}
		if seen < 5 {
			t.Errorf("%q: only %d addresses", name, seen)
		}
	}
}

// TestRoles asks for every route as everybody: those below its role are refused,
// the others are not.
func TestRoles(t *testing.T) {
	d := newTestDesk(t)
	for _, role := range []Role{Nobody, Reader, Tester, Grower} {
		c := d.client(t, role)
		for _, rt := range routes {
			if rt.pattern == "GET /events" || rt.pattern == "/" {
				continue // a stream that does not end, and what there is no page for
			}
			method, path, _ := strings.Cut(rt.pattern, " ")
			path = strings.NewReplacer("{$}", "", "{hash}", d.hash, "{block}", url.PathEscape(oneBlock), "{set}", "builtin-1-8", "{side}", "small",
				"{number}", "1", "{plate}", "0", "{form}", "report.csv", "{id}", "99").Replace(path)
			var code int
			if method == "GET" {
				code = c.get(path).Code
			} else {
				code = c.post(path, url.Values{}).Code
			}
			refused := code == http.StatusUnauthorized || code == http.StatusForbidden ||
				code == http.StatusSeeOther && role == Nobody && rt.role > Nobody
			if refused != (role < rt.role) {
				t.Errorf("%s as %v: %d, needs %v", rt.pattern, role, code, rt.role)
			}
			if code >= 500 {
				t.Errorf("%s as %v with nothing in it: %d", rt.pattern, role, code)
			}
		}
	}
}

// TestGetChangesNothing asks for every page and looks whether the season's
// database is as it was.
func TestGetChangesNothing(t *testing.T) {
	d := newTestDesk(t)
	before := d.view.stampNow()
	c := d.client(t, Grower)
	for _, path := range d.paths() {
		c.get(path)
	}
	if after := d.view.stampNow(); after != before {
		t.Error("a GET wrote to the season")
	}
}
