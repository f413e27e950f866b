package desk

import (
	"net"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// network opens a page on the desk at an address of this machine's network, where
// browsers grant a page less than on loopback, as a role. The server is given too.
func onNetwork(t *testing.T, d *testDesk, role Role, wide int64) (*browser, *httptest.Server) {
	t.Helper()
	s, host := serveAt(t, d, outward(t))
	b := openAt(t, d, "http://"+host, wide, "/pair")
	if role > Nobody {
		key, _ := d.pairing.offer(role)
		b.run(chromedp.SendKeys(`[name="key"]`, key), chromedp.SendKeys(`[name="name"]`, "test phone"), chromedp.Submit(`[name="key"]`),
			chromedp.WaitVisible(`.tabs`))
	}
	return b, s
}

// outward is an address of this machine that is not loopback, of whatever network.
func outward(t *testing.T) string {
	t.Helper()
	all, err := net.InterfaceAddrs()
	must(t, err)
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok && !n.IP.IsLoopback() && n.IP.To4() != nil {
			return n.IP.String()
		}
	}
	t.Skip("this machine is on no network: this test was skipped")
	return ""
}

// sitting gives the initials of the sitting.
func (b *browser) sitting(by string) {
	b.t.Helper()
	b.run(chromedp.Navigate(b.url+"/"), chromedp.SendKeys(`#by`, by), chromedp.Submit(`#by`), chromedp.WaitNotPresent(`#by`))
}

// aPhoto writes a tray that the season does not hold, for a file to be chosen.
func aPhoto(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "phone photo.jpg")
	must(t, os.WriteFile(name, otherPhoto(t), 0o600))
	return name
}

// card is the selector of a block's card.
func cardOf(block string) string {
	return `article[aria-label="` + strings.ReplaceAll(block, `"`, `\"`) + `"]`
}

func (b *browser) traysOf(block string) int {
	b.t.Helper()
	trays, err := b.desk.bench.Trays(b.t.Context(), block)
	must(b.t, err)
	return len(trays)
}

// A tray is sent in two taps after the page is open: the button, which opens the
// camera, and the shutter. Here the file is chosen for the camera.
func TestBrowserSend(t *testing.T) {
	d := newTestDesk(t)
	b, _ := onNetwork(t, d, Tester, 360)
	b.sitting("jo")
	card := cardOf(another)
	b.run(
		chromedp.Click(card+` summary`), // its photo was taken on another day than its fruit
		chromedp.SetValue(card+` [name="picked"]`, "2026-08-24"),
		chromedp.SetUploadFiles(card+` [name="photo"]`, []string{aPhoto(t)}),
		chromedp.WaitVisible(`svg.tray`),
	)
	b.picture("tray")
	if n := b.traysOf(another); n != 1 {
		t.Errorf("%d trays, want 1", n)
	}
	if eval[bool](b, `isSecureContext`) {
		t.Error("the test did not run where a phone would: without a secure context")
	}
}

// A slip is asked about on the phone, and can be insisted on there.
func TestBrowserSlip(t *testing.T) {
	d := newTestDesk(t)
	b, _ := onNetwork(t, d, Tester, 360)
	b.sitting("jo")
	card := cardOf(another)
	b.run(
		chromedp.Click(card+` summary`),
		chromedp.SetValue(card+` [name="picked"]`, "2026-09-14"), // after the photo
		chromedp.SetUploadFiles(card+` [name="photo"]`, []string{aPhoto(t)}),
		chromedp.WaitVisible(`#outbox .say.wait`),
	)
	b.picture("asks")
	if n := b.traysOf(another); n != 0 {
		t.Errorf("%d trays before anybody insisted", n)
	}
	b.run(chromedp.SendKeys(`#outbox input`, "the phone's clock was wrong"), chromedp.Click(`#outbox form button`), chromedp.WaitVisible(`svg.tray`))
	if n := b.traysOf(another); n != 1 {
		t.Errorf("%d trays, want 1", n)
	}
}

// What is chosen without a network waits on the phone, survives a reload, and is
// sent once when the network is back.
func TestBrowserOffline(t *testing.T) {
	d := newTestDesk(t)
	b, _ := onNetwork(t, d, Tester, 360)
	b.sitting("jo")
	card := cardOf(another)
	off := network.EmulateNetworkConditions(true, 0, -1, -1)
	on := network.EmulateNetworkConditions(false, 0, -1, -1)
	b.run(
		network.Enable(), off,
		chromedp.Click(card+` summary`), chromedp.SetValue(card+` [name="picked"]`, "2026-08-24"),
		chromedp.SetUploadFiles(card+` [name="photo"]`, []string{aPhoto(t)}),
		chromedp.WaitVisible(`#outbox li`),
	)
	b.picture("offline")
	if line := eval[string](b, `document.getElementById("line").textContent`); !strings.Contains(line, "no network") || !strings.Contains(line, "1") {
		t.Errorf("the line says %q", line)
	}
	if n := b.traysOf(another); n != 0 {
		t.Errorf("%d trays without a network", n)
	}
	b.run(on, chromedp.Reload(), chromedp.WaitVisible(`svg.tray`))
	if n := b.traysOf(another); n != 1 {
		t.Errorf("%d trays, want 1", n)
	}
	if left := eval[int](b, `import("`+d.assets.path("outbox.js")+`").then((o) => o.list()).then((l) => l.length)`); left != 0 {
		t.Errorf("%d left in the outbox", left)
	}
}

// The page itself stays at hand without the network where the browser keeps it.
func TestBrowserOfflineReloadWhereSecure(t *testing.T) {
	d := newTestDesk(t)
	b := open(t, d, 360, "/")
	b.run(
		chromedp.Evaluate(`navigator.serviceWorker.ready.then(() => new Promise((done) => setTimeout(done, 300)))`, nil, awaited),
		chromedp.Reload(), chromedp.WaitVisible(cardOf(oneBlock)),
		network.Enable(), network.EmulateNetworkConditions(true, 0, -1, -1),
		chromedp.Reload(), chromedp.WaitVisible(cardOf(oneBlock)),
	)
}

func TestBrowserConfirm(t *testing.T) {
	d := newTestDesk(t)
	b := open(t, d, 360, "/")
	b.sitting("hm")
	b.run(chromedp.Navigate(b.url+"/confirm"), chromedp.WaitVisible(`button.confirm`))
	first := eval[string](b, `document.querySelector("h1").textContent`)
	b.picture("call")
	b.run(chromedp.Click(`button.confirm`), chromedp.WaitVisible(`form[action="/confirm/undo"]`)) // one tap
	if now := eval[string](b, `document.querySelector("h1").textContent`); now == first {
		t.Errorf("after a confirmation the page still says %q", now)
	}
	b.run(chromedp.Click(`form[action="/confirm/undo"] button`), chromedp.WaitNotPresent(`form[action="/confirm/undo"]`))
	if now := eval[string](b, `document.querySelector("h1").textContent`); now != first {
		t.Errorf("taken back, the page says %q, want %q", now, first)
	}
	b.run(
		chromedp.Click(`form.verdict summary`), chromedp.Click(`[data-step="0.1"]`), chromedp.Click(`[data-step="0.1"]`),
		chromedp.Click(`.verdict .chips label`), chromedp.Click(`button[value="override"]`), chromedp.WaitVisible(`form[action="/confirm/undo"]`),
	)
	if n := reviews(t, d); n != 1 {
		t.Errorf("%d overrides, want 1", n)
	}
}

// ready waits until the keys of a page work.
var ready = chromedp.WaitReady(`html[data-keys="on"]`)

// reviews counts the overrides of the first block's sample.
func reviews(t *testing.T, d *testDesk) int {
	t.Helper()
	sample, err := d.bench.Sample(t.Context(), oneBlock, time.Time{})
	must(t, err)
	n := 0
	for _, f := range sample.Fruit() {
		if f.Overridden() {
			n++
		}
	}
	return n
}

func TestBrowserKeyboard(t *testing.T) {
	d := newTestDesk(t)
	b := open(t, d, 1280, "/")
	b.sitting("hm")
	b.run(chromedp.Navigate(b.url+"/confirm"), chromedp.WaitVisible(`button.confirm`), ready, chromedp.KeyEvent(kb.Enter), chromedp.WaitVisible(`form[action="/confirm/undo"]`),
		ready, chromedp.KeyEvent("u"), chromedp.WaitNotPresent(`form[action="/confirm/undo"]`),
		ready, chromedp.KeyEvent("o"), chromedp.KeyEvent(kb.ArrowUp), chromedp.KeyEvent(kb.ArrowUp))
	if !eval[bool](b, `document.activeElement.id === "stage"`) {
		t.Error("o did not lead to the stage")
	}
	b.run(chromedp.Click(`.verdict .chips label`), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Enter), chromedp.WaitVisible(`form[action="/confirm/undo"]`))
	if n := reviews(t, d); n != 1 {
		t.Errorf("%d overrides by keyboard, want 1", n)
	}
}

// Two people look at one call: the later click writes nothing, and shows what the
// other did with what was typed.
func TestBrowserTwoPeople(t *testing.T) {
	d := newTestDesk(t)
	one, two := open(t, d, 360, "/"), open(t, d, 1280, "/")
	for b, by := range map[*browser]string{one: "hm", two: "jo"} {
		b.sitting(by)
		b.run(chromedp.Navigate(b.url+"/confirm"), chromedp.WaitVisible(`button.confirm`))
	}
	one.run(chromedp.Click(`button.confirm`), chromedp.WaitVisible(`form[action="/confirm/undo"]`))
	two.run(
		chromedp.Click(`form.verdict summary`), chromedp.SetValue(`#stage`, "2.2"), chromedp.Click(`.verdict .chips label`),
		chromedp.Click(`button[value="override"]`), chromedp.WaitVisible(`[role="alert"]`),
	)
	two.picture("stale")
	if n := reviews(t, d); n != 0 {
		t.Error("a stale click overwrote what the other had done")
	}
	if typed := eval[string](two, `document.getElementById("stage").value`); typed != "2.2" {
		t.Errorf("what was typed is %q", typed)
	}
}

func TestBrowserPad(t *testing.T) {
	d := newTestDesk(t)
	b, _ := onNetwork(t, d, Tester, 360)
	b.sitting("jo")
	b.run(chromedp.Navigate(b.url+"/readings/Brook%205"), chromedp.WaitVisible(`.keys`))
	press := func(keys string) {
		for _, k := range keys {
			b.run(chromedp.Click(`.keys [data-key="`+string(k)+`"]`, chromedp.NodeVisible))
		}
	}
	press("16.216.012.4") // side 1, side 2, juice: each ends with its tenth
	b.picture("pad")
	if got := eval[string](b, `["1.side1","1.side2","1.brix"].map((n) => document.querySelector("[name='" + n + "']").value).join(" ")`); got != "16.2 16.0 12.4" {
		t.Errorf("typed %q", got)
	}
	b.run(chromedp.Reload(), chromedp.WaitVisible(`.keys`)) // a locked phone, a reload: the draft is there
	if got := eval[string](b, `document.querySelector("[name='1.brix']").value`); got != "12.4" {
		t.Errorf("after a reload the juice is %q", got)
	}
	press("")
	b.run(chromedp.Click(`form[data-pad] .row.end button`))
	b.until(func() bool {
		sample, err := d.bench.Sample(t.Context(), oneBlock, time.Time{})
		return err == nil && len(sample.Readings) == 1 && sample.Readings[0].Solids.Brix == 12.4
	}, "the readings in the season")
}

// until waits for something that does not show on the page.
func (b *browser) until(done func() bool, what string) {
	b.t.Helper()
	for range 100 {
		if done() {
			return
		}
		b.run(chromedp.Sleep(100 * time.Millisecond))
	}
	b.picture("waited")
	b.t.Errorf("waited for %s in vain", what)
}

// A half that is none, a fruit that was not cut, a tray of another block: each is
// put right on its page.
func TestBrowserPutRight(t *testing.T) {
	d := newTestDesk(t)
	b := open(t, d, 360, "/")
	b.sitting("hm")
	page := b.url + "/trays/" + d.hash
	b.run(chromedp.Navigate(page), chromedp.WaitVisible(`svg.tray`), chromedp.Click(`#fruit-3 summary`), chromedp.Click(`#fruit-3 button.wrong`), chromedp.WaitNotPresent(`#fruit-12`))
	b.run(chromedp.Click(`#fruit-7 summary`), chromedp.Click(`#fruit-7 form[action$="/numbers"] button`), chromedp.WaitVisible(`#fruit-12`), chromedp.WaitNotPresent(`#fruit-7`))
	b.picture("put-right")
	b.run(chromedp.Click(`.fix summary`), chromedp.Click(`.fix .chips label:nth-child(1)`))
	b.run(chromedp.Evaluate(`[...document.querySelectorAll(".fix [name=to]")].find((r) => r.value !== "Brook 5").click()`, nil), chromedp.Click(`.fix form[action$="/move"] button.main`))
	b.until(func() bool { return b.traysOf(another) == 1 }, "the tray in the other block")
}
