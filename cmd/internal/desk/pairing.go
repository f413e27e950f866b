package desk

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base32"
	"errors"
	"strings"
	"sync"
	"time"
)

const (
	// keyLife is how long a pairing key can be used.
	keyLife = 10 * time.Minute
	// wrongTries spend a key: at 60 bits five guesses are no chance at all.
	wrongTries = 5
)

var (
	errNoKey    = errors.New("there is no pairing key in force")
	errWrongKey = errors.New("that is not the pairing key")
)

// keyAlphabet leaves out what is mistaken for something else on a wet screen.
var keyAlphabet = base32.NewEncoding("23456789ABCDEFGHJKLMNPQRSTUVWXYZ").WithPadding(base32.NoPadding)

// pairing holds the one pairing key in force. It is spent by the first who
// shows it, by too many who show another, or by time.
type pairing struct {
	now func() time.Time

	mu    sync.Mutex
	key   string
	role  Role
	ends  time.Time
	wrong int
}

// offer makes a new key, in place of any before.
func (p *pairing) offer(role Role) (key string, ends time.Time) {
	b := make([]byte, 8)
	_, _ = rand.Read(b)
	p.mu.Lock()
	defer p.mu.Unlock()
	p.key, p.role, p.ends, p.wrong = keyAlphabet.EncodeToString(b)[:12], role, p.now().Add(keyLife), 0
	return inGroups(p.key), p.ends
}

// inGroups writes a key as people read one out: ABCD-EFGH-JKLM.
func inGroups(key string) string { return key[:4] + "-" + key[4:8] + "-" + key[8:] }

// spend gives the role that a key stands for; it cannot be used again.
func (p *pairing) spend(key string) (Role, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.key == "" || !p.now().Before(p.ends) {
		p.key = ""
		return Nobody, errNoKey
	}
	tidy := strings.ToUpper(strings.NewReplacer("-", "", " ", "").Replace(key))
	if subtle.ConstantTimeCompare([]byte(tidy), []byte(p.key)) != 1 {
		if p.wrong++; p.wrong >= wrongTries {
			p.key = ""
		}
		return Nobody, errWrongKey
	}
	p.key = ""
	return p.role, nil
}
