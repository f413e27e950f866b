package document

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"traystage/scoring/words"
)

// WriteXLSX writes the figures of a document as a spreadsheet, one sheet for
// each name in its sections. Numbers are numbers and days are days, both as
// people read them in the other forms; units stand in the headings.
func WriteXLSX(w io.Writer, d Document) error {
	d = d.told()
	book := excelize.NewFile()
	defer book.Close() // it lies in memory: nothing is lost
	s := &sheets{book: book, styles: map[string]int{}, next: map[string]int{}, wide: map[string][]float64{}, words: d.Words}
	for _, g := range d.grids() {
		if err := s.write(g); err != nil {
			return fmt.Errorf("spreadsheet: %w", err)
		}
	}
	raw, err := s.finish(d)
	if err != nil {
		return fmt.Errorf("spreadsheet: %w", err)
	}
	_, err = w.Write(raw)
	return err
}

// sheets is a spreadsheet in the making.
type sheets struct {
	book   *excelize.File
	order  []string
	next   map[string]int       // row to be written next, from 1
	wide   map[string][]float64 // width of the columns, in letters
	words  *words.Catalogue
	styles map[string]int // by number format, "bold" for headings
}

func (s *sheets) write(g grid) error {
	if s.next[g.sheet] == 0 {
		if _, err := s.book.NewSheet(g.sheet); err != nil {
			return err
		}
		s.order, s.next[g.sheet] = append(s.order, g.sheet), 1
	} else {
		s.next[g.sheet]++
	}
	if g.title != "" {
		if err := s.line(g.sheet, []Cell{Strong(Word(g.title))}); err != nil {
			return err
		}
		s.wide[g.sheet][0] = min(s.wide[g.sheet][0], 30) // a title may run on over the next columns
	}
	if head := g.headings(); head != nil {
		var cells []Cell
		for _, h := range head {
			cells = append(cells, Strong(Word(h)))
		}
		if err := s.line(g.sheet, cells); err != nil {
			return err
		}
	}
	for _, row := range g.rows {
		if err := s.line(g.sheet, row); err != nil {
			return err
		}
	}
	return nil
}

func (s *sheets) line(sheet string, cells []Cell) error {
	row := s.next[sheet]
	s.next[sheet]++
	for i, c := range cells {
		for len(s.wide[sheet]) <= i {
			s.wide[sheet] = append(s.wide[sheet], 8)
		}
		s.wide[sheet][i] = max(s.wide[sheet][i], float64(min(Cells(c.text)+2, 60)))
		at, err := excelize.CoordinatesToCellName(i+1, row)
		if err != nil {
			return err
		}
		if err := s.put(sheet, at, c); err != nil {
			return fmt.Errorf("cell %s of %s: %w", at, sheet, err)
		}
	}
	return nil
}

func (s *sheets) put(sheet, at string, c Cell) error {
	format := "@"
	var value any
	switch v := c.value.(type) {
	case nil:
		return nil
	case float64:
		value, format = typed(v, c.digits), numberFormat(c)
	case int:
		value, format = v, "0"
	case time.Time:
		value, format = v, "yyyy-mm-dd"
	default:
		value = c.plain(s.words)
	}
	if err := s.book.SetCellValue(sheet, at, value); err != nil {
		return err
	}
	style, err := s.style(format, c.strong)
	if err != nil {
		return err
	}
	return s.book.SetCellStyle(sheet, at, at, style)
}

// typed is the figure itself. Where a spreadsheet would round it away from what
// people are shown, because a half has no exact binary fraction, it is a hair more.
func typed(x float64, digits int) float64 {
	const hair = 1e-9
	x = millionth(x)
	if shown := words.Shown(x, digits); strconv.FormatFloat(x, 'f', digits, 64) != strconv.FormatFloat(shown, 'f', digits, 64) {
		return x + math.Copysign(hair, x)
	}
	return x
}

func numberFormat(c Cell) string {
	format := "0"
	if c.digits > 0 {
		format += "." + strings.Repeat("0", c.digits)
	}
	if c.shown == asSigned {
		return "+" + format + ";-" + format + ";" + format
	}
	return format
}

func (s *sheets) style(format string, bold bool) (int, error) {
	key := fmt.Sprint(format, bold)
	if id, ok := s.styles[key]; ok {
		return id, nil
	}
	id, err := s.book.NewStyle(&excelize.Style{
		CustomNumFmt: &format, Font: &excelize.Font{Bold: bold, Family: "Liberation Sans", Size: 10},
		Alignment: &excelize.Alignment{Vertical: "top", WrapText: format == "@" && !bold},
	})
	s.styles[key] = id
	return id, err
}

// finish sets widths and properties and gives the bytes of the file.
func (s *sheets) finish(d Document) ([]byte, error) {
	for _, sheet := range s.order {
		for i, wide := range s.wide[sheet] {
			name, err := excelize.ColumnNumberToName(i + 1)
			if err != nil {
				return nil, err
			}
			if err := s.book.SetColWidth(sheet, name, name, wide); err != nil {
				return nil, err
			}
		}
		if err := s.book.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: new(9), Orientation: new("landscape"), FitToWidth: new(1), FitToHeight: new(0)}); err != nil {
			return nil, err
		}
		if err := s.book.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: new(true)}); err != nil {
			return nil, err
		}
	}
	if len(s.order) > 0 {
		if err := s.book.DeleteSheet("Sheet1"); err != nil {
			return nil, err
		}
	}
	made := d.Day.UTC().Format(time.RFC3339)
	if err := s.book.SetDocProps(&excelize.DocProperties{Title: d.Title, Creator: d.By, LastModifiedBy: d.By, Created: made, Modified: made}); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := s.book.Write(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
