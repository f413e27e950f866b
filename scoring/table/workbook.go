package table

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"path"
	"strconv"
	"strings"
)

// readWorkbook reads the first sheet of a packed workbook that holds anything.
func readWorkbook(b []byte) (Table, error) {
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		return Table{}, broken
	}
	p := pack{}
	for _, f := range z.File {
		p[path.Clean(strings.TrimPrefix(f.Name, "/"))] = f
	}
	switch {
	case p["xl/workbook.xml"] != nil:
		return p.readXLSX()
	case p["content.xml"] != nil:
		return p.readODS()
	}
	return Table{}, wrong(0, "the file is a packed archive, but no workbook; save the sheet as .xlsx, .ods or CSV")
}

var broken = wrong(0, "the workbook is broken; open it, save it again, or save the sheet as CSV")

// pack is what a workbook is packed from.
type pack map[string]*zip.File

// open gives a part's XML, which ends with errTooLarge where it is unpacked beyond all measure.
func (p pack) open(name string) (*xml.Decoder, io.Closer, error) {
	f := p[path.Clean(strings.TrimPrefix(name, "/"))]
	if f == nil {
		return nil, nil, broken
	}
	r, err := f.Open()
	if err != nil {
		return nil, nil, broken
	}
	return xml.NewDecoder(&bounded{r, mostUnpacked}), r, nil
}

var errTooLarge = wrong(0, "the workbook unpacks to more than a sheet can hold; save the sheet alone, or as CSV")

// bounded is an io.LimitReader that tells.
type bounded struct {
	r    io.Reader
	left int
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.left <= 0 {
		return 0, errTooLarge
	}
	n, err := b.r.Read(p[:min(len(p), b.left)])
	b.left -= n
	return n, err
}

// each calls f with every start of an element of a part, and with nil at the end of one.
func (p pack) each(name string, f func(d *xml.Decoder, start *xml.StartElement, end *xml.EndElement) error) error {
	d, c, err := p.open(name)
	if err != nil {
		return err
	}
	defer c.Close()
	for {
		token, err := d.Token()
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return asError(err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			err = f(d, &t, nil)
		case xml.EndElement:
			err = f(d, nil, &t)
		}
		if err != nil {
			return asError(err)
		}
	}
}

// asError keeps what is said of the file and tells everything else as a broken one.
func asError(err error) error {
	var own *Error
	if errors.As(err, &own) {
		return own
	}
	return broken
}

func attribute(s *xml.StartElement, name string) string {
	for _, a := range s.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// number writes a workbook's number as a person would: without the digits that
// only binary fractions have.
func number(text string, percent bool) string {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return text
	}
	sign := ""
	if percent {
		x, sign = 100*x, "%"
	}
	if math.Abs(x) >= 1e15 {
		return text
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 10, 64), 64)
	if err != nil {
		return text
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64) + sign
}
