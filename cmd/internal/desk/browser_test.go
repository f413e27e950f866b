package desk

import (
	"context"
	"flag"
	"fmt"
	"net"
	"net/http/httptest"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// chrome is any Chrome or Chromium on PATH; empty where there is none.
func chrome() string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// browser is one open page on a desk.
type browser struct {
	t    *testing.T
	ctx  context.Context
	page context.Context // of the page itself, without the test's limit of time
	url  string
	desk *testDesk
}

// open opens a page of the given width on a desk at this machine's loopback, as
// the grower.
func open(t *testing.T, d *testDesk, wide int64, path string) *browser {
	t.Helper()
	_, host := serveAt(t, d, "127.0.0.1")
	return openAt(t, d, "http://"+host, wide, path)
}

// serveAt serves the desk at an address of this machine: on loopback to the
// grower, elsewhere to paired devices.
func serveAt(t *testing.T, d *testDesk, ip string) (*httptest.Server, string) {
	t.Helper()
	l, err := net.Listen("tcp", net.JoinHostPort(ip, "0"))
	must(t, err)
	host := l.Addr().String()
	s := httptest.NewUnstartedServer(d.Handler(Way{Hosts: func() []string { return []string{host} }, Local: ip == "127.0.0.1"}))
	s.Listener.Close()
	s.Listener = l
	s.Start()
	t.Cleanup(func() { d.hub.close(); s.Close() })
	return s, host
}

func openAt(t *testing.T, d *testDesk, url string, wide int64, path string) *browser {
	t.Helper()
	if chrome() == "" {
		t.Skip("no Chrome or Chromium on PATH: this test of the page in a browser was skipped")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chrome()), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.WindowSize(int(wide), 900))
	alloc, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(cancel)
	ctx, cancel := chromedp.NewContext(alloc)
	t.Cleanup(cancel)
	must(t, chromedp.Run(ctx)) // starts the browser, which lives as long as this context
	limited, cancel := context.WithTimeout(ctx, 3*time.Minute)
	t.Cleanup(cancel)
	b := &browser{t, limited, ctx, url, d}
	chromedp.ListenTarget(ctx, func(e any) {
		switch e := e.(type) {
		case *runtime.EventExceptionThrown:
			t.Errorf("script: %s", e.ExceptionDetails.Error())
		case *runtime.EventConsoleAPICalled:
			if e.Type == runtime.APITypeError {
				t.Errorf("console: %v", e.Args)
			}
		}
	})
	b.run(chromedp.EmulateViewport(wide, 900, chromedp.EmulateScale(1)), chromedp.Navigate(url+path), chromedp.WaitReady(`html[data-scripts="on"]`))
	return b
}

func (b *browser) run(actions ...chromedp.Action) {
	b.t.Helper()
	if err := chromedp.Run(b.ctx, actions...); err != nil {
		b.picture("failed")
		b.t.Fatal(err)
	}
}

func awaited(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }

// eval gives what a script says.
func eval[T any](b *browser, script string) T {
	b.t.Helper()
	var out T
	b.run(chromedp.Evaluate(script, &out, awaited))
	return out
}

// picture keeps what the page looks like in $TRAYSTAGE_PICTURES, where it is set.
func (b *browser) picture(name string) {
	dir := os.Getenv("TRAYSTAGE_PICTURES")
	if dir == "" {
		return
	}
	var png []byte
	ctx, cancel := context.WithTimeout(b.page, 10*time.Second) // also when the test has run out of time
	defer cancel()
	if err := chromedp.Run(ctx, chromedp.FullScreenshot(&png, 100)); err == nil {
		_ = os.WriteFile(fmt.Sprintf("%s/%s-%s.png", dir, strings.ReplaceAll(b.t.Name(), "/", "-"), name), png, 0o644)
	}
}

var readmePictures = flag.Bool("pictures", false, "draw the pictures of README anew")

// TestReadmePictures draws the pages that README shows, when asked to; it sees each
// time that they are there to be drawn.
func TestReadmePictures(t *testing.T) {
	d := newDeskOf(t, "Mill Row")
	b := open(t, d, 360, "/")
	b.sitting("hm")
	for name, path := range map[string]string{"today": "/", "tray": "/trays/" + d.hash, "call": "/confirm"} {
		var png []byte
		b.run(chromedp.EmulateViewport(360, 760, chromedp.EmulateScale(1)), chromedp.Navigate(b.url+path), chromedp.WaitReady(`html[data-scripts="on"]`),
			chromedp.Sleep(500*time.Millisecond), chromedp.CaptureScreenshot(&png))
		file := "../../../testdata/desk/" + name + ".png"
		if *readmePictures {
			must(t, os.WriteFile(file, png, 0o644))
		}
		if _, err := os.Stat(file); err != nil {
			t.Error(err)
		}
	}
}

func TestBrowserPages(t *testing.T) {
	d := newTestDesk(t)
	for _, wide := range []int64{360, 1280} {
		b := open(t, d, wide, "/")
		for name, path := range map[string]string{
			"today": "/", "readings-of": "/readings", "readings": "/readings/Brook%205", "blocks": "/blocks", "block": "/blocks/Brook%205",
			"confirm": "/confirm", "sets": "/sets", "set": "/sets/builtin-1-8", "devices": "/devices", "settings": "/settings", "tray": "/trays/" + d.hash,
		} {
			b.run(chromedp.Navigate(b.url+path), chromedp.WaitReady(`html[data-scripts="on"]`))
			if over := eval[float64](b, `document.documentElement.scrollWidth - innerWidth`); over > 0 {
				t.Errorf("%s at %d px is %g px too wide", path, wide, over)
			}
			b.picture(fmt.Sprintf("%s-%d", name, wide))
		}
	}
}

// The keys are of one width, the two with words of two, and hold their words on one line.
func TestBrowserKeys(t *testing.T) {
	b := open(t, newTestDesk(t), 360, "/")
	for _, lang := range []string{"en", "es"} {
		b.run(network.SetCookie(languageCookie, lang).WithURL(b.url), chromedp.Navigate(b.url+"/readings/Brook%205"), chromedp.WaitVisible(`.keys`))
		odd := eval[string](b, `(() => {
			const range = document.createRange(), keys = [...document.querySelectorAll(".keys button")]
			return keys.filter((k) => {
				range.selectNodeContents(k)
				const key = k.getBoundingClientRect(), text = range.getBoundingClientRect()
				const wide = keys[0].offsetWidth * (k.dataset.key === "before" || k.dataset.key === "next" ? 2 : 1)
				return range.getClientRects().length !== 1 || text.width > key.width || Math.abs(key.width - wide) > 10
			}).map((k) => k.textContent).join(", ")
		})()`)
		if odd != "" {
			t.Errorf("in %s the keys are not as they are to be: %s", lang, odd)
		}
	}
}
