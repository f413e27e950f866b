package desk

import (
	"bytes"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/scoring/report"
	"traystage/scoring/report/document"
)

type blocksPage struct {
	Outlook scoring.Outlook
	Forms   []string
}

// blocks shows all blocks in picking order, a card each.
func (d *Desk) blocks(w http.ResponseWriter, r *http.Request, v visit) error {
	now, err := d.view.get(r.Context())
	if err != nil {
		return err
	}
	p := d.page(r, v, "blocks", "desk.blocks.title", blocksPage{now.Outlook, forms})
	p.Tab = "blocks"
	return d.pages.render(w, http.StatusOK, p)
}

// forms are those in which a report is offered, the first to be read on the page.
var forms = []string{"html", "pdf", "xlsx", "csv"}

type blockPage struct {
	Charts []document.Drawing // courses through the season
	Report scoring.BlockReport
	Trays  []workbench.TrayRow
	Today  time.Time
	Forms  []string
	Picks  []workbench.Picking
}

// block shows what is known of one block, and takes down that it was picked.
func (d *Desk) block(w http.ResponseWriter, r *http.Request, v visit) error {
	name := r.PathValue("block")
	about, err := d.bench.Report(r.Context(), name, scoring.Options{})
	if err != nil {
		return err
	}
	earlier, err := d.bench.Earlier(r.Context(), name)
	if err != nil {
		return err
	}
	doc, err := report.Block{BlockReport: about, Words: d.words(v), Earlier: earlier}.Document()
	if err != nil {
		return err
	}
	data := blockPage{Report: about, Today: d.bench.Today(), Forms: forms, Charts: charts(doc)}
	if data.Trays, err = d.bench.Trays(r.Context(), name); err != nil {
		return err
	}
	states, err := d.bench.Season.States(r.Context())
	if err != nil {
		return err
	}
	data.Picks = states[about.Block.Name].Picks
	p := d.page(r, v, "block", "desk.block.title", data)
	p.Tab = "blocks"
	return d.pages.render(w, http.StatusOK, p)
}

// documentPolicy is that of a whole report, which brings its own style and
// pictures and runs nothing.
const documentPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox allow-popups; base-uri 'none'; frame-ancestors 'none'"

// types are those of the forms of a document.
var types = map[string]string{
	"html": "text/html; charset=utf-8", "pdf": "application/pdf", "csv": "text/csv; charset=utf-8", "json": "application/json",
	"xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "txt": "text/plain; charset=utf-8",
}

// blockReport serves the report on a block in one of its forms, or its message.
func (d *Desk) blockReport(w http.ResponseWriter, r *http.Request, v visit) error {
	b, err := d.bench.Report(r.Context(), r.PathValue("block"), scoring.Options{})
	if err != nil {
		return err
	}
	earlier, err := d.bench.Earlier(r.Context(), b.Block.Name)
	if err != nil {
		return err
	}
	doc, err := report.Block{BlockReport: b, Words: d.words(v), Earlier: earlier}.Document()
	if err != nil {
		return err
	}
	if n, ok := strings.CutPrefix(r.PathValue("form"), "course."); ok {
		return sendChart(w, charts(doc), strings.TrimSuffix(n, ".svg"))
	}
	return sendDocument(w, doc, r.PathValue("block"), r.PathValue("form"))
}

// message shows what the marketer is told, to be copied.
func (d *Desk) message(w http.ResponseWriter, r *http.Request, v visit) error {
	b, err := d.bench.Report(r.Context(), r.PathValue("block"), scoring.Options{})
	if err != nil {
		return err
	}
	p := d.page(r, v, "message", "desk.block.message", struct{ Block, Message string }{b.Block.Name, report.Block{BlockReport: b, Words: d.words(v)}.Message()})
	p.Tab = "blocks"
	return d.pages.render(w, http.StatusOK, p)
}

// charts are the drawn courses of a report.
func charts(doc document.Document) []document.Drawing {
	var out []document.Drawing
	for _, s := range doc.Sections {
		for _, part := range s.Parts {
			if f, ok := part.(document.Figures); ok && s.Key == "trend" {
				out = append(out, f.Figures...)
			}
		}
	}
	return out
}

// sendChart serves one chart as a picture, which a page shows on white paper in
// whatever light.
func sendChart(w http.ResponseWriter, all []document.Drawing, number string) error {
	i, err := strconv.Atoi(number)
	if err != nil || i < 0 || i >= len(all) || all[i].Chart == nil {
		return errNotThere
	}
	svg, err := all[i].Chart.SVG()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", assetTypes[".svg"])
	w.Header().Set("Content-Security-Policy", documentPolicy)
	_, _ = w.Write(bytes.Replace(svg, []byte("<svg "), []byte(`<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" font-family="sans-serif" `), 1))
	return nil
}

// outlookReport serves the outlook in one of its forms.
func (d *Desk) outlookReport(w http.ResponseWriter, r *http.Request, v visit) error {
	now, err := d.view.get(r.Context())
	if err != nil {
		return err
	}
	doc, err := report.Outlook{Outlook: now.Outlook, Program: d.bench.Program, Words: d.words(v)}.Document()
	if err != nil {
		return err
	}
	return sendDocument(w, doc, "outlook", r.PathValue("form"))
}

func sendDocument(w http.ResponseWriter, doc document.Document, stem, form string) error {
	form = strings.TrimPrefix(form, "report.")
	write, ok := document.Forms()[form]
	if !ok {
		return errNotThere
	}
	var b bytes.Buffer
	if err := write(&b, doc); err != nil {
		return err
	}
	w.Header().Set("Content-Type", types[form])
	w.Header().Set("Content-Security-Policy", documentPolicy)
	if form != "html" {
		w.Header().Set("Content-Disposition", "attachment; filename*=UTF-8''"+url.PathEscape(stem+"."+form))
	}
	_, err := b.WriteTo(w)
	return err
}

// picked keeps that a block was picked: today, all of it, unless the form says more.
func (d *Desk) picked(w http.ResponseWriter, r *http.Request, v visit) error {
	act, err := actOf(r, v)
	if err != nil {
		return err
	}
	pick := workbench.Picking{Destination: r.FormValue("destination"), Note: r.FormValue("note"), Part: r.FormValue("part") != ""}
	if pick.Day, err = dayOf(r.FormValue("day")); err != nil {
		return err
	}
	if text := r.FormValue("bins"); text != "" {
		bins, err := decimal(text)
		if err != nil {
			return err
		}
		pick.Bins = &bins
	}
	block := r.PathValue("block")
	_, err = d.bench.PickBlock(r.Context(), act, block, pick)
	return d.put(w, r, v, act.By, err, event{What: "block", Block: block}, "/blocks/"+url.PathEscape(block))
}
