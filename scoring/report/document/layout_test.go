package document

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestShareOut(t *testing.T) {
	for name, row := range map[string]struct {
		least, wanted []float64
		spare         int
		want          []float64
	}{
		"room to spare":  {[]float64{10, 10}, []float64{20, 30}, 1, []float64{20, 80}},
		"spare is first": {[]float64{10, 10}, []float64{20, 30}, 0, []float64{70, 30}},
		"just enough":    {[]float64{10, 10}, []float64{40, 60}, 0, []float64{40, 60}},
		// 100 wide, 20 needed: 80 to share in the ratio 90 : 30 of what is wanted beyond.
		"too little":     {[]float64{10, 10}, []float64{100, 40}, 0, []float64{70, 30}},
		"far too little": {[]float64{150, 50}, []float64{300, 50}, 0, []float64{75, 25}},
	} {
		got := shareOut(100, row.least, row.wanted, row.spare)
		for i, w := range row.want {
			if math.Abs(got[i]-w) > 1e-9 {
				t.Errorf("%s: %v, want %v", name, got, row.want)
				break
			}
		}
	}
}

func TestWriteColumns(t *testing.T) {
	words := func(n int) string { return strings.TrimSpace(strings.Repeat("word ", n)) }
	for name, row := range map[string]struct {
		left       []bool
		rows, foot [][]string
		want       string
	}{
		"aligned":   {[]bool{true, false}, [][]string{{"what", "mean"}, {"stage", "3.4"}}, nil, "what   mean\nstage   3.4\n"},
		"with foot": {[]bool{true, false}, [][]string{{"a", "1"}}, [][]string{{"mean", "10"}}, "a      1\n────────\nmean  10\n"},
		// 39 cells for each: 8 words, or "x" and 7; 20 and 21 words in all.
		"two broken columns": {[]bool{true, true}, [][]string{{words(20), "x " + words(20)}}, nil,
			words(8) + "  x " + words(7) + "\n" + words(8) + "  " + words(8) + "\n" + words(4) + strings.Repeat(" ", 20+2) + words(5) + "\n"},
	} {
		var b strings.Builder
		WriteColumns(&b, row.left, row.rows, row.foot)
		if b.String() != row.want {
			t.Errorf("%s:\n%q, want\n%q", name, b.String(), row.want)
		}
	}
}

// paperOf is a page to write on.
func paperOf(t *testing.T) *paper {
	t.Helper()
	p, err := newPaper(Document{Kind: "test", Day: time.Date(2026, 9, 14, 0, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPaperWrap(t *testing.T) {
	p := paperOf(t)
	p.letters("", bodyLetter)
	wide := p.pdf.GetStringWidth("one two")
	if got := p.wrap("one two three", wide); !slices.Equal(got, []string{"one two", "three"}) {
		t.Errorf("%q", got)
	}
	if got := p.wrap("", wide); !slices.Equal(got, []string{""}) {
		t.Errorf("nothing: %q", got)
	}
	for _, line := range p.wrap(strings.Repeat("ä", 300), wide) {
		if p.pdf.GetStringWidth(line) > wide+0.01 {
			t.Errorf("%q is too wide", line)
		}
	}
	// Narrower than any letter: one a line, not none for ever.
	if got := p.wrap("abc", 0.1); !slices.Equal(got, []string{"a", "b", "c"}) {
		t.Errorf("%q", got)
	}
}

// The letters that reports need are in the font; others become question marks
// and never a fault.
func TestPaperAble(t *testing.T) {
	p := paperOf(t)
	if text := "°±–§€ä’…−◊×≥•"; p.able(text) != text {
		t.Errorf("the font lacks letters: %q", p.able(text))
	}
	if got := p.able("果a\n\U00010000\U0001F34E"); got != "?a ??" {
		t.Errorf("%q", got)
	}
}

// A table runs on to further pages under its headings; nothing is lost.
func TestPaperTableRunsOn(t *testing.T) {
	table := Table{Caption: "long", Columns: []Column{{Head: "number"}, {Head: "word", Kind: Words}}}
	for i := range 200 {
		table.Rows = append(table.Rows, []Cell{Count(i), Word("fruit")})
	}
	d := Document{Kind: "test", Title: "test", Sections: []Section{{Title: "one", Parts: []Part{table}}}}
	var b bytes.Buffer
	if err := WritePDF(&b, d); err != nil {
		t.Fatal(err)
	}
	// 200 rows of 8.5 points, about 5 mm each, on pages of 269 mm.
	if n := bytes.Count(b.Bytes(), []byte("/Type /Page\n")); n < 4 || n > 5 {
		t.Errorf("%d pages", n)
	}
}
