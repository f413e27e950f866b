package desk

import (
	"fmt"
	"html/template"
	"net/http"
	"strings"
	"time"

	"rsc.io/qr"
)

type devicesPage struct {
	All     []Device
	Now     time.Time
	Key     string        // just offered; empty for none
	Ends    time.Time     // of the key
	Address string        // of the page that pairs, without the key
	Code    template.HTML // QR code of that address with the key, as SVG
	Role    Role          // that the key stands for
	Root    string        // where phones take the certificate first; empty without TLS
	Plain   bool          // what is sent over the network can be read there
}

// devices lists what was paired; the grower pairs and revokes there.
func (d *Desk) devices(w http.ResponseWriter, r *http.Request, v visit) error {
	return d.showDevices(w, r, v, devicesPage{})
}

func (d *Desk) showDevices(w http.ResponseWriter, r *http.Request, v visit, data devicesPage) error {
	all, err := d.config.Devices.Devices(r.Context())
	if err != nil {
		return err
	}
	data.All, data.Now, data.Plain, data.Root = all, d.now(), !d.secureShed(), d.rootAt
	if data.Address == "" {
		data.Address = d.shedAddress()
	}
	p := d.page(r, v, "devices", "desk.devices.title", data)
	p.Tab = "blocks"
	return d.pages.render(w, http.StatusOK, p)
}

// offer makes a pairing key and shows it with its QR code. The key stands after
// the # of the address, which browsers do not send and logs do not hold.
func (d *Desk) offer(w http.ResponseWriter, r *http.Request, v visit) error {
	role := roleNamed(r.FormValue("role"))
	if role == Nobody {
		role = Tester
	}
	data := devicesPage{Role: role, Address: d.shedAddress()}
	if data.Address != "" {
		data.Key, data.Ends = d.pairing.offer(role)
		var err error
		if data.Code, err = codeOf(data.Address + "#" + strings.ReplaceAll(data.Key, "-", "")); err != nil {
			return err
		}
	}
	return d.showDevices(w, r, v, data)
}

// codeOf draws a QR code (ISO/IEC 18004) as SVG, with the quiet zone of four
// modules that readers need.
func codeOf(text string) (template.HTML, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return "", err
	}
	const quiet = 4
	var path strings.Builder
	for y := range code.Size {
		for x := range code.Size {
			if code.Black(x, y) {
				fmt.Fprintf(&path, "M%d %dh1v1h-1z", x+quiet, y+quiet)
			}
		}
	}
	side := code.Size + 2*quiet
	return template.HTML(fmt.Sprintf(`<svg class="code" viewBox="0 0 %d %d" role="img" aria-labelledby="code-name" shape-rendering="crispEdges"><path fill="#fff" d="M0 0h%dv%dH0z"/><path fill="#000" d="%s"/></svg>`,
		side, side, side, side, path.String())), nil
}

// revoke shuts a device out.
func (d *Desk) revoke(w http.ResponseWriter, r *http.Request, v visit) error {
	by, err := v.signed(r.FormValue("by"))
	if err != nil {
		return err
	}
	err = d.visitors.revoke(r.Context(), by, r.PathValue("id"))
	return d.put(w, r, v, by, err, event{What: "devices"}, "/devices")
}

// pair is the page on which a device shows the key.
func (d *Desk) pair(w http.ResponseWriter, r *http.Request, v visit) error {
	p := d.page(r, v, "pair", "desk.pair.title", struct{ Plain, Root bool }{!v.way.Secure && !v.way.Local, len(d.root) > 0})
	p.Tab = "none"
	return d.pages.render(w, http.StatusOK, p)
}

// spendKey lets the device in that shows the key.
func (d *Desk) spendKey(w http.ResponseWriter, r *http.Request, v visit) error {
	if !d.pairs.allow(addressOf(r)) {
		return errTooOften
	}
	role, err := d.pairing.spend(r.FormValue("key"))
	if err != nil {
		return err
	}
	name := strings.TrimSpace(r.FormValue("name"))
	if name == "" {
		name = addressOf(r)
	}
	cookie, err := d.visitors.admit(r.Context(), "desk", name, role, v.way.Secure)
	if err != nil {
		return err
	}
	http.SetCookie(w, cookie)
	d.changed(event{What: "devices"})
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// trust tells how a phone takes the root certificate, and leads to the desk.
func (d *Desk) trust(w http.ResponseWriter, r *http.Request, v visit) error {
	p := d.page(r, v, "trust", "desk.trust.title", struct{ Desk string }{d.shedAddress()})
	p.Tab = "none"
	return d.pages.render(w, http.StatusOK, p)
}

// rootCertificate is that of this machine's own authority, for phones to take.
func (d *Desk) rootCertificate(w http.ResponseWriter, _ *http.Request, _ visit) error {
	if len(d.root) == 0 {
		return errNotThere
	}
	w.Header().Set("Content-Type", "application/x-x509-ca-cert")
	w.Header().Set("Content-Disposition", `attachment; filename="traystage-desk.crt"`)
	_, _ = w.Write(d.root)
	return nil
}
