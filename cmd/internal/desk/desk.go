package desk

import (
	"context"
	"log/slog"
	"net/http"
	"time"

	"traystage/cmd/internal/workbench"
	"traystage/vision"
)

// Measurer measures photos apart from this process, as apart.Pool does.
type Measurer interface {
	Measure(ctx context.Context, photo []byte, opt vision.Options) (vision.Tray, error)
	// Picture is the photo upright as a JPEG with at most side pixels on its long side.
	Picture(ctx context.Context, photo []byte, side int) ([]byte, error)
}

// Config says what a desk is made of.
type Config struct {
	Bench    *workbench.Bench // with a season; its photos are measured by Measurer
	Measurer Measurer
	Devices  Devices
	Log      *slog.Logger
	Home     string // folder of this machine's certificate authority
	Language string // where neither season nor device has chosen one
}

// Desk is the page of one season. It may be served at several addresses at once.
type Desk struct {
	config   Config
	bench    *workbench.Bench
	log      *slog.Logger
	now      func() time.Time
	assets   *assets
	pages    templates
	hub      *hub
	visitors *visitors
	pairing  *pairing
	pictures *pictures
	view     *view
	sends    *rate    // of photos and sheets
	pairs    *rate    // of pairing tries
	root     []byte   // certificate of this machine's authority; nil without TLS
	shed     []string // addresses on the local network; set before anything is served

	shedSecure bool
	rootAt     string // where phones take the certificate
}

const (
	// A phone sends its photos one after the other; twenty phones behind one
	// router's address still get through.
	sendsAtOnce, sendsEvery = 200, time.Second / 4
	// The key itself is spent after five wrong tries; this slows their repetition.
	pairsAtOnce, pairsEvery = 10, 10 * time.Second
)

// New makes a desk; nothing is listened to yet.
func New(ctx context.Context, c Config) (*Desk, error) {
	b := *c.Bench
	b.Measure = c.Measurer.Measure
	d := &Desk{config: c, bench: &b, log: c.Log, now: b.Now, hub: newHub(), pairing: &pairing{now: b.Now}}
	d.sends, d.pairs = newRate(sendsAtOnce, sendsEvery, d.now), newRate(pairsAtOnce, pairsEvery, d.now)
	d.pictures = newPictures(c.Measurer, b.Season)
	d.view = newView(&b)
	var err error
	if d.assets, err = newAssets(); err != nil {
		return nil, err
	}
	if d.pages, err = newTemplates(d.assets); err != nil {
		return nil, err
	}
	d.visitors, err = newVisitors(ctx, c.Devices, d.now)
	return d, err
}

// Way is how a request comes in.
type Way struct {
	Hosts  func() []string // what its Host header may be
	Local  bool            // over loopback: whoever sits at the machine is the grower
	Secure bool            // by HTTPS
}

// Handler serves the desk to those who come one way.
func (d *Desk) Handler(way Way) http.Handler {
	mux := http.NewServeMux()
	for _, r := range routes {
		mux.Handle(r.pattern, d.serve(way, r))
	}
	return logged(d.log, recovered(d.log, guard(way.Hosts, mux)))
}

// changed tells open pages of something new, and forgets what was computed.
func (d *Desk) changed(e event) {
	d.view.forget()
	d.hub.tell(e)
}
