package desk

import (
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"traystage/calibrate"
	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/grades"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
)

type setsPage struct{ Sets []calibrate.Set }

// sets lists the reference sets, and makes one from a photo of a chart.
func (d *Desk) sets(w http.ResponseWriter, r *http.Request, v visit) error {
	all, err := d.bench.Sets(r.Context())
	if len(all) == 0 && err != nil {
		return err
	}
	p := d.page(r, v, "sets", "desk.sets.title", setsPage{all})
	p.Tab = "blocks"
	return d.pages.render(w, http.StatusOK, p)
}

type setPage struct {
	Set    calibrate.Set
	Own    bool // it can be added to
	Check  calibrate.Check
	Plates []plateView
	Trays  []trayLink // of the last samples, to be graded
}

type trayLink struct{ Block, Photo, Hash string }

// set shows the plates of a set, whether to trust it, and what to photograph next.
func (d *Desk) set(w http.ResponseWriter, r *http.Request, v visit) error {
	found, err := d.bench.CheckSet(r.Context(), r.PathValue("set"), nil, "", nil)
	if err != nil {
		return err
	}
	builtin, _, err := workbench.BuiltinSet()
	if err != nil {
		return err
	}
	data := setPage{Set: found.Set, Own: found.Set.Name != builtin, Check: found.Check}
	for i, p := range found.Set.Plates {
		view := plateView{Stage: p.Stage, Zones: p.Zones}
		if len(p.Picture) > 0 {
			view.Picture = "/plates/" + url.PathEscape(found.Set.Name+".v"+strconv.Itoa(found.Set.Version)) + "/" + strconv.Itoa(i)
		}
		data.Plates = append(data.Plates, view)
	}
	if data.Trays, err = d.lastTrays(r); err != nil {
		return err
	}
	p := d.page(r, v, "set", "desk.sets.title", data)
	p.Tab = "blocks"
	return d.pages.render(w, http.StatusOK, p)
}

// lastTrays are the trays of each block's last sample.
func (d *Desk) lastTrays(r *http.Request) ([]trayLink, error) {
	now, err := d.view.get(r.Context())
	if err != nil {
		return nil, err
	}
	var out []trayLink
	for _, p := range now.Outlook.Blocks {
		if p.Sampled.IsZero() {
			continue
		}
		sample, err := d.bench.Sample(r.Context(), p.Block.Name, p.Sampled)
		if err != nil {
			continue // struck meanwhile: the list is one of offers
		}
		for _, t := range sample.Trays {
			out = append(out, trayLink{p.Block.Name, t.Photo, t.PhotoHash})
		}
	}
	return out, nil
}

// newSet makes a set from a photo whose halves show the stages given, in
// reading order.
func (d *Desk) newSet(w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(w, r)
	if err != nil {
		return err
	}
	by, err := v.signed(f.fields["by"])
	if err != nil {
		return err
	}
	gradings, err := grades.List(f.fields["stages"])
	if err != nil {
		return err
	}
	gradings[0].By = by
	scale, err := scaleOf(f)
	if err != nil {
		return err
	}
	if len(f.file) == 0 {
		return fault.Usagef("there is no photo in the sending")
	}
	made, err := d.bench.NewSet(r.Context(), f.fields["name"], scale, "", workbench.GradedPhoto{Photo: workbench.PhotoBytes(f.name, f.file), Gradings: gradings})
	if err != nil {
		return err
	}
	return d.put(w, r, v, by, nil, event{What: "set", Of: made.Set.Name}, "/sets/"+url.PathEscape(made.Set.Name))
}

// scaleOf is the scale of a new set, from all stained to no stain; in tenths.
func scaleOf(f form) (calibrate.Scale, error) {
	scale := calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1}
	var err error
	if text := f.fields["stained"]; text != "" {
		if scale.Stained, err = decimal(text); err != nil {
			return scale, err
		}
	}
	if text := f.fields["clear"]; text != "" {
		scale.Clear, err = decimal(text)
	}
	return scale, err
}

type gradePage struct {
	Set    calibrate.Set
	Stages []int // whole ones, to be tapped
	Report scoring.Report
}

// mostTaps is how many stages are offered to be tapped; a finer scale is typed.
const mostTaps = 12

// wholeStages are those of a scale, from all stained to clear.
func wholeStages(s calibrate.Scale) []int {
	from, to := int(math.Ceil(min(s.Stained, s.Clear))), int(math.Floor(max(s.Stained, s.Clear)))
	if to-from >= mostTaps {
		return nil
	}
	var out []int
	for stage := from; stage <= to; stage++ {
		out = append(out, stage)
	}
	if s.Stained > s.Clear {
		slices.Reverse(out)
	}
	return out
}

// grade shows a tray of the season to be graded by tapping.
func (d *Desk) grade(w http.ResponseWriter, r *http.Request, v visit) error {
	set, err := d.bench.Shelf.Set(r.PathValue("set"))
	if err != nil {
		return err
	}
	_, report, err := d.bench.TrayOf(r.Context(), r.PathValue("hash"))
	if err != nil {
		return err
	}
	p := d.page(r, v, "grade", "desk.sets.title", gradePage{set, wholeStages(set.Scale), report})
	p.Tab = "blocks"
	return d.pages.render(w, http.StatusOK, p)
}

// gradeTray adds the stages that somebody gave to the halves of a tray to a set.
func (d *Desk) gradeTray(w http.ResponseWriter, r *http.Request, v visit) error {
	by, err := v.signed(r.FormValue("by"))
	if err != nil {
		return err
	}
	_, report, err := d.bench.TrayOf(r.Context(), r.PathValue("hash"))
	if err != nil {
		return err
	}
	photo, err := d.bench.Season.Photo(r.Context(), report.PhotoHash)
	if err != nil {
		return err
	}
	grading := grades.Grading{By: by}
	for _, f := range report.Fruit {
		stage := grades.NotGraded
		if text := r.FormValue("g." + strconv.Itoa(f.Number)); text != "" {
			if stage, err = decimal(text); err != nil {
				return err
			}
		}
		grading.Stages = append(grading.Stages, stage)
	}
	made, _, err := d.bench.Grade(r.Context(), r.PathValue("set"), calibrate.Refuse, workbench.GradedPhoto{
		Photo: workbench.PhotoBytes(report.Photo, photo), Gradings: []grades.Grading{grading},
	})
	return d.put(w, r, v, by, err, event{What: "set", Of: made.Set.Name}, "/sets/"+url.PathEscape(r.PathValue("set")))
}
