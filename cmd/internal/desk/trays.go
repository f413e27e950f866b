package desk

import (
	"net/http"
	"strconv"
	"strings"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/vision"
	"traystage/vision/note"
)

// trayPage shows one photo with what was found on it.
type trayPage struct {
	Row     workbench.TrayRow
	Block   string
	Picked  time.Time
	Report  scoring.Report
	Numbers string // of its fruit, as people say them: 1 to 12
	Again   []note.Note
	Place   []note.Note // on the block it was put in
	Blocks  []string    // to move it to
	Texts   map[string]string
}

// tray shows a photo, its halves and calls, and lets each be put right.
func (d *Desk) tray(w http.ResponseWriter, r *http.Request, v visit) error {
	row, report, err := d.bench.TrayOf(r.Context(), r.PathValue("hash"))
	if err != nil {
		return err
	}
	now, err := d.view.get(r.Context())
	if err != nil {
		return err
	}
	data := trayPage{Row: row, Block: row.Block, Picked: row.Picked, Report: report, Again: betterPhoto(report), Texts: d.trayTexts(v)}
	data.Numbers = d.words(v).Counts(row.Numbers)
	if data.Place, err = d.bench.PlaceRemarks(r.Context(), row.Block); err != nil {
		return err
	}
	for _, p := range now.Outlook.Blocks {
		data.Blocks = append(data.Blocks, p.Block.Name)
	}
	p := d.page(r, v, "tray", "desk.tray.title", data)
	p.Tab = "today"
	return d.pages.render(w, http.StatusOK, p)
}

// betterPhoto is what would make the next photo better: the first remark of the
// whole photo, else the one that most of its halves carry.
func betterPhoto(r scoring.Report) []note.Note {
	for _, n := range r.Remarks {
		if n.Code != vision.RemarkSuspects && n.Code != vision.RemarkUncut { // the page shows suspects one by one
			return []note.Note{n}
		}
	}
	counts := map[string]int{}
	var most note.Note
	for _, f := range r.Fruit {
		for _, n := range f.Remarks {
			counts[n.Key()]++
			if most.IsZero() || counts[n.Key()] > counts[most.Key()] {
				most = n
			}
		}
	}
	if 3*counts[most.Key()] < len(r.Fruit) {
		return nil // one half in three is no fault of the photo
	}
	return []note.Note{most}
}

func (d *Desk) trayTexts(v visit) map[string]string {
	c := d.words(v)
	return map[string]string{"tapCentre": c.Text("desk.tray.tapcentre"), "tapRim": c.Text("desk.tray.taprim"), "half": c.Text("desk.tray.half")}
}

// moveTray puts a photo that was sent to the wrong block or day where it belongs.
func (d *Desk) moveTray(w http.ResponseWriter, r *http.Request, v visit) error {
	picked, err := dayOf(r.FormValue("picked"))
	if err != nil {
		return err
	}
	return d.onTray(w, r, v, func(act workbench.Act, t workbench.TrayRow) error {
		_, err := d.bench.MoveTray(r.Context(), act, t.Block, t.Hash, r.FormValue("to"), picked, why(r))
		return err
	})
}

// strikeTray takes a photo out of its sample.
func (d *Desk) strikeTray(w http.ResponseWriter, r *http.Request, v visit) error {
	return d.onTray(w, r, v, func(act workbench.Act, t workbench.TrayRow) error {
		_, err := d.bench.StrikeTray(r.Context(), act, t.Block, t.Hash, why(r))
		return err
	})
}

// restoreTray puts a photo back that was taken out.
func (d *Desk) restoreTray(w http.ResponseWriter, r *http.Request, v visit) error {
	return d.onTray(w, r, v, func(act workbench.Act, t workbench.TrayRow) error {
		_, err := d.bench.RestoreTray(r.Context(), act, t.Block, t.Hash, why(r))
		return err
	})
}

// reviseTray strikes a half that is none, or adds one by its core and a point of
// its rim, in pixels of the upright photo.
func (d *Desk) reviseTray(w http.ResponseWriter, r *http.Request, v visit) error {
	strike, err := countsOf(r.FormValue("strike"))
	if err != nil {
		return err
	}
	at, err := placeOf(r.FormValue("add"))
	if err != nil {
		return err
	}
	return d.onTray(w, r, v, func(act workbench.Act, t workbench.TrayRow) error {
		if len(strike) > 0 {
			_, err := d.bench.StrikeHalves(r.Context(), act, t.Block, t.Hash, strike, why(r))
			return err
		}
		_, err := d.bench.AddHalf(r.Context(), act, t.Block, t.Hash, at, why(r))
		return err
	})
}

// placeOf reads "x y x y": a core and a point of its rim.
func placeOf(text string) (workbench.Tapped, error) {
	var at [4]float64
	words := strings.Fields(text)
	if text != "" && len(words) != len(at) {
		return workbench.Tapped{}, fault.Usagef("tap the core and the rim of the half first")
	}
	for i, word := range words {
		var err error
		if at[i], err = decimal(word); err != nil {
			return workbench.Tapped{}, err
		}
	}
	return workbench.Tapped{Core: scoring.Point{at[0], at[1]}, Rim: scoring.Point{at[2], at[3]}}, nil
}

// numberTray leaves the numbers of fruit that were not cut free: the half that was
// tapped, and all after it, move up. With first, the tray is numbered from there.
func (d *Desk) numberTray(w http.ResponseWriter, r *http.Request, v visit) error {
	first, err := countOf(r.FormValue("first"))
	if err != nil {
		return err
	}
	without, err := countsOf(r.FormValue("without"))
	if err != nil {
		return err
	}
	return d.onTray(w, r, v, func(act workbench.Act, t workbench.TrayRow) error {
		if first == 0 { // what was left free before stays free
			without = append(without, workbench.Uncut(t.Numbers)...)
		}
		_, err := d.bench.RenumberTray(r.Context(), act, t.Block, t.Hash, first, without, why(r))
		return err
	})
}

// onTray does one thing to the tray of an address and shows it again.
func (d *Desk) onTray(w http.ResponseWriter, r *http.Request, v visit, do func(workbench.Act, workbench.TrayRow) error) error {
	act, err := actOf(r, v)
	if err != nil {
		return err
	}
	row, err := d.bench.Season.TrayOf(r.Context(), r.PathValue("hash"))
	if err != nil {
		return err
	}
	return d.put(w, r, v, act.By, do(act, row), event{What: "tray", Block: row.Block, Of: row.Hash}, "/trays/"+row.Hash)
}

// actOf reads from a form who does something, and why all the same.
func actOf(r *http.Request, v visit) (workbench.Act, error) {
	by, err := v.signed(r.FormValue("by"))
	return workbench.Act{By: by, Anyway: r.FormValue("anyway"), Sending: r.FormValue("id")}, err
}

// why is the reason of a form; a tap on a button names its own.
func why(r *http.Request) string {
	if text := strings.TrimSpace(r.FormValue("why")); text != "" {
		return text
	}
	return r.FormValue("because")
}

// put ends a form that wrote something: it tells the open pages, remembers the
// initials and goes on to a page, or fails.
func (d *Desk) put(w http.ResponseWriter, r *http.Request, v visit, by string, err error, e event, to string) error {
	if err != nil {
		return err
	}
	d.changed(e)
	remember(w, v, initialsCookie, by, true)
	if wantsJSON(r) {
		writeJSON(w, http.StatusOK, sent{})
		return nil
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// photo serves a tray's photo in one of the sizes.
func (d *Desk) photo(w http.ResponseWriter, r *http.Request, _ visit) error {
	side, ok := sides[r.PathValue("side")]
	if !ok {
		return errNotThere
	}
	b, err := d.pictures.photo(r.Context(), r.PathValue("hash"), side)
	return sendJPEG(w, b, err)
}

// face serves one half of a tray.
func (d *Desk) face(w http.ResponseWriter, r *http.Request, _ visit) error {
	_, report, err := d.bench.TrayOf(r.Context(), r.PathValue("hash"))
	if err != nil {
		return err
	}
	number, err := strconv.Atoi(r.PathValue("number"))
	if err != nil {
		return errNotThere
	}
	for _, f := range report.Fruit {
		if f.Number == number {
			b, err := d.pictures.face(r.Context(), report, f)
			return sendJPEG(w, b, err)
		}
	}
	return errNotThere
}

// place serves the surroundings of a place on a photo: core and rim as tapped, with
// commas between.
func (d *Desk) place(w http.ResponseWriter, r *http.Request, _ visit) error {
	at, err := placeOf(strings.ReplaceAll(r.PathValue("place"), ",", " "))
	if err != nil {
		return errNotThere
	}
	_, report, err := d.bench.TrayOf(r.Context(), r.PathValue("hash"))
	if err != nil {
		return err
	}
	spot := scoring.Place{Centre: at.Core, Radius: at.Radius()}
	if !(spot.Radius > 0 && spot.Radius < float64(max(report.Width, report.Height))) {
		return errNotThere
	}
	b, err := d.pictures.face(r.Context(), report, scoring.Fruit{Place: spot})
	return sendJPEG(w, b, err)
}

// plate serves the picture of a plate of a set: /plates/NAME.vVERSION/INDEX.
func (d *Desk) plate(w http.ResponseWriter, r *http.Request, _ visit) error {
	set, err := d.bench.Shelf.Set(r.PathValue("set"))
	if err != nil {
		return errNotThere
	}
	i, err := strconv.Atoi(r.PathValue("plate"))
	if err != nil || i < 0 || i >= len(set.Plates) || len(set.Plates[i].Picture) == 0 {
		return errNotThere
	}
	return sendJPEG(w, set.Plates[i].Picture, nil)
}

// sendJPEG sends a picture that never changes under its address, to be kept by
// the device that was let in and by nobody between.
func sendJPEG(w http.ResponseWriter, b []byte, err error) error {
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Cache-Control", "private, max-age=86400")
	_, _ = w.Write(b)
	return nil
}

func (d *Desk) events(w http.ResponseWriter, r *http.Request, _ visit) error {
	d.hub.stream(w, r)
	return nil
}
