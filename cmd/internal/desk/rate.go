package desk

import (
	"net"
	"net/http"
	"sync"
	"time"
)

// rate lets each address through so many times at once, and then as often as
// its share fills up again (a token bucket).
type rate struct {
	burst float64       // times at once
	every time.Duration // for one more
	now   func() time.Time

	mu   sync.Mutex
	seen map[string]bucket
}

type bucket struct {
	left float64
	at   time.Time
}

func newRate(burst int, every time.Duration, now func() time.Time) *rate {
	return &rate{burst: float64(burst), every: every, now: now, seen: map[string]bucket{}}
}

// mostAddresses bounds what is remembered; beyond it all start afresh.
const mostAddresses = 10_000

// allow says whether an address may go on now.
func (l *rate) allow(address string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.seen) > mostAddresses {
		clear(l.seen)
	}
	now := l.now()
	b, ok := l.seen[address]
	if !ok {
		b = bucket{left: l.burst, at: now}
	}
	b.left = min(l.burst, b.left+float64(now.Sub(b.at))/float64(l.every))
	b.at = now
	ok = b.left >= 1
	if ok {
		b.left--
	}
	l.seen[address] = b
	return ok
}

// addressOf is where a request comes from, without the port.
func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}
