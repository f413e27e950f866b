package table

import (
	"encoding/xml"
	"math"
	"path"
	"strconv"
	"strings"
	"time"
)

// xlsx is what the cells of an Office Open XML workbook refer to (ECMA-376, part 1).
type xlsx struct {
	pack
	strings []string
	styles  []style // of each cell format
	since   time.Time
}

// style is what a cell format makes of a number.
type style int

const (
	plain style = iota
	percent
	date
)

type xlsxSheet struct{ name, id string }

func (p pack) readXLSX() (Table, error) {
	w := &xlsx{pack: p, since: time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)}
	sheets, err := w.sheets()
	if err != nil {
		return Table{}, err
	}
	targets, err := w.targets()
	if err != nil {
		return Table{}, err
	}
	if err := w.readStrings(); err != nil {
		return Table{}, err
	}
	if err := w.readStyles(); err != nil {
		return Table{}, err
	}
	out := Table{}
	for _, s := range sheets {
		t := Table{Sheet: s.name}
		target := targets[s.id]
		if !strings.HasPrefix(target, "/") {
			target = path.Join("xl", target)
		}
		if err := w.rows(target, &t); err != nil {
			return Table{}, err
		}
		out.take(t)
	}
	return out, nil
}

// take keeps the first sheet that holds anything, and the names of others that do.
func (t *Table) take(sheet Table) {
	switch {
	case len(sheet.Rows) == 0:
	case len(t.Rows) == 0:
		others := t.Others
		*t = sheet
		t.Others = others
	default:
		t.Others = append(t.Others, sheet.Sheet)
	}
}

const mostSheets = 100

func (w *xlsx) sheets() (list []xlsxSheet, err error) {
	err = w.each("xl/workbook.xml", func(_ *xml.Decoder, s *xml.StartElement, _ *xml.EndElement) error {
		switch {
		case s == nil:
		case s.Name.Local == "workbookPr" && (attribute(s, "date1904") == "1" || attribute(s, "date1904") == "true"):
			w.since = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
		case s.Name.Local == "sheet" && len(list) < mostSheets:
			list = append(list, xlsxSheet{attribute(s, "name"), attribute(s, "id")})
		}
		return nil
	})
	return list, err
}

// targets gives the part of each sheet.
func (w *xlsx) targets() (map[string]string, error) {
	out := map[string]string{}
	return out, w.each("xl/_rels/workbook.xml.rels", func(_ *xml.Decoder, s *xml.StartElement, _ *xml.EndElement) error {
		if s != nil && s.Name.Local == "Relationship" {
			out[attribute(s, "Id")] = attribute(s, "Target")
		}
		return nil
	})
}

func (w *xlsx) readStrings() error {
	if w.pack["xl/sharedStrings.xml"] == nil {
		return nil
	}
	return w.each("xl/sharedStrings.xml", func(d *xml.Decoder, s *xml.StartElement, _ *xml.EndElement) error {
		if s == nil || s.Name.Local != "si" {
			return nil
		}
		text, err := richText(d, s)
		w.strings = append(w.strings, text)
		return err
	})
}

// richText joins the runs of a text, without what is written over it to tell how it sounds.
func richText(d *xml.Decoder, s *xml.StartElement) (string, error) {
	var v struct {
		T    string   `xml:"t"`
		Runs []string `xml:"r>t"`
	}
	err := d.DecodeElement(&v, s)
	return v.T + strings.Join(v.Runs, ""), err
}

func (w *xlsx) readStyles() error {
	if w.pack["xl/styles.xml"] == nil {
		return nil
	}
	codes := map[string]string{}
	inFormats := false
	return w.each("xl/styles.xml", func(_ *xml.Decoder, s *xml.StartElement, e *xml.EndElement) error {
		switch {
		case e != nil:
			inFormats = inFormats && e.Name.Local != "cellXfs"
		case s.Name.Local == "numFmt":
			codes[attribute(s, "numFmtId")] = attribute(s, "formatCode")
		case s.Name.Local == "cellXfs":
			inFormats = true
		case s.Name.Local == "xf" && inFormats:
			id := attribute(s, "numFmtId")
			w.styles = append(w.styles, styleOf(id, codes[id]))
		}
		return nil
	})
}

// styleOf tells dates and shares by the number of a format that is built in
// (ECMA-376, part 1, 18.8.30), else by its code.
func styleOf(id, code string) style {
	if n, err := strconv.Atoi(id); err == nil && code == "" {
		switch {
		case n == 9 || n == 10:
			return percent
		case 14 <= n && n <= 17, n == 22, 27 <= n && n <= 36, 50 <= n && n <= 58:
			return date
		}
		return plain
	}
	bare := withoutLiterals(strings.ToLower(code))
	switch {
	case strings.Contains(bare, "%"):
		return percent
	case strings.Contains(bare, "d") || strings.Contains(bare, "y"):
		return date
	}
	return plain
}

// withoutLiterals leaves out of a format's code what stands in quotation marks or brackets or behind a backslash.
func withoutLiterals(code string) string {
	var out strings.Builder
	until := rune(0)
	skip := false
	for _, r := range code {
		switch {
		case skip:
			skip = false
		case until != 0:
			if r == until {
				until = 0
			}
		case r == '\\':
			skip = true
		case r == '"':
			until = '"'
		case r == '[':
			until = ']'
		default:
			out.WriteRune(r)
		}
	}
	return out.String()
}

// mostLine is the last row that a workbook can have.
const mostLine = 1 << 20

// xlsxCell is a cell as it is stored.
type xlsxCell struct {
	Place string `xml:"r,attr"`
	Type  string `xml:"t,attr"`
	Style int    `xml:"s,attr"`
	Value string `xml:"v"`
	Text  struct {
		T    string   `xml:"t"`
		Runs []string `xml:"r>t"`
	} `xml:"is"`
}

// rows reads the rows of a sheet.
func (w *xlsx) rows(part string, t *Table) error {
	line := 0
	var cells []string
	err := w.each(part, func(d *xml.Decoder, s *xml.StartElement, e *xml.EndElement) error {
		switch {
		case s != nil && s.Name.Local == "row":
			line++
			if n, err := strconv.Atoi(attribute(s, "r")); err == nil && n >= line && n <= mostLine {
				line = n
			}
			cells = nil
		case s != nil && s.Name.Local == "c":
			var c xlsxCell
			if err := d.DecodeElement(&c, s); err != nil {
				return err
			}
			at := columnOf(c.Place, len(cells))
			text := w.text(c)
			if text == "" {
				return nil
			}
			if at >= mostWidth {
				return wrong(line, "has cells beyond the %d of a sheet; save the table alone", mostWidth)
			}
			for len(cells) <= at {
				cells = append(cells, "")
			}
			cells[at] = text
		case e != nil && e.Name.Local == "row":
			return t.add(line, cells)
		}
		return nil
	})
	t.square()
	return err
}

// square makes all rows as wide as the widest: workbooks leave out blank cells at the end of a row.
func (t *Table) square() {
	width := 0
	for _, r := range t.Rows {
		width = max(width, len(r.Cells))
	}
	for i := range t.Rows {
		for len(t.Rows[i].Cells) < width {
			t.Rows[i].Cells = append(t.Rows[i].Cells, "")
		}
	}
}

// columnOf is the column, from 0, that a place such as AB12 names; next where it names none.
func columnOf(place string, next int) int {
	n := 0
	for _, r := range place {
		if r < 'A' || r > 'Z' {
			break
		}
		if n = 26*n + int(r-'A'+1); n > 1<<20 {
			break
		}
	}
	if n == 0 {
		return next
	}
	return n - 1
}

func (w *xlsx) text(c xlsxCell) string {
	switch c.Type {
	case "s":
		if n, err := strconv.Atoi(strings.TrimSpace(c.Value)); err == nil && n >= 0 && n < len(w.strings) {
			return w.strings[n]
		}
		return ""
	case "inlineStr":
		return c.Text.T + strings.Join(c.Text.Runs, "")
	case "b":
		if c.Value == "1" {
			return "yes"
		}
		return "no"
	case "str", "e", "d":
		return strings.TrimSuffix(c.Value, "T00:00:00")
	}
	shown := plain
	if 0 <= c.Style && c.Style < len(w.styles) {
		shown = w.styles[c.Style]
	}
	if shown == date {
		if x, err := strconv.ParseFloat(c.Value, 64); err == nil && x > 0 && x < 100000 {
			return w.since.AddDate(0, 0, int(math.Floor(x))).Format(time.DateOnly)
		}
	}
	return number(c.Value, shown == percent)
}
