package report

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/vision/note"
)

func asText(t *testing.T, r scoring.Report) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteText(&b, r, nil); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestWriteText(t *testing.T) {
	golden(t, "larkfield.txt", []byte(asText(t, larkfield())))
	bare := withoutFruit(larkfield())
	bare.Orchard, bare.Block, bare.Variety, bare.Taken = "", "", "", time.Time{}
	bare.Reference.Calibrated = false
	bare.Summary = scoring.Summarize(nil, bare.Reference, 0)
	golden(t, "nothing.txt", []byte(asText(t, bare)))
}

// Letters of two cells, letters with accents of their own, and long texts must
// neither shift a column nor pass the eightieth cell.
func TestWriteTextStaysWithin80Cells(t *testing.T) {
	r := larkfield()
	r.Orchard = strings.Repeat("果樹園 ", 20)
	r.Block = strings.Repeat("Ne\u0301ctar ", 20)
	r.Fruit[3].Call.Reasons = []note.Note{note.Quote(strings.Repeat("りんご ", 30))}
	for _, line := range strings.Split(asText(t, r), "\n") {
		if w := document.Cells(line); w > document.TextWidth {
			t.Errorf("%d cells: %s", w, line)
		}
	}
}

func TestWriteTextCannotSteerTheTerminal(t *testing.T) {
	r := larkfield()
	r.Photo = "a\x1b[2Jb.jpg"
	if got := asText(t, r); strings.ContainsRune(got, 0x1b) || !strings.Contains(got, `a\u001b[2Jb.jpg`) {
		t.Errorf("%q", got[:100])
	}
}

func TestSuperscript(t *testing.T) {
	for n, want := range map[int]string{1: "¹", 9: "⁹", 10: "¹⁰", 23: "²³"} {
		if got := superscript(n); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
	}
}
