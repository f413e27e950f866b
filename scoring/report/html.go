package report

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io"

	"traystage/scoring"
	"traystage/scoring/report/document"
)

//go:embed template
var files embed.FS

// pageTemplate is parsed once; a fault in it is a fault of the program, and
// every test of this package would show it.
var pageTemplate = template.Must(template.New("report.html").Funcs(template.FuncMap{
	"tenth":   scoring.Tenth,
	"mark":    mark,
	"percent": scoring.Percent,
	"between": between,
	"numbers": scoring.Numbers,
	"taken":   taken,
	"advice":  advice,
	"doubts":  doubts,
	"say":     english.Say,
	"advise":  english.Advice,

	"cautions":  func() []caution { return cautions },
	"deference": func() string { return deference },
}).ParseFS(files, "template/*.html"))

// WriteHTML writes one report as a self-contained page: style and pictures are
// inside, nothing is fetched, no script runs. It fails when a picture is
// neither JPEG nor PNG, naming it, and then writes nothing.
func WriteHTML(w io.Writer, r scoring.Report, pics Pictures) error {
	p, err := newPage(r, pics)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := pageTemplate.Execute(&b, p); err != nil {
		return fmt.Errorf("report page: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// page is what the template is filled with.
type page struct {
	scoring.Report
	Heading string
	Style   template.CSS
	Overlay *document.Picture
	Spread  template.HTML // the histogram; empty when nothing was scored
	Rows    template.HTML // the chart of halves; empty when nothing was scored
	Halves  []halfCard
}

// halfCard is one half with its pictures and the plates that bracket it.
type halfCard struct {
	scoring.Fruit
	Crop   *document.Picture
	Strip  *strip
	Plates []plateCard
}

type plateCard struct {
	Stage   float64
	Picture *document.Picture
	Strip   *strip
}

func newPage(r scoring.Report, pics Pictures) (page, error) {
	style, err := trayStyle()
	if err != nil {
		return page{}, fmt.Errorf("report page: %w", err)
	}
	p := page{Report: r, Heading: heading(r), Style: style}
	if p.Overlay, err = document.NewPicture(pics.Overlay, "the tray"); err != nil {
		return page{}, err
	}
	if p.Halves, err = newHalves(r.Fruit, pics); err != nil {
		return page{}, err
	}
	err = p.draw()
	return p, err
}

// trayStyle is the style sheet of all pages with that of trays behind it.
func trayStyle() (template.CSS, error) {
	all, err := document.Style()
	if err != nil {
		return "", err
	}
	own, err := files.ReadFile("template/report.css")
	return all + "\n" + template.CSS(own), err
}

// draw makes the charts, where there is something to draw.
func (p *page) draw() error {
	if p.Summary.N == 0 || len(p.Summary.Bins) == 0 {
		return nil
	}
	spread, err := spreadChart(p.Summary)
	if err != nil {
		return err
	}
	rows, err := halvesChart(p.Fruit, p.Summary)
	if err != nil {
		return err
	}
	for _, c := range []struct {
		chart document.Chart
		into  *template.HTML
	}{{spread, &p.Spread}, {rows, &p.Rows}} {
		svg, err := c.chart.SVG()
		if err != nil {
			return err
		}
		*c.into = template.HTML(svg) // holds figures of ours alone, no text from outside
	}
	return nil
}

func newHalves(fruit []scoring.Fruit, pics Pictures) ([]halfCard, error) {
	plates, err := newPlates(pics)
	if err != nil {
		return nil, err
	}
	var out []halfCard
	for _, f := range fruit {
		crop, err := document.NewPicture(pics.Crops[f.Number], fmt.Sprintf("half %d", f.Number))
		if err != nil {
			return nil, err
		}
		card := halfCard{Fruit: f, Crop: crop}
		if f.Scored() && !f.Overridden() {
			card.Strip = newStrip(f.Zones)
			card.Plates = bracket(f.Call.Between, plates)
		}
		out = append(out, card)
	}
	return out, nil
}

// newPlates packs each plate that has a picture, by stage; of several at one
// stage the first.
func newPlates(pics Pictures) (map[float64]plateCard, error) {
	out := map[float64]plateCard{}
	for _, plate := range pics.Plates {
		if _, ok := out[plate.Stage]; ok || len(plate.Picture) == 0 {
			continue
		}
		pic, err := document.NewPicture(plate.Picture, "the plate of stage "+mark(plate.Stage))
		if err != nil {
			return nil, err
		}
		out[plate.Stage] = plateCard{Stage: plate.Stage, Picture: pic, Strip: newStrip(plate.Zones)}
	}
	return out, nil
}

// bracket gives the plates between which a call lies, as far as they have
// pictures; one where both are the same.
func bracket(between [2]float64, plates map[float64]plateCard) []plateCard {
	var out []plateCard
	for i, stage := range between {
		if card, ok := plates[stage]; ok && (i == 0 || stage != between[0]) {
			out = append(out, card)
		}
	}
	return out
}

// ToLookAt gives the halves that wait for a second look to the page.
func (p page) ToLookAt() []halfCard {
	var out []halfCard
	for _, h := range p.Halves {
		if h.Open() {
			out = append(out, h)
		}
	}
	return out
}
