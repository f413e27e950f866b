package desk

import (
	"net"
	"os"
	"slices"
	"strconv"
	"strings"
)

// addresses are those under which phones on the local network reach this
// machine, private ones only: the desk is nothing for the internet. Tests put
// others in their place.
var addresses = privateAddresses

func privateAddresses() []net.IP {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var out []net.IP
	for _, a := range all {
		n, ok := a.(*net.IPNet)
		if ok && !n.IP.IsLoopback() && n.IP.To4() != nil && private(n.IP) {
			out = append(out, n.IP.To4())
		}
	}
	return out
}

// localName is the name that this machine has on a local network (RFC 6762).
func localName() string {
	name, err := os.Hostname()
	if err != nil || name == "" {
		return ""
	}
	name, _, _ = strings.Cut(strings.ToLower(name), ".")
	return name + ".local"
}

// hostsOf are the values of a request's Host header that mean this desk on a
// port. Everything else came through a name of somebody else's.
func hostsOf(ips []net.IP, names []string, port int) []string {
	var out []string
	add := func(host string) {
		out = append(out, net.JoinHostPort(host, strconv.Itoa(port)))
		if port == 80 || port == 443 {
			out = append(out, host)
		}
	}
	for _, ip := range ips {
		add(ip.String())
	}
	for _, n := range names {
		if n != "" {
			add(n)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
