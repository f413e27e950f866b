package table

import (
	"encoding/xml"
	"strconv"
	"strings"
)

// ods gathers the rows of an OpenDocument spreadsheet (OASIS OpenDocument 1.2, part 1, chapter 9).
type ods struct {
	out   Table
	sheet *Table
	line  int
	times int // that the row at hand is repeated
	cells []string
	blank int // cells that were blank since the last that was not
}

func (p pack) readODS() (Table, error) {
	o := &ods{}
	err := p.each("content.xml", func(d *xml.Decoder, s *xml.StartElement, e *xml.EndElement) error {
		if e != nil {
			return o.end(e.Name.Local)
		}
		return o.start(d, s)
	})
	return o.out, err
}

func (o *ods) start(d *xml.Decoder, s *xml.StartElement) error {
	switch s.Name.Local {
	case "table":
		o.sheet, o.line = &Table{Sheet: attribute(s, "name")}, 0
	case "table-row":
		if o.line++; o.line > mostLine {
			return broken
		}
		o.times, o.cells, o.blank = repeated(s, "number-rows-repeated"), nil, 0
	case "table-cell", "covered-table-cell":
		text, err := odsText(d, s)
		if err != nil {
			return err
		}
		return o.cell(text, repeated(s, "number-columns-repeated"))
	}
	return nil
}

// cell takes so many cells of one text; blank ones count once another follows.
func (o *ods) cell(text string, times int) error {
	if text == "" {
		o.blank = min(o.blank+times, mostWidth+1)
		return nil
	}
	if len(o.cells)+o.blank+times > mostWidth {
		return wrong(o.line, "has more cells than the %d of a sheet; save the table alone", mostWidth)
	}
	for ; o.blank > 0; o.blank-- {
		o.cells = append(o.cells, "")
	}
	for range times {
		o.cells = append(o.cells, text)
	}
	return nil
}

func (o *ods) end(name string) error {
	switch {
	case o.sheet == nil:
	case name == "table-row":
		last := o.line + o.times - 1
		for ; o.line <= last && len(o.cells) > 0; o.line++ {
			if err := o.sheet.add(o.line, append([]string(nil), o.cells...)); err != nil {
				return err
			}
		}
		o.line = last
	case name == "table":
		o.sheet.square()
		o.out.take(*o.sheet)
		o.sheet = nil
	}
	return nil
}

func repeated(s *xml.StartElement, name string) int {
	if n, err := strconv.Atoi(attribute(s, name)); err == nil && n > 1 {
		return min(n, mostLine)
	}
	return 1
}

// odsText is what a cell shows, numbers and dates as they are stored.
func odsText(d *xml.Decoder, s *xml.StartElement) (string, error) {
	var v struct {
		Lines []odsLine `xml:"p"`
	}
	if err := d.DecodeElement(&v, s); err != nil {
		return "", err
	}
	switch attribute(s, "value-type") {
	case "float", "currency":
		return number(attribute(s, "value"), false), nil
	case "percentage":
		return number(attribute(s, "value"), true), nil
	case "date":
		day, _, _ := strings.Cut(attribute(s, "date-value"), "T")
		return day, nil
	case "boolean":
		if attribute(s, "boolean-value") == "true" {
			return "yes", nil
		}
		return "no", nil
	}
	lines := make([]string, len(v.Lines))
	for i, l := range v.Lines {
		lines[i] = string(l)
	}
	return strings.Join(lines, "\n"), nil
}

// odsLine is the text of a paragraph with all that is set off within it.
type odsLine string

// UnmarshalXML gathers the letters below the element, whatever they stand in.
func (l *odsLine) UnmarshalXML(d *xml.Decoder, _ xml.StartElement) error {
	var out strings.Builder
	for depth := 1; depth > 0; {
		token, err := d.Token()
		if err != nil {
			return err
		}
		switch t := token.(type) {
		case xml.StartElement:
			depth++
			switch t.Name.Local {
			case "s":
				out.WriteByte(' ')
			case "tab":
				out.WriteByte('\t')
			}
		case xml.EndElement:
			depth--
		case xml.CharData:
			out.Write(t)
		}
	}
	*l = odsLine(out.String())
	return nil
}
