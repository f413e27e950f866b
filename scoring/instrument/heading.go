package instrument

import (
	"fmt"
	"slices"
	"strings"

	"traystage/scoring/table"
)

// kind is what a column holds.
type kind int

const (
	unknown kind = iota
	fruitColumn
	sideColumn // of firmness; there may be several
	brixColumn
	warmthColumn
	redColumn
	groundColumn
	noteColumn
	blockColumn
	dayColumn
	unitColumn
	tipColumn
)

// column is one column of a file of readings.
type column struct {
	kind       kind
	at         int    // place in a row, from 0
	heading    string // as it was written
	unit       Unit   // of a side; empty when the heading names none
	scale      string // of ground colour; empty when the heading names none
	fahrenheit bool   // of a temperature
}

// notForce are units that are written over firmness, yet are no forces.
var notForce = []string{"kpa", "mpa", "pa", "psi", "bar", "lb/in2", "lb/in²", "g", "gf", "oz", "ozf", "shore"}

// readHeading says what a column holds, and whether its unit was written as one
// of pressure (see ParseUnit).
func readHeading(heading string, at int) (c column, pressure bool, err error) {
	c = column{at: at, heading: heading}
	name, inside := cutBrackets(strings.ToLower(heading))
	c.kind = kindOf(name, inside)
	switch c.kind {
	case sideColumn:
		name, inside := cutBrackets(heading)
		for _, part := range append(inside, strings.Fields(name)...) {
			if unit, as, err := parseUnit(part); err == nil {
				c.unit, pressure = unit, as
			}
			if slices.Contains(notForce, strings.ToLower(part)) {
				return c, false, fmt.Errorf("%q is not a unit of force; write lbf, kgf or N", part)
			}
		}
	case warmthColumn:
		words := table.Words(heading)
		c.fahrenheit = slices.Contains(words, "f") || slices.Contains(words, "fahrenheit")
	case groundColumn:
		if _, inside := cutBrackets(heading); len(inside) > 0 {
			c.scale = inside[0]
		}
	}
	return c, pressure, nil
}

func kindOf(name string, inside []string) kind {
	words := table.Words(name)
	if numbersFruit(words) {
		return fruitColumn
	}
	for _, h := range headingWords {
		if slices.ContainsFunc(words, func(w string) bool { return slices.Contains(h.words, w) }) {
			return h.kind
		}
	}
	percent := slices.Contains(words, "%") || slices.Contains(words, "percent") || slices.Contains(inside, "%")
	if percent && slices.ContainsFunc(words, func(w string) bool { return slices.Contains(colourWords, w) }) {
		return redColumn
	}
	return unknown
}

// numbersFruit says whether a heading is that of the fruit's numbers.
func numbersFruit(words []string) bool {
	named := false
	for _, w := range words {
		switch {
		case slices.Contains(fruitWords, w):
			named = true
		case !slices.Contains(joiningWords, w):
			return false
		}
	}
	return named
}

// cutBrackets parts what stands in brackets from the rest of a heading.
func cutBrackets(heading string) (name string, inside []string) {
	for {
		open := strings.IndexAny(heading, "([")
		if open < 0 {
			return name + heading, inside
		}
		length := strings.IndexAny(heading[open+1:], ")]")
		if length < 0 {
			length = len(heading) - open - 1
		}
		name += heading[:open] + " "
		if part := strings.TrimSpace(heading[open+1 : open+1+length]); part != "" {
			inside = append(inside, part)
		}
		heading = heading[min(open+length+2, len(heading)):]
	}
}
