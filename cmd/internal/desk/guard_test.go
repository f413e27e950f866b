package desk

import (
	"bytes"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

func TestGuard(t *testing.T) {
	const own = "192.168.7.2:8417"
	reached := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	g := guard(func() []string { return []string{own} }, reached)
	for _, c := range []struct {
		name, method, host, origin, site string
		want                             int
	}{
		{"a page of ours", "GET", own, "", "", 204},
		{"a form of ours", "POST", own, "http://" + own, "same-origin", 204},
		{"a form of ours on plain HTTP", "POST", own, "http://" + own, "", 204},
		{"a program without a browser", "POST", own, "", "", 204},
		{"a form of another site", "POST", own, "http://elsewhere.example", "cross-site", 403},
		{"another port of this machine", "POST", own, "http://192.168.7.2:9000", "", 403},
		{"a page with no origin", "POST", own, "null", "", 403},
		{"a name made to point here", "GET", "elsewhere.example:8417", "", "", 421},
		{"the same, posting to itself", "POST", "elsewhere.example:8417", "http://elsewhere.example:8417", "", 421},
		{"our address without the port", "GET", "192.168.7.2", "", "", 421},
		{"no host", "GET", "", "", "", 421},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := httptest.NewRequest(c.method, "/", nil)
			r.Host = c.host
			if c.origin != "" {
				r.Header.Set("Origin", c.origin)
			}
			if c.site != "" {
				r.Header.Set("Sec-Fetch-Site", c.site)
			}
			w := httptest.NewRecorder()
			g.ServeHTTP(w, r)
			if w.Code != c.want {
				t.Errorf("status %d, want %d", w.Code, c.want)
			}
			if w.Header().Get("Content-Security-Policy") != policy || w.Header().Get("X-Content-Type-Options") != "nosniff" {
				t.Error("the answer does not carry the policy")
			}
		})
	}
}

func TestPolicyAllowsNothingInline(t *testing.T) {
	for _, loose := range []string{"unsafe", "*", "data:", "http:"} {
		if strings.Contains(policy, loose) {
			t.Errorf("policy allows %s", loose)
		}
	}
}

func TestPanicCostsOneRequest(t *testing.T) {
	var log bytes.Buffer
	h := recovered(slog.New(slog.NewTextHandler(&log, nil)), http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("inner words") }))
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest("GET", "/x", nil))
	if w.Code != 500 || strings.Contains(w.Body.String(), "inner words") {
		t.Errorf("status %d, body %q: want 500 without the inner words", w.Code, w.Body)
	}
	if !strings.Contains(log.String(), "inner words") {
		t.Error("the log does not tell of it")
	}
}

func TestLogHoldsNoSecrets(t *testing.T) {
	var log bytes.Buffer
	h := logged(slog.New(slog.NewTextHandler(&log, nil)), http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte("12345")) }))
	r := httptest.NewRequest("GET", "/pair?key=SECRET", nil)
	r.AddCookie(&http.Cookie{Name: cookieName, Value: "SECRET"})
	h.ServeHTTP(httptest.NewRecorder(), r)
	if line := log.String(); strings.Contains(line, "SECRET") || !strings.Contains(line, "path=/pair") || !strings.Contains(line, "bytes=5") {
		t.Errorf("log: %s", line)
	}
}
