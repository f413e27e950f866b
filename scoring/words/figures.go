package words

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"traystage/vision/note"
)

// value puts the value of a note into words, in the style that the sentence asks
// for.
func (c *Catalogue) value(v note.Value, style string) string {
	switch v.Kind {
	case note.StageKind:
		return c.stage(v.Number, style)
	case note.FigureKind:
		return c.figure(v, style)
	case note.ShareKind:
		return c.Percent(v.Number)
	case note.CountKind:
		return strconv.FormatFloat(v.Number, 'f', -1, 64)
	case note.DayKind:
		return c.day(v.Day, style)
	case note.NameKind:
		return v.Text
	case note.TermKind:
		return c.term(v.Text, style)
	case note.CountsKind:
		return c.Counts(v.Numbers)
	}
	return c.joined(v, style)
}

// stage is a stage in tenths, or as short as it can be: "3", "3.5".
func (c *Catalogue) stage(stage float64, style string) string {
	if style == "mark" {
		return c.Mark(stage)
	}
	return c.Number(stage, 1)
}

// figure is a number with its unit, unless it is asked for bare.
func (c *Catalogue) figure(v note.Value, style string) string {
	text := c.Number(v.Number, v.Digits)
	if style == "signed" {
		text = c.Signed(v.Number, v.Digits)
	}
	if style == "bare" || v.Unit == "" {
		return text
	}
	return text + " " + v.Unit
}

func (c *Catalogue) day(day time.Time, style string) string {
	switch style {
	case "iso":
		return day.Format(time.DateOnly)
	case "short":
		return c.ShortDay(day)
	case "medium":
		return c.MediumDay(day)
	case "long":
		return c.LongDay(day)
	}
	return c.Day(day)
}

// term is a word of the trade, or a form of it: "quantity.firmness" in the style
// "the" stands under "quantity.firmness.the".
func (c *Catalogue) term(key, style string) string {
	if style != "" {
		key += "." + style
	}
	return c.Text(key)
}

// joined is a list of names, terms or notes.
func (c *Catalogue) joined(v note.Value, style string) string {
	items := v.Texts
	switch v.Kind {
	case note.TermsKind:
		items = nil
		for _, key := range v.Texts {
			items = append(items, c.Text(key))
		}
	case note.NotesKind:
		items = c.SayAll(v.Notes)
	}
	switch style {
	case "or":
		return c.AnyOf(items)
	case "comma":
		return strings.Join(items, ", ")
	case "semicolon":
		return strings.Join(items, "; ")
	}
	return c.List(items)
}

// Number is a figure as people read it, with 0 to 3 decimals. It rounds the
// millionth that programs are given, halves away from zero, so that a page and
// the figures behind it always tell the same.
func (c *Catalogue) Number(x float64, digits int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "–"
	}
	text := strconv.FormatFloat(Shown(x, digits), 'f', digits, 64)
	return strings.NewReplacer(".", c.form.Decimal, "-", "−").Replace(text)
}

// AsGiven is a number with as many digits as it was typed with.
func (c *Catalogue) AsGiven(x float64) string {
	return strings.Replace(strconv.FormatFloat(x, 'g', -1, 64), ".", c.form.Decimal, 1)
}

// Shown is the number that Number writes.
func Shown(x float64, digits int) float64 {
	power := math.Pow10(digits)
	y := math.Round(math.Round(1e6*x)/math.Pow10(6-digits)) / power
	if y == 0 {
		return 0 // without the sign of a tiny negative
	}
	return y
}

// Signed is a Number with its sign, also where it is positive.
func (c *Catalogue) Signed(x float64, digits int) string {
	text := c.Number(x, digits)
	if Shown(x, digits) > 0 {
		return "+" + text
	}
	return text
}

// Mark is a stage without a decimal that it does not need: "3", "3.5".
func (c *Catalogue) Mark(stage float64) string {
	if Shown(stage, 1) == math.Trunc(stage) {
		return c.Number(stage, 0)
	}
	return c.Number(stage, 1)
}

// Percent is a fraction in whole per cent, with the sign: "63 %".
func (c *Catalogue) Percent(fraction float64) string {
	return strings.Replace(c.form.Percent, "{n}", c.Number(100*fraction, 0), 1)
}

// Day is a day of the season in a sentence: "14 September".
func (c *Catalogue) Day(day time.Time) string {
	if c.otherYear(day) {
		return c.LongDay(day)
	}
	return c.written(day, c.form.Days.Plain)
}

// ShortDay is a day of the season in a table: "14 Sep".
func (c *Catalogue) ShortDay(day time.Time) string {
	if c.otherYear(day) {
		return c.MediumDay(day)
	}
	return c.written(day, c.form.Days.Short)
}

// otherYear says whether the year of a day does not go without saying.
func (c *Catalogue) otherYear(day time.Time) bool { return c.year != 0 && day.Year() != c.year }

// MediumDay is a day with its year in a table: "14 Sep 2026".
func (c *Catalogue) MediumDay(day time.Time) string { return c.written(day, c.form.Days.Medium) }

// LongDay is a day with its year: "14 September 2026".
func (c *Catalogue) LongDay(day time.Time) string { return c.written(day, c.form.Days.Long) }

// written is a day by a pattern; empty for the zero time.
func (c *Catalogue) written(day time.Time, pattern string) string {
	if day.IsZero() {
		return ""
	}
	month := int(day.Month()) - 1
	return strings.NewReplacer(
		"{d}", strconv.Itoa(day.Day()), "{y}", strconv.Itoa(day.Year()),
		"{month}", c.form.Months[month], "{mon}", c.form.ShortMonths[month],
	).Replace(pattern)
}

// List joins words as people write them: "a", "a and b", "a, b and c".
func (c *Catalogue) List(items []string) string { return c.list(items, c.form.And) }

// AnyOf joins words of which one is to be taken: "a, b or c".
func (c *Catalogue) AnyOf(items []string) string { return c.list(items, c.form.Or) }

func (c *Catalogue) list(items []string, last string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	end := len(items) - 1
	for start, form := range c.form.Before[last] {
		if strings.HasPrefix(strings.ToLower(items[end]), start) {
			last = form
			break
		}
	}
	return strings.Join(items[:end], ", ") + " " + last + " " + items[end]
}

// Counts lists numbers in order, runs of three and more by their ends: "3 to 5
// and 9".
func (c *Catalogue) Counts(sorted []int) string {
	var items []string
	for i := 0; i < len(sorted); i++ {
		end := i
		for end+1 < len(sorted) && sorted[end+1] == sorted[end]+1 {
			end++
		}
		if end-i < 2 {
			items = append(items, strconv.Itoa(sorted[i]))
			continue
		}
		items = append(items, strings.NewReplacer("{from}", strconv.Itoa(sorted[i]), "{to}", strconv.Itoa(sorted[end])).Replace(c.form.Run))
		i = end
	}
	return c.List(items)
}

// Sentence is text with a capital.
func Sentence(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + text[size:]
}
