package desk

import (
	"crypto/tls"
	"crypto/x509"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func TestAuthority(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "desk")
	now := time.Now()
	a, err := openAuthority(dir, now)
	if err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(filepath.Join(dir, keyFile)); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("key file %v, %v: want it readable by its owner alone", info.Mode(), err)
	}
	again, err := openAuthority(dir, now)
	if err != nil || !again.root.Equal(a.root) {
		t.Fatalf("opened again it is another one, %v", err)
	}
	cert, err := again.certify([]net.IP{net.IPv4(127, 0, 0, 1)}, []string{"shed.local"}, now)
	if err != nil {
		t.Fatal(err)
	}
	s := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(204) }))
	s.TLS = &tls.Config{Certificates: []tls.Certificate{cert}}
	s.StartTLS()
	defer s.Close()
	roots := x509.NewCertPool()
	roots.AddCert(a.root)
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}}
	r, err := client.Get(s.URL)
	if err != nil {
		t.Fatalf("one who trusts the root: %v", err)
	}
	r.Body.Close()
	if _, err := http.Get(s.URL); err == nil {
		t.Error("one who does not trust the root was content")
	}
}

// Whoever steals the root's key can pose as no site of the internet.
func TestAuthorityIsConfined(t *testing.T) {
	now := time.Now()
	a, err := openAuthority(t.TempDir(), now)
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(a.root)
	for name, c := range map[string]struct {
		ips   []net.IP
		names []string
		ok    bool
	}{
		"shed.local":   {nil, []string{"shed.local"}, true},
		"192.168.7.2":  {[]net.IP{net.IPv4(192, 168, 7, 2)}, nil, true},
		"bank.example": {nil, []string{"bank.example"}, false},
		"198.51.100.7": {[]net.IP{net.IPv4(198, 51, 100, 7)}, nil, false},
	} {
		cert, err := a.certify(c.ips, c.names, now)
		if err != nil {
			t.Fatal(err)
		}
		leaf, err := x509.ParseCertificate(cert.Certificate[0])
		if err != nil {
			t.Fatal(err)
		}
		_, err = leaf.Verify(x509.VerifyOptions{Roots: roots, DNSName: name, CurrentTime: now})
		if (err == nil) != c.ok {
			t.Errorf("%s: %v, want trusted %v", name, err, c.ok)
		}
	}
}

func TestAuthorityWithoutItsKey(t *testing.T) {
	dir := t.TempDir()
	if _, err := openAuthority(dir, time.Now()); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(dir, keyFile)); err != nil {
		t.Fatal(err)
	}
	if _, err := openAuthority(dir, time.Now()); err == nil {
		t.Error("a root without its key was opened")
	}
}
