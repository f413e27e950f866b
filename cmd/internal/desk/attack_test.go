package desk

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/textproto"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Each test is one thing that somebody on the shed's network might try.

func TestTraversal(t *testing.T) {
	d := newTestDesk(t)
	c := d.client(t, Grower)
	for _, path := range []string{
		"/photos/..%2f..%2fseason.db/screen", "/photos/%2e%2e/small", "/photos/" + d.hash + "/..%2f..%2fseason.db", "/assets/..%2f..%2fseason.db",
		"/plates/..%2f..%2fetc%2fpasswd/0", "/sets/..%2f..%2f..%2fetc%2fpasswd", "/trays/..%2fseason.db", "/blocks/..%2f..%2fseason.db",
		"/blocks/Brook%205/..%2f..%2fseason.db", "/outlook/..%2fseason.db",
	} {
		w := c.get(path)
		if w.Code < 300 || w.Code >= 500 {
			t.Errorf("%s: %d", path, w.Code)
		}
		if strings.Contains(w.Body.String(), "SQLite") || strings.Contains(w.Body.String(), "root:") {
			t.Errorf("%s gave a file away", path)
		}
	}
}

// sending makes a multipart form with a photo under a file name.
func sending(t *testing.T, path string, fields map[string]string, name string, file []byte) *http.Request {
	t.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	for k, v := range fields {
		must(t, form.WriteField(k, v))
	}
	if name != "" {
		h := textproto.MIMEHeader{}
		h.Set("Content-Disposition", `form-data; name="photo"; filename="`+strings.ReplaceAll(name, `"`, "%22")+`"`)
		part, err := form.CreatePart(h)
		must(t, err)
		_, err = part.Write(file)
		must(t, err)
	}
	must(t, form.Close())
	r := httptest.NewRequest("POST", path, &b)
	r.Header.Set("Content-Type", form.FormDataContentType())
	r.Header.Set("Origin", "http://"+ownHost)
	r.Header.Set("Accept", "application/json")
	return r
}

const someID = "00112233445566778899aabbccddeeff"

// Scripts in names of files and in every text field are shown as text.
func TestScriptsAreText(t *testing.T) {
	d := newTestDesk(t)
	c := d.client(t, Grower)
	const script = `<script>alert(1)</script>`
	w := c.do(sending(t, "/sends/tray", map[string]string{"id": someID, "block": another, "by": script[:12], "picked": "2026-08-24"}, script+".jpg", otherPhoto(t)))
	if w.Code != http.StatusCreated {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	c.post("/blocks/"+url.PathEscape(another)+"/picked", url.Values{"by": {"hm"}, "destination": {script}, "note": {script}})
	for _, path := range append(d.paths(), "/blocks/"+url.PathEscape(another)+"/report.html") {
		if strings.Contains(c.get(path).Body.String(), "<script>alert") {
			t.Errorf("%s runs what somebody typed", path)
		}
	}
}

func TestBombsAndJunk(t *testing.T) {
	d := newTestDesk(t)
	c := d.client(t, Tester)
	huge := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x01\x00\x00\x00\x01\x00\x00\x08\x02\x00\x00\x00"), make([]byte, 100)...)
	for name, file := range map[string][]byte{"junk.jpg": []byte("no photo at all"), "empty.jpg": {}, "bomb.png": huge, "cut.jpg": d.photo[:len(d.photo)/2]} {
		w := c.do(sending(t, "/sends/tray", map[string]string{"id": newID() + newID() + "00000000", "block": oneBlock, "by": "hm"}, name, file))
		if w.Code < 400 || w.Code >= 500 {
			t.Errorf("%s: %d %s", name, w.Code, w.Body)
		}
	}
}

func TestTooLarge(t *testing.T) {
	d := newTestDesk(t)
	w := d.client(t, Tester).do(sending(t, "/sends/tray", map[string]string{"id": someID, "block": oneBlock, "by": "hm"}, "large.jpg", make([]byte, onePhoto+1)))
	if w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("%d, want 413", w.Code)
	}
	fields := url.Values{"why": {strings.Repeat("x", little+1)}, "by": {"hm"}}
	if w := d.client(t, Tester).post("/trays/"+d.hash+"/strike", fields); w.Code < 400 {
		t.Errorf("a form of %d bytes: %d", little, w.Code)
	}
}

func TestForgedRequests(t *testing.T) {
	d := newTestDesk(t)
	c := d.client(t, Grower)
	r := httptest.NewRequest("POST", "/trays/"+d.hash+"/strike", strings.NewReader("by=hm&why=x"))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "http://elsewhere.example")
	if w := c.do(r); w.Code != http.StatusForbidden {
		t.Errorf("a form of another site: %d", w.Code)
	}
}

// A cookie that was there before the pairing is worth nothing after it.
func TestSessionFixation(t *testing.T) {
	d := newTestDesk(t)
	c := d.client(t, Nobody)
	planted := &http.Cookie{Name: cookieName, Value: "planted-by-somebody", Path: "/"}
	c.jar.SetCookies(home, []*http.Cookie{planted})
	key, _ := d.pairing.offer(Tester)
	if w := c.post("/pair", url.Values{"key": {key}, "name": {"phone"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("pairing: %d %s", w.Code, w.Body)
	}
	if w := c.get("/"); w.Code != http.StatusOK {
		t.Errorf("the paired phone: %d", w.Code)
	}
	thief := d.client(t, Nobody)
	thief.jar.SetCookies(home, []*http.Cookie{planted})
	if w := thief.get("/"); w.Code == http.StatusOK {
		t.Error("the planted cookie was let in")
	}
}

// A phone that was shut out is out at once, and cannot make itself more than it is.
func TestRevokedAndRaised(t *testing.T) {
	d := newTestDesk(t)
	c := d.client(t, Tester)
	for _, cookie := range []string{"role", "traystage_role"} {
		c.jar.SetCookies(home, []*http.Cookie{{Name: cookie, Value: "grower", Path: "/"}})
	}
	if w := c.post("/devices/offer", url.Values{"role": {"grower"}}); w.Code != http.StatusForbidden {
		t.Errorf("a tester offers a key: %d", w.Code)
	}
	if w := c.post("/confirm", url.Values{"do": {"override"}, "fruit": {"1"}, "stage": {"5"}, "by": {"x"}, "photo": {d.hash}, "why": {"y"}}); w.Code != http.StatusForbidden {
		t.Errorf("a tester overrides: %d", w.Code)
	}
	must(t, d.visitors.revoke(t.Context(), "hm", d.devices.all[0].ID))
	if w := c.get("/blocks"); w.Code == http.StatusOK {
		t.Error("a phone that was shut out still looks")
	}
}

// What a spreadsheet would take for a formula is text in what the desk gives out.
func TestFormulas(t *testing.T) {
	d := newTestDesk(t)
	c := d.client(t, Grower)
	sheet := "fruit,firmness 1 (lbf),firmness 2 (lbf),brix,note\n1,16,16.2,12.4,\"=HYPERLINK(\"\"http://x\"\")\"\n"
	w := c.do(sending(t, "/sends/readings", map[string]string{"id": someID, "block": oneBlock, "by": "hm", "picked": "2026-09-14", "sheet": sheet}, "", nil))
	if w.Code != http.StatusCreated {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	csv := c.get("/blocks/" + url.PathEscape(oneBlock) + "/report.csv").Body.String()
	for _, line := range strings.Split(csv, "\n") {
		for _, cell := range strings.Split(line, ",") {
			if strings.HasPrefix(strings.Trim(cell, `"`), "=HYPERLINK") {
				t.Errorf("a cell begins as a formula: %s", line)
			}
		}
	}
}

// otherPhoto is a tray that the season does not hold.
func otherPhoto(t *testing.T) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("../../../testdata/trays", "white_all_clear.jpg"))
	must(t, err)
	return b
}
