package desk

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
)

// TestServe opens all doors, as desk --shed --tls does, and goes through them as a
// phone would.
func TestServe(t *testing.T) {
	// An address that every machine has, and that is not the one of its own door.
	addresses = func() []net.IP { return []net.IP{net.IPv4(127, 0, 0, 2)} }
	t.Cleanup(func() { addresses = privateAddresses })
	d := newTestDesk(t)
	ctx, stop := context.WithCancel(t.Context())
	open := make(chan Address, 1)
	ended := make(chan error, 1)
	go func() { ended <- d.Serve(ctx, Listening{Shed: true, TLS: true}, func(a Address) { open <- a }) }()
	at := <-open

	get := func(c *http.Client, url string) (int, string) {
		t.Helper()
		r, err := c.Get(url)
		if err != nil {
			return 0, err.Error()
		}
		defer r.Body.Close()
		b, _ := io.ReadAll(r.Body)
		return r.StatusCode, string(b)
	}
	if code, body := get(http.DefaultClient, at.Local); code != 200 || !strings.Contains(body, oneBlock) {
		t.Errorf("on this machine: %d", code)
	}
	if code, what := get(http.DefaultClient, at.Shed[0]+"pair"); code != 0 {
		t.Errorf("a phone without the certificate is content: %d %.80s", code, what)
	}
	code, page := get(http.DefaultClient, at.Root)
	if code != 200 || !strings.Contains(page, at.Shed[0]) {
		t.Errorf("where the certificate is: %d", code)
	}
	for _, path := range []string{"blocks", "pair", "trays/" + d.hash} {
		if code, _ := get(http.DefaultClient, at.Root+path); code != 404 {
			t.Errorf("by plain HTTP %s is %d", path, code)
		}
	}
	_, pem := get(http.DefaultClient, at.Root+"root.crt")
	roots := x509.NewCertPool()
	if !roots.AppendCertsFromPEM([]byte(pem)) {
		t.Fatal("that is no certificate")
	}
	phone := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}}
	if code, body := get(phone, at.Shed[0]); code != 200 || !strings.Contains(body, "name=\"key\"") {
		t.Errorf("a phone that is not paired: %d", code)
	}
	phone.CloseIdleConnections()
	stop()
	if err := <-ended; err != nil {
		t.Errorf("the desk ended with %v", err)
	}
}
