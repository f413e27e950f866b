package desk

import (
	"context"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// memory keeps devices for tests.
type memory struct {
	mu  sync.Mutex
	all []Device
}

func (m *memory) Devices(context.Context) ([]Device, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.all), nil
}

func (m *memory) AddDevice(_ context.Context, _ string, d Device) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.all = append(m.all, d)
	return nil
}

func (m *memory) RevokeDevice(_ context.Context, _, id string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i := range m.all {
		if m.all[i].ID == id {
			m.all[i].Revoked = time.Now()
		}
	}
	return nil
}

// clock is a time that stands until it is moved.
type clock struct{ t time.Time }

func (c *clock) now() time.Time { return c.t }

func newClock() *clock { return &clock{time.Date(2026, 9, 14, 8, 0, 0, 0, time.UTC)} }

func TestVisitors(t *testing.T) {
	kept, c := &memory{}, newClock()
	v, err := newVisitors(t.Context(), kept, c.now)
	if err != nil {
		t.Fatal(err)
	}
	cookie, err := v.admit(t.Context(), "hm", "shed phone", Tester, false)
	if err != nil {
		t.Fatal(err)
	}
	if !cookie.HttpOnly || cookie.SameSite != http.SameSiteStrictMode || cookie.Secure {
		t.Errorf("cookie %v: want HttpOnly, SameSite=Strict and, on plain HTTP, not Secure", cookie)
	}
	if kept.all[0].Hash == cookie.Value || strings.Contains(kept.all[0].Hash, cookie.Value) {
		t.Error("the secret itself is kept")
	}
	with := func(value string) *http.Request {
		r := httptest.NewRequest("GET", "/", nil)
		r.AddCookie(&http.Cookie{Name: cookieName, Value: value})
		return r
	}
	if d, ok := v.who(with(cookie.Value)); !ok || d.Role != Tester || d.Name != "shed phone" {
		t.Errorf("the paired device is %+v, %v", d, ok)
	}
	for _, wrong := range []string{"", "x", kept.all[0].Hash, kept.all[0].ID} {
		if _, ok := v.who(with(wrong)); ok {
			t.Errorf("cookie %q was let in", wrong)
		}
	}
	if _, ok := v.who(httptest.NewRequest("GET", "/", nil)); ok {
		t.Error("no cookie at all was let in")
	}
	c.t = c.t.Add(pairedFor)
	if _, ok := v.who(with(cookie.Value)); ok {
		t.Error("a device was let in after its time")
	}
	c.t = c.t.Add(-time.Hour)
	if err := v.revoke(t.Context(), "hm", kept.all[0].ID); err != nil {
		t.Fatal(err)
	}
	if _, ok := v.who(with(cookie.Value)); ok {
		t.Error("a revoked device was let in")
	}
	if _, err := v.admit(t.Context(), "hm", "", Tester, false); err == nil {
		t.Error("a device without a name was paired")
	}
}

func TestPairingKey(t *testing.T) {
	c := newClock()
	p := &pairing{now: c.now}
	if _, err := p.spend(""); err != errNoKey {
		t.Errorf("without an offer: %v", err)
	}
	key, ends := p.offer(Tester)
	if len(key) != 14 || ends.Sub(c.t) != keyLife {
		t.Errorf("key %q until %v", key, ends)
	}
	if role, err := p.spend(" " + strings.ToLower(strings.ReplaceAll(key, "-", " "))); err != nil || role != Tester {
		t.Errorf("typed by hand: %v, %v", role, err)
	}
	if _, err := p.spend(key); err != errNoKey {
		t.Errorf("replayed: %v", err)
	}
	key, _ = p.offer(Grower)
	c.t = c.t.Add(keyLife)
	if _, err := p.spend(key); err != errNoKey {
		t.Errorf("after its time: %v", err)
	}
	key, _ = p.offer(Grower)
	for range wrongTries {
		if _, err := p.spend("2222-2222-2222"); err != errWrongKey {
			t.Errorf("guessed: %v", err)
		}
	}
	if _, err := p.spend(key); err != errNoKey {
		t.Errorf("after %d guesses: %v", wrongTries, err)
	}
	first, _ := p.offer(Reader)
	if second, _ := p.offer(Reader); first == second {
		t.Error("two offers have one key")
	}
	if _, err := p.spend(first); err != errWrongKey {
		t.Errorf("the key before the last: %v", err)
	}
}

func TestRolesByName(t *testing.T) {
	for _, r := range []Role{Nobody, Reader, Tester, Grower} {
		if roleNamed(r.String()) != r {
			t.Errorf("%v is not itself by its name", r)
		}
	}
	for _, name := range []string{"", "owner", "Grower"} {
		if roleNamed(name) != Nobody {
			t.Errorf("%q is a role", name)
		}
	}
}

func TestRate(t *testing.T) {
	c := newClock()
	l := newRate(3, time.Second, c.now)
	for i := range 3 {
		if !l.allow("a") {
			t.Errorf("request %d was held up", i+1)
		}
	}
	if l.allow("a") {
		t.Error("a fourth at once went through")
	}
	if !l.allow("b") {
		t.Error("another address was held up")
	}
	c.t = c.t.Add(time.Second)
	if !l.allow("a") || l.allow("a") {
		t.Error("a second later, one and no more may go")
	}
}
