package larkfield

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
)

// sheet is how a block's readings are written down: every tester has their own
// instruments and habits.
type sheet struct {
	head         string
	comma        string  // between cells
	decimal      string  // point or comma
	perPound     float64 // size of 1 lbf in the sheet's unit of force
	tenths       int     // decimals of a force
	warm         bool    // the refractometer shows raw °Brix, with the juice's temperature beside it
	groundColour bool
}

var (
	pounds = sheet{
		head: "fruit,firmness 1 (lbf),firmness 2 (lbf),brix,red %,note", comma: ",", decimal: ".", perPound: 1, tenths: 1,
	}
	kilograms = sheet{
		head: "fruit;firmness 1 (kgf);firmness 2 (kgf);brix;red %;ground colour;note", comma: ";", decimal: ",",
		perPound: 0.45359237, tenths: 1, groundColour: true,
	}
	newtons = sheet{
		head: "fruit,firmness 1 (N),firmness 2 (N),brix,temperature,note", comma: ",", decimal: ".", perPound: 4.4482216,
		tenths: 0, warm: true,
	}
)

// text is the CSV file of one sample. Fruit differ by about 0.9 lbf and 0.7
// °Brix, sides of one fruit by 0.5 lbf; the figures are inventions.
func (s sheet) text(c course, v visit, r *rand.Rand) string {
	var b strings.Builder
	b.WriteString(s.head + "\n")
	bruised := 1 + r.IntN(v.fruit)
	for n := 1; n <= v.fruit; n++ {
		firm := c.firm(v.on) + 0.9*r.NormFloat64()
		note := ""
		if v.bruised && n == bruised {
			firm, note = 8.5, "bruised"
		}
		cells := []string{
			strconv.Itoa(n),
			s.number(firm*s.perPound+0.3*s.perPound*r.NormFloat64(), s.tenths),
			s.number(firm*s.perPound+0.3*s.perPound*r.NormFloat64(), s.tenths),
		}
		if v.oneSide {
			cells[2] = ""
		}
		sweet := c.sweet(v.on) + 0.7*r.NormFloat64()
		red := strconv.Itoa(5 * int(min(max(9+days(v.on, september)/4+2.4*r.NormFloat64(), 1), 20)))
		switch {
		case s.warm:
			warmth := 16 + 7*r.Float64()
			cells = append(cells, s.number(sweet-0.07*(warmth-20), 1), s.number(warmth, 0))
		case s.groundColour:
			cells = append(cells, s.number(sweet, 1), red, s.number(min(max(1.6+days(v.on, september)/25+0.3*r.NormFloat64(), 1), 4), 1))
		default:
			cells = append(cells, s.number(sweet, 1), red)
		}
		b.WriteString(strings.Join(append(cells, note), s.comma) + "\n")
	}
	return b.String()
}

func (s sheet) number(x float64, decimals int) string {
	return strings.Replace(fmt.Sprintf("%.*f", decimals, x), ".", s.decimal, 1)
}
