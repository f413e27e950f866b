package desk

import (
	"bytes"
	"context"
	"crypto/sha256"
	"image/jpeg"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/vision"
)

// inProcess measures here and remembers, as measuring is not what is tested.
type inProcess struct {
	mu   sync.Mutex
	seen map[[32]byte]vision.Tray
}

var measured = &inProcess{seen: map[[32]byte]vision.Tray{}}

func (m *inProcess) Measure(_ context.Context, photo []byte, opt vision.Options) (vision.Tray, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	key := sha256.Sum256(photo)
	if t, ok := m.seen[key]; ok {
		return t, nil
	}
	t, err := vision.Measure(photo, opt)
	if err == nil {
		m.seen[key] = t
	}
	return t, err
}

func (m *inProcess) Picture(_ context.Context, photo []byte, side int) ([]byte, error) {
	pic, err := vision.Picture(photo, side, vision.Options{})
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = jpeg.Encode(&b, pic, nil)
	return b.Bytes(), err
}

// testDesk is a desk on a season of two blocks, the first with a tray.
type testDesk struct {
	*Desk
	bench   *workbench.Bench
	dir     string
	photo   []byte // the tray's
	hash    string
	devices *memory
	log     *bytes.Buffer
}

const (
	ownHost  = "192.168.7.2:8418"
	oneBlock = "Brook 5"
	another  = `Mill <b>"Row"</b>` // a name that would be markup
)

func newTestDesk(t *testing.T) *testDesk {
	t.Helper()
	return newDeskOf(t, another)
}

// newDeskOf is a desk whose second block has a name.
func newDeskOf(t *testing.T, second string) *testDesk {
	t.Helper()
	ctx := t.Context()
	dir := filepath.Join(t.TempDir(), "season")
	must(t, workbench.NewSeason(ctx, dir, "hm", "Larkfield"))
	b, err := workbench.Open(ctx, workbench.Config{Season: dir, Sets: filepath.Join(t.TempDir(), "sets"), Program: "traystage test"})
	must(t, err)
	t.Cleanup(func() { _ = b.Close() })
	b.Now = func() time.Time { return time.Date(2026, 9, 15, 9, 0, 0, 0, time.UTC) }
	b.Measure = measured.Measure
	for _, block := range []scoring.Block{{Name: oneBlock, Variety: "Gala", Market: "long CA"}, {Name: second, Variety: "Jonagold", Market: "long CA"}} {
		must(t, b.AddBlock(ctx, workbench.Act{By: "hm"}, block))
	}
	photo, err := os.ReadFile("../../../testdata/trays/larkfield_demo.jpg")
	must(t, err)
	kept, err := b.Store(ctx, workbench.SampleTray{Act: workbench.Act{By: "hm"}, Block: oneBlock, Picked: time.Date(2026, 9, 14, 0, 0, 0, 0, time.UTC)}, workbench.PhotoBytes("tray.jpg", photo))
	must(t, err)
	d := &testDesk{bench: b, dir: dir, photo: photo, hash: kept.Report.PhotoHash, devices: &memory{}, log: &bytes.Buffer{}}
	d.Desk, err = New(ctx, Config{Bench: b, Measurer: measured, Devices: d.devices, Log: slog.New(slog.NewTextHandler(io.MultiWriter(d.log, testLog{t}), nil)), Home: t.TempDir()})
	must(t, err)
	return d
}

type testLog struct{ t *testing.T }

func (l testLog) Write(b []byte) (int, error) { l.t.Logf("%s", bytes.TrimSpace(b)); return len(b), nil }

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// door is the shed's, where nobody is let in without a cookie.
func (d *testDesk) door() http.Handler {
	return d.Handler(Way{Hosts: func() []string { return []string{ownHost} }})
}

// client comes through the shed's door as a role.
func (d *testDesk) client(t *testing.T, role Role) *client {
	t.Helper()
	c := &client{t: t, door: d.door()}
	c.jar, _ = cookiejar.New(nil)
	if role > Nobody {
		cookie, err := d.visitors.admit(t.Context(), "hm", role.String()+" phone", role, false)
		must(t, err)
		c.jar.SetCookies(home, []*http.Cookie{cookie})
	}
	return c
}

var home = &url.URL{Scheme: "http", Host: ownHost, Path: "/"}

// client is a browser without a screen.
type client struct {
	t    *testing.T
	door http.Handler
	jar  http.CookieJar
}

func (c *client) do(r *http.Request) *httptest.ResponseRecorder {
	r.Host = ownHost
	for _, cookie := range c.jar.Cookies(home) {
		r.AddCookie(cookie)
	}
	w := httptest.NewRecorder()
	c.door.ServeHTTP(w, r)
	c.jar.SetCookies(home, w.Result().Cookies())
	return w
}

func (c *client) get(path string) *httptest.ResponseRecorder {
	return c.do(httptest.NewRequest("GET", path, nil))
}

func (c *client) post(path string, fields url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", path, bytes.NewBufferString(fields.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "http://"+ownHost)
	return c.do(r)
}
