package desk

import (
	"log/slog"
	"net/http"
	"runtime/debug"
	"slices"
	"time"
)

// policy lets a page load what the desk itself serves and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; " +
	"worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// guard answers only requests that were sent to one of the desk's own
// addresses, which a page of another site that had its name point here is not,
// and lets nothing be changed from pages that are not the desk's.
func guard(hosts func() []string, next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin") // with no-referrer a form of our own would not say where it is from
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		switch {
		case !slices.Contains(hosts(), r.Host):
			http.Error(w, "unknown host", http.StatusMisdirectedRequest)
		case cross.Check(r) != nil:
			http.Error(w, "sent from another page", http.StatusForbidden)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// recovered turns a panic into an error page, and the request alone is lost.
func recovered(log *slog.Logger, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			switch p := recover(); p {
			case nil:
			case http.ErrAbortHandler:
				panic(p)
			default:
				log.Error("panic", "path", r.URL.Path, "what", p, "stack", string(debug.Stack()))
				http.Error(w, "something went wrong; nothing was changed", http.StatusInternalServerError)
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// logged writes one line a request: who, what, how it went. Neither cookies nor
// queries are in it, as these may hold secrets.
func logged(log *slog.Logger, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		start := time.Now()
		seen := &watched{ResponseWriter: w, status: http.StatusOK}
		next.ServeHTTP(seen, r)
		log.Info("request", "method", r.Method, "path", r.URL.Path, "status", seen.status,
			"bytes", seen.bytes, "ms", time.Since(start).Milliseconds(), "device", seen.device)
	})
}

// watched is a writer that remembers what went through it.
type watched struct {
	http.ResponseWriter
	status int
	bytes  int64
	device string
}

func (w *watched) WriteHeader(status int) {
	w.status = status
	w.ResponseWriter.WriteHeader(status)
}

func (w *watched) Write(b []byte) (int, error) {
	n, err := w.ResponseWriter.Write(b)
	w.bytes += int64(n)
	return n, err
}

// Unwrap lets http.ResponseController reach what is beneath, to flush a stream.
func (w *watched) Unwrap() http.ResponseWriter { return w.ResponseWriter }
