package desk

import (
	"net/http"
	"net/url"
	"strings"
	"time"
)

// route is one thing that can be asked of the desk, and by whom.
type route struct {
	pattern string
	role    Role
	limit   int64 // of the body, bytes
	handle  func(*Desk, http.ResponseWriter, *http.Request, visit) error
}

const (
	little   = 64 << 10
	oneSheet = 8 << 20
	onePhoto = 80 << 20 // above any phone's photo
)

// routes is every one. GET changes nothing.
var routes = []route{
	{"GET /{$}", Reader, 0, (*Desk).today},
	{"GET /events", Reader, 0, (*Desk).events},
	{"GET /photos/{hash}/{side}", Reader, 0, (*Desk).photo},
	{"GET /faces/{hash}/{number}", Reader, 0, (*Desk).face},
	{"GET /places/{hash}/{place}", Reader, 0, (*Desk).place},
	{"GET /plates/{set}/{plate}", Reader, 0, (*Desk).plate},

	{"POST /sends/tray", Tester, onePhoto, (*Desk).sendTray},
	{"GET /trays/{hash}", Reader, 0, (*Desk).tray},
	{"POST /trays/{hash}/move", Tester, little, (*Desk).moveTray},
	{"POST /trays/{hash}/strike", Tester, little, (*Desk).strikeTray},
	{"POST /trays/{hash}/restore", Tester, little, (*Desk).restoreTray},
	{"POST /trays/{hash}/halves", Tester, little, (*Desk).reviseTray},
	{"POST /trays/{hash}/numbers", Tester, little, (*Desk).numberTray},

	{"GET /confirm", Reader, 0, (*Desk).confirm},
	{"POST /confirm", Tester, little, (*Desk).review},
	{"POST /confirm/undo", Tester, little, (*Desk).undoReview},

	{"GET /readings", Reader, 0, (*Desk).readingsOf},
	{"GET /readings/{block}", Tester, 0, (*Desk).readings},
	{"POST /sends/readings", Tester, oneSheet, (*Desk).sendReadings},

	{"GET /blocks", Reader, 0, (*Desk).blocks},
	{"GET /blocks/{block}", Reader, 0, (*Desk).block},
	{"GET /blocks/{block}/message", Reader, 0, (*Desk).message},
	{"GET /blocks/{block}/{form}", Reader, 0, (*Desk).blockReport},
	{"POST /blocks/{block}/picked", Grower, little, (*Desk).picked},
	{"GET /outlook/{form}", Reader, 0, (*Desk).outlookReport},

	{"GET /sets", Reader, 0, (*Desk).sets},
	{"GET /sets/{set}", Reader, 0, (*Desk).set},
	{"POST /sets", Grower, onePhoto, (*Desk).newSet},
	{"GET /sets/{set}/grade/{hash}", Grower, 0, (*Desk).grade},
	{"POST /sets/{set}/grade/{hash}", Grower, little, (*Desk).gradeTray},

	{"GET /devices", Grower, 0, (*Desk).devices},
	{"POST /devices/offer", Grower, little, (*Desk).offer},
	{"POST /devices/{id}/revoke", Grower, little, (*Desk).revoke},
	{"GET /pair", Nobody, 0, (*Desk).pair},
	{"POST /pair", Nobody, little, (*Desk).spendKey},
	{"GET /root.crt", Nobody, 0, (*Desk).rootCertificate},

	{"GET /settings", Nobody, 0, (*Desk).settings},
	{"POST /settings", Nobody, little, (*Desk).setSettings},
	{"GET /assets/", Nobody, 0, (*Desk).asset},
	{"GET /manifest.webmanifest", Nobody, 0, (*Desk).manifest},
	{"GET /worker.js", Nobody, 0, (*Desk).worker},
	{"/", Nobody, 0, (*Desk).nothing},
}

// visit is who asks, and how they want it told.
type visit struct {
	role   Role
	device Device // the zero device on loopback
	by     string // initials of the sitting; empty until they were given
	lang   string
	theme  string
	way    Way
}

// serve answers a route to those who may ask, within its limits.
func (d *Desk) serve(way Way, rt route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v := d.visitOf(way, r)
		if seen, ok := w.(*watched); ok {
			seen.device = v.device.ID
		}
		if v.role < rt.role {
			d.refuse(w, r, v)
			return
		}
		if rt.limit > 0 {
			r.Body = http.MaxBytesReader(w, r.Body, rt.limit)
			_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(stalled)) // readForm moves it as bytes come
		}
		if err := rt.handle(d, w, r, v); err != nil {
			d.fail(w, r, v, err)
		}
	})
}

const (
	initialsCookie = "traystage_by"
	languageCookie = "traystage_language"
	themeCookie    = "traystage_theme"
)

func (d *Desk) visitOf(way Way, r *http.Request) visit {
	v := visit{way: way, by: cookieOf(r, initialsCookie), theme: cookieOf(r, themeCookie), lang: d.language(r)}
	if way.Local {
		v.role = Grower
		return v
	}
	if dev, ok := d.visitors.who(r); ok {
		v.role, v.device = dev.Role, dev
	}
	return v
}

// cookieOf is the value of a cookie that holds words; empty for none.
func cookieOf(r *http.Request, name string) string {
	c, err := r.Cookie(name)
	if err != nil {
		return ""
	}
	value, err := url.QueryUnescape(c.Value)
	if err != nil {
		return ""
	}
	return strings.TrimSpace(value)
}

// refuse sends who is not paired to the page that pairs; who is, and may not, is told so.
func (d *Desk) refuse(w http.ResponseWriter, r *http.Request, v visit) {
	switch {
	case v.role > Nobody:
		d.fail(w, r, v, errForbidden)
	case wantsJSON(r) || r.Method != http.MethodGet:
		d.fail(w, r, v, errUnpaired)
	default:
		http.Redirect(w, r, "/pair", http.StatusSeeOther)
	}
}

func wantsJSON(r *http.Request) bool {
	return strings.Contains(r.Header.Get("Accept"), "application/json")
}
