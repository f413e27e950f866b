package desk

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/http"
	"path/filepath"
	"slices"
	"strconv"
	"time"
)

// Listening says where the desk is to be found.
type Listening struct {
	Port int  // wanted; another is taken where it is not free
	Shed bool // on the local network too, for paired devices
	TLS  bool // there by HTTPS, with a certificate of this machine's own authority
}

// Address is where a door of the desk is.
type Address struct {
	Local string   // for a browser on this machine: http://127.0.0.1:8417/
	Shed  []string // for phones; empty without Shed
	Root  string   // by plain HTTP: where phones take the certificate; empty without TLS
}

// door is one way in: where it listens, and who is let in there.
type door struct {
	listener net.Listener
	server   *http.Server
}

// headers is how long a client may take to say what it wants; tests shorten it.
var headers = 10 * time.Second

const (
	// answering bounds an answer; streams move their own deadline.
	answering = 2 * time.Minute
	idle      = 2 * time.Minute
	// leaving is how long requests under way may take when the desk ends.
	leaving = 10 * time.Second
)

// Serve opens the desk's doors, says where they are, and serves until ctx ends.
func (d *Desk) Serve(ctx context.Context, l Listening, open func(Address)) error {
	doors, at, err := d.doors(l)
	if err != nil {
		return err
	}
	failed := make(chan error, len(doors))
	for _, door := range doors {
		door.server.RegisterOnShutdown(d.hub.close)
		go func() { failed <- door.server.Serve(door.listener) }()
	}
	open(at)
	select {
	case <-ctx.Done():
	case err = <-failed:
	}
	return errors.Join(ignoreClosed(err), shut(doors))
}

// shut lets requests under way end, and then ends those that do not.
func shut(doors []door) error {
	ctx, cancel := context.WithTimeout(context.Background(), leaving)
	defer cancel()
	var all error
	for _, door := range doors {
		err := door.server.Shutdown(ctx)
		if errors.Is(err, context.DeadlineExceeded) {
			err = door.server.Close()
		}
		all = errors.Join(all, err)
	}
	return all
}

func ignoreClosed(err error) error {
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// doors listens at every address before anything is served.
func (d *Desk) doors(l Listening) ([]door, Address, error) {
	local, err := listen("127.0.0.1", l.Port)
	if err != nil {
		return nil, Address{}, err
	}
	port := portOf(local)
	hosts := hostsOf([]net.IP{net.IPv4(127, 0, 0, 1), net.IPv6loopback}, []string{"localhost"}, port)
	doors := []door{{local, d.server(Way{Hosts: func() []string { return hosts }, Local: true})}}
	at := Address{Local: fmt.Sprintf("http://127.0.0.1:%d/", port)}
	if !l.Shed {
		return doors, at, nil
	}
	shed, err := d.shedDoor(l, port)
	if err != nil {
		return nil, at, errors.Join(err, local.Close())
	}
	scheme := "http"
	if l.TLS {
		scheme = "https"
	}
	for _, ip := range addresses() {
		at.Shed = append(at.Shed, fmt.Sprintf("%s://%s/", scheme, net.JoinHostPort(ip.String(), strconv.Itoa(portOf(shed.listener)))))
	}
	d.shed, d.shedSecure = at.Shed, l.TLS
	doors = append(doors, shed)
	if l.TLS {
		root, err := d.rootDoor(portOf(shed.listener) + 1)
		if err != nil {
			return nil, at, errors.Join(err, local.Close(), shed.listener.Close())
		}
		doors = append(doors, root)
		at.Root = fmt.Sprintf("http://%s/", net.JoinHostPort(addresses()[0].String(), strconv.Itoa(portOf(root.listener))))
		d.rootAt = at.Root
	}
	return doors, at, nil
}

// rootDoor gives out the root certificate by plain HTTP, as a phone that does not
// have it yet trusts no other way; nothing else is to be had there.
func (d *Desk) rootDoor(port int) (door, error) {
	listener, err := listen("", port)
	if err != nil {
		return door{}, err
	}
	way := Way{Hosts: func() []string { return hostsOf(addresses(), []string{localName()}, portOf(listener)) }}
	server := d.server(way)
	server.Handler = logged(d.log, recovered(d.log, guard(way.Hosts, d.rootOnly(way))))
	return door{listener, server}, nil
}

// rootOnly serves the routes that a phone needs to take the certificate.
func (d *Desk) rootOnly(way Way) http.Handler {
	mux := http.NewServeMux()
	for _, r := range []route{
		{"GET /{$}", Nobody, 0, (*Desk).trust},
		{"GET /root.crt", Nobody, 0, (*Desk).rootCertificate},
		{"GET /assets/", Nobody, 0, (*Desk).asset},
		{"/", Nobody, 0, (*Desk).nothing},
	} {
		mux.Handle(r.pattern, d.serve(way, r))
	}
	return mux
}

// shedDoor is the one on the local network. Its addresses are asked for at each
// request, as a laptop may get another one; loopback is not among them.
func (d *Desk) shedDoor(l Listening, port int) (door, error) {
	at := addresses()
	if len(at) == 0 {
		return door{}, errors.New("this machine is on no local network: connect it, or start the desk without --shed")
	}
	listener, err := listen("", port+1)
	if err != nil {
		return door{}, err
	}
	way := Way{Secure: l.TLS, Hosts: func() []string { return hostsOf(addresses(), []string{localName()}, portOf(listener)) }}
	server := d.server(way)
	if !l.TLS {
		return door{listener, server}, nil
	}
	a, err := openAuthority(filepath.Join(d.config.Home, "desk"), d.now())
	if err != nil {
		return door{}, errors.Join(err, listener.Close())
	}
	names := slices.DeleteFunc([]string{localName()}, func(n string) bool { return n == "" })
	cert, err := a.certify(at, names, d.now())
	if err != nil {
		return door{}, errors.Join(err, listener.Close())
	}
	d.root = a.pem
	return door{tls.NewListener(listener, &tls.Config{Certificates: []tls.Certificate{cert}, MinVersion: tls.VersionTLS12}), server}, nil
}

func (d *Desk) server(way Way) *http.Server {
	return &http.Server{
		Handler: d.Handler(way), ReadHeaderTimeout: headers, WriteTimeout: answering, IdleTimeout: idle, MaxHeaderBytes: 32 << 10,
	}
}

// listen takes the port that is wanted, or any other where it is not free.
func listen(host string, port int) (net.Listener, error) {
	l, err := net.Listen("tcp", net.JoinHostPort(host, strconv.Itoa(port)))
	if err != nil && port != 0 {
		l, err = net.Listen("tcp", net.JoinHostPort(host, "0"))
	}
	return l, err
}

func portOf(l net.Listener) int { return l.Addr().(*net.TCPAddr).Port }

// shedAddress is where phones pair; empty when the desk is on no network.
func (d *Desk) shedAddress() string {
	if len(d.shed) == 0 {
		return ""
	}
	return d.shed[0] + "pair"
}

// secureShed says whether what goes over the shed's network is encrypted.
func (d *Desk) secureShed() bool { return d.shedSecure }
