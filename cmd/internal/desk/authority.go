package desk

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"time"
)

// authority is a certificate authority of this machine alone. A phone that
// trusts its root trusts nothing beyond a private network: the root is
// constrained to private addresses and to names below .local (RFC 5280, 4.2.1.10).
type authority struct {
	root *x509.Certificate
	key  *ecdsa.PrivateKey
	pem  []byte // the root, as phones take it
}

const (
	rootFile = "desk-root.crt"
	keyFile  = "desk-root.key"
	rootLife = 10 * 365 * 24 * time.Hour
	// leafLife is below the 398 days that phones accept at most.
	leafLife = 390 * 24 * time.Hour
)

// openAuthority reads the authority that is kept in a folder, or makes it there.
func openAuthority(dir string, now time.Time) (*authority, error) {
	root, err := os.ReadFile(filepath.Join(dir, rootFile))
	if errors.Is(err, fs.ErrNotExist) {
		return makeAuthority(dir, now)
	}
	if err != nil {
		return nil, err
	}
	key, err := os.ReadFile(filepath.Join(dir, keyFile))
	if err != nil {
		return nil, fmt.Errorf("the desk's root certificate has lost its key: %w; delete %s to make a new one, which every phone must then take", err, filepath.Join(dir, rootFile))
	}
	pair, err := tls.X509KeyPair(root, key)
	if err != nil {
		return nil, fmt.Errorf("%s: %w; delete it and %s to make a new one", filepath.Join(dir, rootFile), err, keyFile)
	}
	private, ok := pair.PrivateKey.(*ecdsa.PrivateKey)
	if !ok {
		return nil, fmt.Errorf("%s: is no key of the desk's own", filepath.Join(dir, keyFile))
	}
	cert, err := x509.ParseCertificate(pair.Certificate[0])
	return &authority{root: cert, key: private, pem: root}, err
}

func makeAuthority(dir string, now time.Time) (*authority, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	name, _ := os.Hostname()
	template := &x509.Certificate{
		SerialNumber: serial(), Subject: pkix.Name{CommonName: "traystage desk on " + name},
		NotBefore: now.Add(-time.Hour), NotAfter: now.Add(rootLife),
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true,
		KeyUsage:                    x509.KeyUsageCertSign | x509.KeyUsageCRLSign,
		PermittedDNSDomainsCritical: true,
		PermittedDNSDomains:         []string{"local", "localhost"},
		PermittedIPRanges:           privateRanges(),
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	if err != nil {
		return nil, err
	}
	root, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, err
	}
	a := &authority{root: root, key: key, pem: pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})}
	return a, a.keep(dir)
}

// keep writes the key first: a root without its key would be found and not be usable.
func (a *authority) keep(dir string) error {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	der, err := x509.MarshalPKCS8PrivateKey(a.key)
	if err != nil {
		return err
	}
	key := pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: der})
	if err := os.WriteFile(filepath.Join(dir, keyFile), key, 0o600); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, rootFile), a.pem, 0o644)
}

// certify gives a certificate for the addresses and names of this machine.
func (a *authority) certify(addresses []net.IP, names []string, now time.Time) (tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return tls.Certificate{}, err
	}
	template := &x509.Certificate{
		SerialNumber: serial(), Subject: pkix.Name{CommonName: "traystage desk"},
		NotBefore: now.Add(-time.Hour), NotAfter: now.Add(leafLife),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		IPAddresses: addresses, DNSNames: names,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, a.root, key.Public(), a.key)
	return tls.Certificate{Certificate: [][]byte{der, a.root.Raw}, PrivateKey: key}, err
}

func serial() *big.Int {
	n, _ := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 120))
	return n.Add(n, big.NewInt(1))
}

// privateRanges are the networks that no address of the internet lies in
// (RFC 1918, RFC 4193, RFC 3927, RFC 4291, loopback).
func privateRanges() []*net.IPNet {
	var out []*net.IPNet
	for _, cidr := range []string{"10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10", "::1/128"} {
		_, n, err := net.ParseCIDR(cidr)
		if err != nil {
			panic(err) // the list above is wrong
		}
		out = append(out, n)
	}
	return out
}

// private says whether an address lies in a private range.
func private(ip net.IP) bool {
	for _, n := range privateRanges() {
		if n.Contains(ip) {
			return true
		}
	}
	return false
}
