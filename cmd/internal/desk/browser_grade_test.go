package desk

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// Grading a tray with a thumb: a stage by one tap, tenths by more, and a second tap takes it back.
func TestBrowserGrade(t *testing.T) {
	d := newTestDesk(t)
	b := open(t, d, 360, "/")
	b.sitting("hm")
	b.run(chromedp.Navigate(b.url+"/sets/builtin-1-8/grade/"+d.hash), chromedp.WaitVisible(`[name="g.1"]`))
	value := func(half string) string {
		return eval[string](b, `document.querySelector('[name="g.`+half+`"]').value`)
	}
	tap := func(half, what string) {
		t.Helper()
		b.run(chromedp.Click(`//input[@name="g.`+half+`"]/ancestor::li//button[`+what+`]`, chromedp.BySearch))
	}
	tap("1", `@data-stage="3"`)
	if got := value("1"); got != "3" {
		t.Errorf("after a tap on 3 half 1 has %q", got)
	}
	tap("1", `@data-step="-0.1"`)
	tap("1", `@data-step="-0.1"`)
	if got := value("1"); got != "2.8" {
		t.Errorf("two tenths less than 3 is %q", got)
	}
	tap("2", `@data-stage="8"`)
	tap("2", `@data-step="0.1"`)
	if got := value("2"); got != "8.0" {
		t.Errorf("beyond the end of the scale half 2 has %q", got)
	}
	tap("3", `@data-stage="5"`)
	tap("3", `@data-stage="5"`)
	if got := value("3"); got != "" {
		t.Errorf("a second tap leaves %q", got)
	}
	b.picture("grade")
}
