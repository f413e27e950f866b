package document

import (
	"bytes"
	"fmt"

	"codeberg.org/go-pdf/fpdf"
)

func (p *paper) document(d Document) error {
	p.write(d.Title, "B", 16, edge, column)
	if d.Under != "" {
		p.write(d.Under, "", bodyLetter, edge, column)
	}
	for _, s := range d.Sections {
		if err := p.section(s); err != nil {
			return err
		}
	}
	if d.Last != "" {
		p.y++
		p.write(d.Last, "", bodyLetter, edge, column)
	}
	return p.pdf.Error()
}

func (p *paper) section(s Section) error {
	first, err := p.leastTall(s)
	if err != nil {
		return err
	}
	const headTall = 10.0
	if !p.room(headTall+first) && p.y > top {
		p.y += 2
	}
	if s.Title != "" {
		p.rule(edge, p.y, column, 0.6)
		p.y += 1.5
		p.write(s.Title, "B", 12, edge, column)
		p.y++
	}
	for _, part := range s.Parts {
		if err := p.part(part); err != nil {
			return err
		}
	}
	return nil
}

// leastTall is the room that the first part needs, so that no heading is left
// alone at the foot of a page.
func (p *paper) leastTall(s Section) (float64, error) {
	if len(s.Parts) == 0 {
		return 0, nil
	}
	switch v := s.Parts[0].(type) {
	case Figures:
		_, tall, err := p.figureRow(v.Figures)
		return tall, err
	case Table:
		return leastTable, nil
	case List:
		if s.Boxed {
			return p.listTall(v), nil
		}
	}
	return 12, nil
}

func (p *paper) part(part Part) error {
	switch v := part.(type) {
	case Order:
		p.order(v)
	case Cards:
		return p.cards(v.Cards)
	case Answer:
		p.answer(v)
	case Facts:
		if v.Large {
			p.largeFacts(v.Facts)
		} else {
			p.facts(v.Facts)
		}
	case Table:
		p.table(v.seen())
	case List:
		p.list(v)
	case Text:
		p.write(v.Text, "", bodyLetter, edge, column)
		p.y++
	case Figures:
		return p.figures(v.Figures)
	}
	return nil
}

// order sets what to do on a ground of its own, with why below.
func (p *paper) order(o Order) {
	const size, pad = 17, 3.0
	wide := column - 2*pad
	p.letters("B", size)
	tall := 2*pad + lineTall(size)*float64(len(p.wrap(o.Text, wide)))
	p.letters("", bodyLetter)
	for _, why := range o.Why {
		tall += itemGap + lineTall(bodyLetter)*float64(len(p.wrap(why, wide-bulletWide)))
	}
	p.room(tall)
	p.pdf.SetFillColor(0xec, 0xdc, 0xae)
	p.pdf.Rect(edge, p.y, column, tall, "F")
	p.y += pad
	p.write(o.Text, "B", size, edge+pad, wide)
	for _, why := range o.Why {
		p.item(why, edge+pad, wide)
	}
	p.y += pad + 2
}

// item sets one item of a list.
func (p *paper) item(text string, x, wide float64) {
	p.room(lineTall(bodyLetter))
	p.letters("", bodyLetter)
	p.put("•", x, p.y, bulletWide, bodyLetter, "L")
	p.write(text, "", bodyLetter, x+bulletWide, wide-bulletWide)
	p.y += itemGap
}

// answer sets the answer in large letters with what goes with it to the right.
func (p *paper) answer(a Answer) {
	const size = 30
	start := p.y
	p.letters("B", size)
	word := p.able(a.Answer.text)
	wide := min(p.pdf.GetStringWidth(word)+6, column*0.6)
	p.put(word, edge, p.y, wide, size, "L")
	p.y += 1
	if a.Beside != "" {
		p.write(a.Beside, "B", 13, edge+wide, column-wide)
	}
	if a.Small != "" {
		p.write(a.Small, "", bodyLetter, edge+wide, column-wide)
	}
	p.y = max(p.y, start+lineTall(size)) + 2
}

func (p *paper) largeFacts(facts []Fact) {
	const across = 4
	wide := column / across
	for len(facts) > 0 {
		row := facts[:min(across, len(facts))]
		facts = facts[len(row):]
		p.room(18)
		start, end := p.y, p.y
		for i, f := range row {
			x := edge + float64(i)*wide
			p.y = start
			p.write(f.Label, "", smallLetter, x, wide-3)
			p.write(f.Value.text, "B", 13, x, wide-3)
			if f.Note != "" {
				p.write(f.Note, "", smallLetter, x, wide-3)
			}
			end = max(end, p.y)
		}
		p.y = end + 2
	}
}

func (p *paper) facts(facts []Fact) {
	const label = 46.0
	for _, f := range facts {
		p.room(lineTall(bodyLetter))
		start := p.y
		p.write(f.Label, "B", bodyLetter, edge, label-3)
		end := p.y
		p.y = start
		p.write(joined(", ", f.Value.text, f.Note), "", bodyLetter, edge+label, column-label)
		p.y = max(p.y, end) + 0.4
	}
	p.y++
}

const (
	bulletWide = 3.5 // mm
	itemGap    = 0.4 // mm
)

func (p *paper) list(l List) {
	if len(l.Items) == 0 {
		return
	}
	x, wide := edge, column
	if l.Alarm {
		x, wide = edge+4, column-4
	}
	p.room(12)
	page, start := p.pdf.PageNo(), p.y
	if l.Title != "" {
		p.write(l.Title, "B", bodyLetter, x, wide)
	}
	for _, item := range l.Items {
		p.item(item, x, wide)
	}
	if l.Alarm {
		if p.pdf.PageNo() != page {
			start = top
		}
		p.pdf.SetLineWidth(1.2)
		p.pdf.Line(edge+1, start+0.5, edge+1, p.y-0.5)
	}
	p.y += 1.5
}

// listTall is the height of a list that is not parted.
func (p *paper) listTall(l List) float64 {
	p.letters("", bodyLetter)
	tall := 0.0
	for _, item := range l.Items {
		tall += itemGap + lineTall(bodyLetter)*float64(len(p.wrap(item, column-bulletWide)))
	}
	return tall
}

// figureGap is the room between two drawings side by side, mm.
const figureGap = 6.0

// figures sets drawings two in a row, wide ones alone.
func (p *paper) figures(all []Drawing) error {
	for len(all) > 0 {
		row, tall, err := p.figureRow(all)
		if err != nil {
			return err
		}
		all = all[len(row):]
		p.room(tall)
		start := p.y
		for i, d := range row {
			p.y = start
			wide := drawingWide(d)
			if err := p.drawing(d, edge+float64(i)*(wide+figureGap), wide); err != nil {
				return err
			}
		}
		p.y = start + tall + 2
	}
	return nil
}

// figureRow is the drawings that stand in the next row, and how tall it is.
func (p *paper) figureRow(all []Drawing) (row []Drawing, tall float64, err error) {
	row = all[:1]
	if !all[0].Wide && len(all) > 1 && !all[1].Wide {
		row = all[:2]
	}
	for _, d := range row {
		t, err := p.drawingTall(d, drawingWide(d))
		if err != nil {
			return nil, 0, err
		}
		tall = max(tall, t)
	}
	return row, tall, nil
}

func drawingWide(d Drawing) float64 {
	if d.Wide {
		return column
	}
	return (column - figureGap) / 2
}

// mostTall keeps a picture and its caption on half a page, mm.
const mostTall = 112.0

// drawingSize is the size of a drawing that may be so wide, mm.
func drawingSize(d Drawing, wide float64) (w, h float64, err error) {
	if d.Chart != nil {
		const mostWide = 108.0 // keeps the letters of a chart from shouting
		w = min(wide, mostWide)
		return w, w * float64(d.Chart.Height/ChartWidth), nil
	}
	size, _, err := pictureSize(d.Picture, d.Name)
	if err != nil {
		return 0, 0, err
	}
	w, h = wide, wide*float64(size.Height)/float64(size.Width)
	if h > mostTall {
		w, h = w*mostTall/h, mostTall
	}
	return w, h, nil
}

func (p *paper) drawingTall(d Drawing, wide float64) (float64, error) {
	_, h, err := drawingSize(d, wide)
	p.letters("", smallLetter)
	return h + 1 + lineTall(smallLetter)*float64(len(p.wrap(d.Caption, wide))), err
}

func (p *paper) drawing(d Drawing, x, wide float64) error {
	w, h, err := drawingSize(d, wide)
	if err != nil {
		return err
	}
	if d.Chart != nil {
		p.chart(*d.Chart, x, p.y, w)
	} else {
		_, format, err := pictureSize(d.Picture, d.Name)
		if err != nil {
			return err
		}
		p.images++
		name := fmt.Sprint("picture ", p.images)
		options := fpdf.ImageOptions{ImageType: format}
		p.pdf.RegisterImageOptionsReader(name, options, bytes.NewReader(d.Picture))
		p.pdf.ImageOptions(name, x, p.y, w, h, false, options, 0, "")
		if err := p.pdf.Error(); err != nil {
			return fmt.Errorf("picture of %s: %w", d.Name, err)
		}
	}
	p.y += h + 1
	p.write(d.Caption, "", smallLetter, x, wide)
	return nil
}
