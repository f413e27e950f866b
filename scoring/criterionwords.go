package scoring

import (
	"fmt"
	"math"
)

// words tells the outcome with its figures.
func (c Criterion) words() string {
	d := c.decimals()
	text := fmt.Sprintf("%s %s", c.Quantity, fixed(c.Value, d))
	if c.Quantity != StageOf && c.Quantity != StreifOf {
		text += " " + c.Unit
	}
	switch {
	case c.target.point():
		text += fmt.Sprintf(" stands %s from the optimum %s", c.distance(d), fixed(c.Opens.Value, d))
	case c.Side == Open:
		text += c.insideWords(d)
	default:
		text += c.outsideWords(d)
	}
	switch {
	case c.Outcome != Unsure:
		return text
	case !c.HasInterval:
		return text + ", but a single fruit does not tell how sure that is"
	}
	return text + fmt.Sprintf(", but the block's mean may lie anywhere from %s to %s", fixed(c.Low, d), fixed(c.High, d))
}

// decimals are as many as the quantity is told with, and more where figures that
// differ would read alike: a mean just short of its target, an interval that
// just reaches across.
func (c Criterion) decimals() int {
	const most = 3
	alike := func(d int) bool {
		if c.Margin != 0 && c.distance(d) == fixed(0, d) {
			return true
		}
		for _, end := range []Limit{c.Opens, c.Closes} {
			crossed := end.Set && c.Outcome == Unsure && c.Low < end.Value && end.Value < c.High
			if text := fixed(end.Value, d); crossed && (fixed(c.Low, d) == text || fixed(c.High, d) == text) {
				return true
			}
		}
		return false
	}
	d := c.target.decimals
	for d < min(c.target.decimals+2, most) && alike(d) {
		d++
	}
	return d
}

func (c Criterion) distance(decimals int) string { return fixed(math.Abs(c.Margin), decimals) }

// verb is that of the quantity: soluble solids are many.
func (c Criterion) verb() string {
	if c.Quantity == SolidsOf {
		return "are"
	}
	return "is"
}

func (c Criterion) insideWords(d int) string {
	is := " " + c.verb() + " "
	from, to := fixed(c.Target.From.Value, d), fixed(c.Target.To.Value, d)
	switch both := c.Target.From.Set && c.Target.To.Set; {
	case both && c.Margin == 0:
		return is + fmt.Sprintf("just within %s to %s", from, to)
	case both:
		return is + fmt.Sprintf("within %s to %s, %s from the nearer end", from, to, c.distance(d))
	case c.target.ripeness() && c.Opens.Set:
		return is + fmt.Sprintf("%s past %s, where the standard opens", c.distance(d), fixed(c.Opens.Value, d))
	case c.target.ripeness():
		return fmt.Sprintf(" has %s to go to %s, where the standard closes", c.distance(d), fixed(c.Closes.Value, d))
	case c.Margin == 0 && c.Target.From.Set:
		return is + "just the least asked"
	case c.Margin == 0:
		return is + "just the most allowed"
	case c.Target.From.Set:
		return is + fmt.Sprintf("%s above the %s asked at least", c.distance(d), from)
	}
	return is + fmt.Sprintf("%s below the %s allowed at most", c.distance(d), to)
}

func (c Criterion) outsideWords(d int) string {
	is := " " + c.verb() + " "
	end := fixed(c.Opens.Value, d)
	if c.Side == Past {
		end = fixed(c.Closes.Value, d)
	}
	below := c.Target.From.Set && c.Value < c.Target.From.Value
	switch {
	case c.target.ripeness() && c.Side == TooEarly:
		return fmt.Sprintf(" has %s to go to %s, where the standard opens", c.distance(d), end)
	case c.target.ripeness():
		return is + fmt.Sprintf("%s past %s, where the standard closes", c.distance(d), end)
	case below:
		return is + fmt.Sprintf("%s below the %s asked at least", c.distance(d), end)
	}
	return is + fmt.Sprintf("%s above the %s allowed at most", c.distance(d), end)
}
