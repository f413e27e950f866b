package desk

import (
	"net/http"
	"net/url"
	"strconv"
	"time"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/ledger"
)

// confirmPage is one call between its two plates.
type confirmPage struct {
	Left    int // calls that wait, this one included
	Look    waiting
	Fruit   scoring.Fruit
	Photo   string // hash
	Version string // of the call as it is shown
	Scale   calibrate.Scale
	Plates  []plateView // the two that bracket the call
	Before  *reviewed   // what was done last in this sitting, to be undone
	Skip    string      // what a skip adds to the address
	Again   *ledger.StaleError
	Typed   string // the stage that was typed, where the call changed meanwhile
	MayOver bool
	Whys    []string // reasons to override, to be tapped
}

// plateView is a plate beside a call.
type plateView struct {
	Stage   float64
	Picture string // address; empty where the plate has none
	Zones   []float64
}

type reviewed struct {
	Block  string
	Picked time.Time
	Photo  string
	Fruit  int
}

// confirm shows the next call that waits, those first that could turn a verdict.
func (d *Desk) confirm(w http.ResponseWriter, r *http.Request, v visit) error {
	return d.showCall(w, r, v, http.StatusOK, nil, "")
}

func (d *Desk) showCall(w http.ResponseWriter, r *http.Request, v visit, status int, stale *ledger.StaleError, typed string) error {
	now, err := d.view.get(r.Context())
	if err != nil {
		return err
	}
	data := confirmPage{Left: len(now.Looks), Again: stale, Typed: typed, MayOver: v.role >= Grower, Before: beforeOf(r)}
	for _, key := range []string{"desk.why.core", "desk.why.bruise", "desk.why.glare", "desk.why.stain", "desk.why.plates"} {
		data.Whys = append(data.Whys, d.words(v).Text(key))
	}
	skip, _ := strconv.Atoi(r.FormValue("skip"))
	if n := len(now.Looks); n > 0 {
		look := now.Looks[((skip%n)+n)%n]
		if err := d.fillCall(r, &data, look); err != nil {
			return err
		}
		data.Skip = strconv.Itoa((skip + 1) % n)
	}
	p := d.page(r, v, "confirm", "desk.confirm.title", data)
	p.Tab = "confirm"
	return d.pages.render(w, status, p)
}

func (d *Desk) fillCall(r *http.Request, data *confirmPage, look waiting) error {
	sample, err := d.bench.Sample(r.Context(), look.Block.Name, look.Picked)
	if err != nil {
		return err
	}
	for _, t := range sample.Trays {
		for _, f := range t.Fruit {
			if f.Number != look.Fruit {
				continue
			}
			data.Look, data.Fruit, data.Photo, data.Scale = look, f, t.PhotoHash, t.Reference.Scale
			data.Version = ledger.Version(t, f)
			data.Plates = d.platesOf(t.Reference, f.Call.Between)
			return nil
		}
	}
	return errNotThere
}

// platesOf finds the two plates of the version of the set that gave the call.
func (d *Desk) platesOf(ref scoring.Reference, between [2]float64) []plateView {
	name := ref.Name + ".v" + ref.Version
	set, err := d.bench.Shelf.Set(name)
	if err != nil {
		return nil // the call stands without its plates
	}
	var out []plateView
	for _, stage := range between {
		for i, p := range set.Plates {
			if p.Stage != stage {
				continue
			}
			view := plateView{Stage: stage, Zones: p.Zones}
			if len(p.Picture) > 0 {
				view.Picture = "/plates/" + url.PathEscape(name) + "/" + strconv.Itoa(i)
			}
			out = append(out, view)
			break
		}
	}
	return out
}

// beforeOf reads what the page before did, for its undo button.
func beforeOf(r *http.Request) *reviewed {
	fruit, err := strconv.Atoi(r.FormValue("did"))
	picked, day := dayOf(r.FormValue("day"))
	if err != nil || day != nil || r.FormValue("block") == "" {
		return nil
	}
	return &reviewed{r.FormValue("block"), picked, r.FormValue("photo"), fruit}
}
