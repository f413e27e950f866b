package apart

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"sync"
	"sync/atomic"
	"time"

	"traystage/vision"
)

var (
	// ErrDied is the answer to a photo on which the child ended: it was killed
	// by a decoder, or wanted more memory than it may have.
	ErrDied = errors.New("the photo could not be opened: it is damaged, or made to do harm")
	// ErrTooLong is the answer to a photo that took longer than it may.
	ErrTooLong = errors.New("measuring the photo took too long")
	// ErrBusy is the answer where too many photos wait already.
	ErrBusy = errors.New("too many photos wait to be measured: try again in a moment")
	// ErrClosed is the answer of a pool that was closed.
	ErrClosed = errors.New("the program is ending")
)

// Config says how photos are measured apart.
type Config struct {
	// Command starts a child that calls Serve on its standard input and output.
	Command func() *exec.Cmd
	// Children is the number of photos that are measured at once, 1 or more.
	Children int
	// Waiting is the number of photos that may wait for a child.
	Waiting int
	// Time is the longest that one photo may take.
	Time time.Duration
	// Jobs is the number of photos after which a child is replaced.
	Jobs int
}

// Pool is a fixed number of children, started when they are first wanted. Its
// methods may be called by several goroutines at once.
type Pool struct {
	config Config
	free   chan *child
	queued atomic.Int64

	closing sync.Once
	closed  chan struct{}
}

// New makes a pool; no child is started yet.
func New(c Config) *Pool {
	p := &Pool{config: c, free: make(chan *child, c.Children), closed: make(chan struct{})}
	for range c.Children {
		p.free <- &child{command: c.Command}
	}
	return p
}

// Measure is vision.Measure, apart.
func (p *Pool) Measure(ctx context.Context, photo []byte, opt vision.Options) (vision.Tray, error) {
	a, _, err := p.do(ctx, job{Verb: measure, Options: opt}, photo)
	if err != nil {
		return vision.Tray{}, err
	}
	if a.Tray == nil {
		return vision.Tray{}, ErrDied
	}
	return *a.Tray, nil
}

// Picture gives the photo upright as a JPEG with at most side pixels on its
// long side.
func (p *Pool) Picture(ctx context.Context, photo []byte, side int) ([]byte, error) {
	_, body, err := p.do(ctx, job{Verb: picture, Side: side}, photo)
	return body, err
}

// Close ends all children, those at work too, and waits for them.
func (p *Pool) Close() {
	p.closing.Do(func() {
		close(p.closed)
		for range p.config.Children {
			c := <-p.free
			c.end()
		}
	})
}

// triesMore is how often a photo is tried again whose child ended.
const triesMore = 2

// do has one child do a job; children at work are waited for.
func (p *Pool) do(ctx context.Context, j job, photo []byte) (answer, []byte, error) {
	defer p.queued.Add(-1)
	if p.queued.Add(1) > int64(p.config.Children+p.config.Waiting) {
		return answer{}, nil, ErrBusy
	}
	var c *child
	select {
	case <-p.closed:
		return answer{}, nil, ErrClosed
	default:
	}
	select {
	case c = <-p.free:
	case <-ctx.Done():
		return answer{}, nil, ctx.Err()
	case <-p.closed:
		return answer{}, nil, ErrClosed
	}
	defer func() { p.free <- c }()
	limited, cancel := context.WithTimeoutCause(ctx, p.config.Time, ErrTooLong)
	defer cancel()
	stop := make(chan struct{})
	defer close(stop)
	go func() { // Close does not wait for a photo
		select {
		case <-p.closed:
			cancel()
		case <-stop:
		}
	}()
	a, body, err := c.do(limited, j, photo)
	for range triesMore {
		if err == nil || limited.Err() != nil {
			break
		}
		// The machine may have ended the child for want of memory, or somebody by hand:
		// only a photo on which it ends again and again is to blame.
		a, body, err = c.do(limited, j, photo)
	}
	if c.jobs >= p.config.Jobs {
		c.end()
	}
	if err != nil {
		return answer{}, nil, p.why(ctx, limited, err)
	}
	return a, body, a.failure()
}

// why turns what a child's end looks like from here into what it means.
func (p *Pool) why(ctx, limited context.Context, err error) error {
	select {
	case <-p.closed:
		return ErrClosed
	default:
	}
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.Is(context.Cause(limited), ErrTooLong):
		return fmt.Errorf("%w (more than %v)", ErrTooLong, p.config.Time)
	case errors.Is(err, ErrStart):
		return err
	}
	return ErrDied
}
