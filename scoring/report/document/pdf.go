package document

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/sfnt"

	"traystage/vision/note"
)

// Measures of a page of A4, in mm; letters in points.
const (
	paperWide, paperTall = 210.0, 297.0
	edge                 = 14.0        // left and right
	top, bottom          = 13.0, 282.0 // between them stands the text
	column               = paperWide - 2*edge
	bodyLetter           = 9.5
	smallLetter          = 8.5
	leading              = 1.32 // line height / letter height
	family               = "sans"
)

// WritePDF writes a document on A4, its letters embedded. Letters that the font
// lacks, such as Chinese ones, are printed as question marks. It fails when a
// picture is neither JPEG nor PNG, naming it, and then writes nothing.
func WritePDF(w io.Writer, d Document) error {
	p, err := newPaper(d)
	if err != nil {
		return fmt.Errorf("PDF: %w", err)
	}
	if err := p.document(p.told); err != nil {
		return fmt.Errorf("PDF: %w", err)
	}
	var b bytes.Buffer
	if err := p.pdf.Output(&b); err != nil {
		return fmt.Errorf("PDF: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// paper is a PDF in the making; y runs downward, in mm.
type paper struct {
	pdf    *fpdf.Fpdf
	has    *sfnt.Font // tells which letters the font holds
	buffer sfnt.Buffer
	y      float64
	images int
	told   Document
}

func newPaper(d Document) (*paper, error) {
	d = d.told()
	has, err := sfnt.Parse(liberationsansregular.TTF)
	if err != nil {
		return nil, fmt.Errorf("font: %w", err)
	}
	p := &paper{pdf: fpdf.New("P", "mm", "A4", ""), has: has, told: d}
	p.pdf.AddUTF8FontFromBytes(family, "", liberationsansregular.TTF)
	p.pdf.AddUTF8FontFromBytes(family, "B", liberationsansbold.TTF)
	p.pdf.SetAutoPageBreak(false, 0)
	p.pdf.SetMargins(edge, top, edge)
	p.pdf.SetCellMargin(0)
	p.pdf.SetCatalogSort(true)
	p.pdf.SetCreationDate(d.Day)
	p.pdf.SetModificationDate(d.Day)
	p.pdf.SetTitle(d.Title, true)
	p.pdf.SetSubject(d.Name, true)
	p.pdf.SetCreator(d.By, true)
	p.pdf.SetProducer(d.By, true)
	p.pdf.SetLang(d.Words.Tag())
	p.pdf.AliasNbPages("")
	under := p.able(strings.Join([]string{d.Title, d.Name, d.Words.LongDay(d.Day)}, " · "))
	p.pdf.SetFooterFunc(func() {
		p.letters("", smallLetter)
		p.pdf.SetXY(edge, bottom+3)
		p.pdf.CellFormat(column/2, 5, under, "", 0, "L", false, 0, "")
		p.pdf.CellFormat(column/2, 5, d.Words.Text("page.of", note.Count("n", p.pdf.PageNo()), note.Name("all", "{nb}")), "", 0, "R", false, 0, "")
	})
	p.page()
	return p, p.pdf.Error()
}

func (p *paper) page() {
	p.pdf.AddPage()
	p.ink()
	p.y = top
}

// ink sets the colour of everything that is written.
func (p *paper) ink() {
	p.pdf.SetTextColor(0x1f, 0x1b, 0x33)
	p.pdf.SetDrawColor(0x1f, 0x1b, 0x33)
}

// room begins a new page unless so many mm are left on this one. It says
// whether it did.
func (p *paper) room(tall float64) bool {
	if p.y+tall <= bottom || p.y == top {
		return false
	}
	p.page()
	return true
}

func (p *paper) letters(style string, size float64) { p.pdf.SetFont(family, style, size) }

// lineTall is the height of a line of letters of a size in points, mm.
func lineTall(size float64) float64 { return size * leading * 25.4 / 72 }

// able replaces letters that the font lacks.
func (p *paper) able(text string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' {
			return ' '
		}
		if glyph, err := p.has.GlyphIndex(&p.buffer, r); r > '~' && (err != nil || glyph == 0 || r > 0xffff) {
			return '?'
		}
		return r
	}, text)
}

// wrap breaks text between words, and words that are too long anywhere, into
// lines of at most so many mm in the letters that are set.
func (p *paper) wrap(text string, wide float64) []string {
	const hair = 0.01 // mm by which sums of widths differ
	wide += hair
	var lines []string
	line := ""
	for _, word := range strings.Fields(p.able(text)) {
		if line != "" && p.pdf.GetStringWidth(line+" "+word) <= wide {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for p.pdf.GetStringWidth(word) > wide {
			fit := p.fitting(word, wide)
			lines, word = append(lines, word[:fit]), word[fit:]
		}
		line = word
	}
	if line != "" || lines == nil {
		lines = append(lines, line)
	}
	return lines
}

// fitting is how many bytes of a word fit, at least those of one letter.
func (p *paper) fitting(word string, wide float64) int {
	fit := 0
	for i, r := range word {
		end := i + len(string(r))
		if fit > 0 && p.pdf.GetStringWidth(word[:end]) > wide {
			break
		}
		fit = end
	}
	return fit
}

// write sets wrapped text at x and moves down past it.
func (p *paper) write(text, style string, size, x, wide float64) {
	p.letters(style, size)
	for _, line := range p.wrap(text, wide) {
		if p.room(lineTall(size)) {
			p.letters(style, size)
		}
		p.put(line, x, p.y, wide, size, "L")
		p.y += lineTall(size)
	}
}

// put sets one line in the letters that are set, its top at y.
func (p *paper) put(line string, x, y, wide, size float64, align string) {
	p.pdf.SetXY(x, y)
	p.pdf.CellFormat(wide, lineTall(size), line, "", 0, align+"M", false, 0, "")
}

// rule draws a line across.
func (p *paper) rule(x, y, wide, thick float64) {
	p.pdf.SetLineWidth(thick)
	p.pdf.Line(x, y, x+wide, y)
}
