package desk

import (
	"encoding/json"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// axe is axe-core, which judges a page by the success criteria of WCAG 2.2; the
// set-up of the tests brings it.
const axe = "../../../.cache/page/node_modules/axe-core/axe.min.js"

// judge is what axe is asked: every criterion of levels A and AA.
const judge = `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], resultTypes: ["violations", "incomplete"]})
	.then((r) => JSON.stringify(r.passes.length < 5 ? ["axe judged next to nothing"] : [...r.violations, ...r.incomplete.filter((i) => i.id !== "color-contrast")].map((v) => v.id + ": " + v.nodes.map((n) => n.html.slice(0, 120) + " " + (n.any[0]?.message || "")).join(" | "))))`

// TestAccessible judges every page, in both languages and both looks, by WCAG 2.2 A and AA.
func TestAccessible(t *testing.T) {
	script, err := os.ReadFile(axe)
	if err != nil {
		t.Skip("axe-core is not there; make page brings it: 1 test skipped")
	}
	d := newTestDesk(t)
	b := open(t, d, 360, "/")
	for _, state := range []struct{ lang, look string }{{"en", "light"}, {"es", "dark"}} {
		b.run(network.SetCookie(languageCookie, state.lang).WithURL(b.url), network.SetCookie(themeCookie, state.look).WithURL(b.url))
		for _, path := range append(d.paths(), "/nowhere", "/confirm?skip=1") {
			b.run(chromedp.Navigate(b.url+path), chromedp.WaitReady(`html[data-scripts="on"]`),
				chromedp.Evaluate(`for (const d of document.querySelectorAll("details")) d.open = true`, nil),
				chromedp.Evaluate(string(script), nil))
			var found []string
			must(t, json.Unmarshal([]byte(eval[string](b, judge)), &found))
			for _, v := range found {
				t.Errorf("%s in %s, %s: %s", path, state.lang, state.look, v)
			}
		}
	}
}

// unseen is a layout shift, in shares of the screen, that is less than two points
// of a phone's height: pictures settle by fractions of a point as they come, and more of them on a busy machine.
const unseen = 0.002

// shift is how much of a page moves once it is shown, and what of it.
type shift struct {
	By   float64
	What string
}

// TestLight looks at what a page costs on a slow line: its weight without photos,
// that nothing comes from elsewhere, and that nothing moves once it is shown.
func TestLight(t *testing.T) {
	d := newTestDesk(t)
	b := open(t, d, 360, "/")
	for _, path := range d.paths() {
		b.run(network.ClearBrowserCache(), chromedp.Navigate(b.url+path), chromedp.WaitReady(`html[data-scripts="on"]`), chromedp.Sleep(3e8))
		weight := eval[float64](b, `[...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource").filter((r) => !/\/(photos|faces|plates|places)\//.test(r.name))].reduce((s, r) => s + r.transferSize, 0)`)
		if weight > 120e3 {
			t.Errorf("%s weighs %.0f kB", path, weight/1e3)
		}
		if weight < 1e3 {
			t.Errorf("%s weighs %.0f bytes: the measurement is at fault", path, weight)
		}
		for _, from := range strings.Fields(eval[string](b, `performance.getEntriesByType("resource").map((r) => r.name).join(" ")`)) {
			if u, err := url.Parse(from); err != nil || "http://"+u.Host != b.url {
				t.Errorf("%s asks for %s", path, from)
			}
		}
		moved := eval[shift](b, `new Promise((done) => { const moved = {By: 0, What: ""}; new PerformanceObserver((l) => { for (const e of l.getEntries()) { moved.By += e.value; for (const s of e.sources) moved.What += " " + (s.node?.outerHTML || s.node?.textContent || "").slice(0, 120) } }).observe({type: "layout-shift", buffered: true}); setTimeout(() => done(moved), 100) })`)
		if moved.By > unseen {
			t.Errorf("%s: what is shown moves by %.3f:%s", path, moved.By, moved.What)
		}
	}
}
