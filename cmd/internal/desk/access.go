package desk

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"net/http"
	"slices"
	"sync"
	"time"
)

// Role is what a device may do; each may do what the ones before it may.
type Role int

const (
	Nobody Role = iota // not paired
	Reader             // look
	Tester             // send trays and readings, confirm calls
	Grower             // override, decide, pair devices, make sets
)

var roleNames = []string{"nobody", "reader", "tester", "grower"}

func (r Role) String() string { return roleNames[r] }

// roleNamed gives the role of a name that String gives; Nobody for others.
func roleNamed(name string) Role { return Role(max(0, slices.Index(roleNames, name))) }

// Device is a phone or computer that was paired with the desk. Of its secret
// only the hash is kept.
type Device struct {
	ID      string // 12 hexadecimal digits
	Name    string // as its owner calls it
	Role    Role
	Hash    string    // SHA-256 of the secret in its cookie, hexadecimal
	Paired  time.Time // UTC
	Ends    time.Time // UTC; not let in from then on
	Revoked time.Time // UTC; zero while it is let in
}

// Devices is where paired devices are kept.
type Devices interface {
	// Devices gives every device ever paired, the oldest first.
	Devices(ctx context.Context) ([]Device, error)
	// AddDevice keeps a new one.
	AddDevice(ctx context.Context, by string, d Device) error
	// RevokeDevice shuts one out from now on.
	RevokeDevice(ctx context.Context, by, id string) error
}

// cookieName is that of a device's secret. Browsers keep no __Host- cookie
// from plain HTTP, and a shed's network often has nothing else.
const cookieName = "traystage_device"

// pairedFor is how long a device is let in: one picking season, with room.
const pairedFor = 180 * 24 * time.Hour

// visitors tells who asks: it knows the devices, and reads them again when told
// that they changed.
type visitors struct {
	keep Devices
	now  func() time.Time

	mu    sync.RWMutex
	known map[string]Device // by hash
}

func newVisitors(ctx context.Context, keep Devices, now func() time.Time) (*visitors, error) {
	v := &visitors{keep: keep, now: now}
	return v, v.reload(ctx)
}

func (v *visitors) reload(ctx context.Context) error {
	all, err := v.keep.Devices(ctx)
	if err != nil {
		return err
	}
	known := map[string]Device{}
	for _, d := range all {
		known[d.Hash] = d
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	v.known = known
	return nil
}

// who gives the device that a request comes from, by its cookie.
func (v *visitors) who(r *http.Request) (Device, bool) {
	c, err := r.Cookie(cookieName)
	if err != nil {
		return Device{}, false
	}
	v.mu.RLock()
	d, ok := v.known[hashOf(c.Value)]
	v.mu.RUnlock()
	return d, ok && d.Revoked.IsZero() && v.now().Before(d.Ends)
}

var errNoName = errors.New("a device needs a name")

// admit pairs a new device and gives the cookie that it shows from now on.
func (v *visitors) admit(ctx context.Context, by, name string, role Role, secure bool) (*http.Cookie, error) {
	if name == "" {
		return nil, errNoName
	}
	secret, now := newSecret(), v.now().UTC()
	d := Device{ID: newID(), Name: name, Role: role, Hash: hashOf(secret), Paired: now, Ends: now.Add(pairedFor)}
	if err := v.keep.AddDevice(ctx, by, d); err != nil {
		return nil, err
	}
	return &http.Cookie{
		Name: cookieName, Value: secret, Path: "/", Expires: d.Ends,
		HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: secure,
	}, v.reload(ctx)
}

// revoke shuts a device out at once.
func (v *visitors) revoke(ctx context.Context, by, id string) error {
	if err := v.keep.RevokeDevice(ctx, by, id); err != nil {
		return err
	}
	return v.reload(ctx)
}

func newSecret() string {
	b := make([]byte, 32)
	_, _ = rand.Read(b) // never fails: it ends the program instead
	return base64.RawURLEncoding.EncodeToString(b)
}

func newID() string {
	b := make([]byte, 6)
	_, _ = rand.Read(b)
	return hex.EncodeToString(b)
}

func hashOf(secret string) string {
	h := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(h[:])
}
