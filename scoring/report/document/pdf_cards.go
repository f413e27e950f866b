package document

// cardPictures is how many pictures of a card stand beside each other, and how
// wide each is, in mm.
const (
	cardPictures = 3
	pictureWide  = 24.0
	cardGap      = 4.0
)

// cards sets cards two in a row.
func (p *paper) cards(all []Card) error {
	wide := (column - cardGap) / 2
	for len(all) > 0 {
		row := all[:min(2, len(all))]
		all = all[len(row):]
		tall := 0.0
		for _, c := range row {
			t, err := p.cardTall(c, wide)
			if err != nil {
				return err
			}
			tall = max(tall, t)
		}
		p.room(tall + 2)
		start := p.y
		for i, c := range row {
			p.y = start
			if err := p.card(c, edge+float64(i)*(wide+cardGap), wide, tall); err != nil {
				return err
			}
		}
		p.y = start + tall + 2
	}
	return nil
}

const cardPad = 2.0 // mm

// cardTall is the height of a card, mm.
func (p *paper) cardTall(c Card, wide float64) (float64, error) {
	p.letters("B", bodyLetter)
	tall := 2*cardPad + 1 + lineTall(bodyLetter)*float64(len(p.wrap(c.Title, wide-2*cardPad)))
	pictures := 0.0
	for _, d := range c.Figures {
		t, err := p.drawingTall(d, pictureWide)
		if err != nil {
			return 0, err
		}
		pictures = max(pictures, t)
	}
	tall += pictures
	p.letters("", bodyLetter)
	for _, item := range c.Items {
		tall += itemGap + lineTall(bodyLetter)*float64(len(p.wrap(item, wide-2*cardPad-bulletWide)))
	}
	return tall, nil
}

func (p *paper) card(c Card, x, wide, tall float64) error {
	thick := 0.2
	if c.Marked {
		thick = 0.8
	}
	p.pdf.SetLineWidth(thick)
	p.pdf.Rect(x, p.y, wide, tall, "D")
	x, wide = x+cardPad, wide-2*cardPad
	p.y += cardPad
	p.write(c.Title, "B", bodyLetter, x, wide)
	p.y++
	start, end := p.y, p.y
	for i, d := range c.Figures[:min(cardPictures, len(c.Figures))] {
		p.y = start
		if err := p.drawing(d, x+float64(i)*(pictureWide+2), pictureWide); err != nil {
			return err
		}
		end = max(end, p.y)
	}
	p.y = end
	for _, item := range c.Items {
		p.item(item, x, wide)
	}
	return nil
}
