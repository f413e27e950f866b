package document

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io"

	"traystage/scoring/words"
)

//go:embed template
var files embed.FS

// pageTemplate is parsed once; a fault in it is a fault of the program, and
// every test of this package would show it.
var pageTemplate = template.Must(template.New("document.html").Funcs(template.FuncMap{
	"style":   Style,
	"kind":    Part.kind,
	"figures": func(f Figures) ([]drawnFigure, error) { return drawn(f.Figures) },
	"drawn":   drawn,
	"shown":   newPageTable,
}).ParseFS(files, "template/document.html"))

// Style is the style sheet that all pages share.
func Style() (template.CSS, error) {
	css, err := files.ReadFile("template/style.css")
	return template.CSS(css), err
}

// WriteHTML writes a document as a self-contained page: style and pictures are
// inside, nothing is fetched, no script runs. It fails when a picture is
// neither JPEG nor PNG, naming it, and then writes nothing.
func WriteHTML(w io.Writer, d Document) error {
	d = d.told()
	var b bytes.Buffer
	if err := pageTemplate.Execute(&b, d); err != nil {
		return fmt.Errorf("page: %w", err)
	}
	_, err := io.WriteString(w, words.Visible(b.String()))
	return err
}

// drawnFigure is a Drawing as it stands in the page.
type drawnFigure struct {
	Drawing
	SVG template.HTML // of a chart
	Img *Picture      // of a picture
}

func drawn(all []Drawing) ([]drawnFigure, error) {
	out := make([]drawnFigure, 0, len(all))
	for _, d := range all {
		figure := drawnFigure{Drawing: d}
		if d.Chart != nil {
			svg, err := d.Chart.SVG()
			if err != nil {
				return nil, err
			}
			figure.SVG = template.HTML(svg) // vgsvg escapes the labels that came from outside
		}
		var err error
		if figure.Img, err = NewPicture(d.Picture, d.Name); err != nil {
			return nil, err
		}
		out = append(out, figure)
	}
	return out, nil
}

// pageTable is a Table as it stands in the page.
type pageTable struct {
	Caption, Empty string
	Cards          bool
	Head           []pageCell
	Rows, Foot     [][]pageCell
}

type pageCell struct{ Text, Class, Label string }

func newPageTable(t Table) pageTable {
	t = t.seen()
	p := pageTable{Caption: t.Caption, Empty: t.Empty, Cards: t.Cards}
	for _, c := range t.Columns {
		p.Head = append(p.Head, pageCell{Text: c.heading(), Class: c.class()})
	}
	p.Rows, p.Foot = pageRows(t.Columns, t.Rows), pageRows(t.Columns, t.Foot)
	return p
}

func pageRows(columns []Column, rows [][]Cell) [][]pageCell {
	out := make([][]pageCell, len(rows))
	for i, row := range rows {
		for n, cell := range row {
			class := columns[n].class()
			if cell.strong {
				class += " strong"
			}
			if cell.text == unknown || cell.text == "" {
				class += " none"
			}
			switch {
			case columns[n].Place:
				class += " place"
			case n > 0 && columns[n-1].Place:
				class += " title"
			}
			out[i] = append(out[i], pageCell{cell.text, class, columns[n].heading()})
		}
	}
	return out
}

// class is how the style sheet sets the cells of the column.
func (c Column) class() string {
	switch c.Kind {
	case Words:
		return "w"
	case Interval:
		return "n i" // may be broken on a phone
	}
	return "n"
}
