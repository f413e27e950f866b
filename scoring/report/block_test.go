package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
	"traystage/vision/note"
)

func blockDocument(t testing.TB, b Block) document.Document {
	t.Helper()
	d, err := b.Document()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestBlock(t *testing.T) {
	d := blockDocument(t, northBlock(t))
	golden(t, "block.txt", written(t, document.WriteText, d))
	golden(t, "block.csv", written(t, document.WriteCSV, d))
	golden(t, "block.html", chartElement.ReplaceAll(written(t, document.WriteHTML, d), []byte("[chart]")))
	var pretty bytes.Buffer
	if err := json.Indent(&pretty, written(t, document.WriteJSON, d), "", " "); err != nil {
		t.Fatal(err)
	}
	golden(t, "block.json", pretty.Bytes())
}

func TestBlockFiguresDifferNowhere(t *testing.T) {
	sameFigures(t, blockDocument(t, northBlock(t)))
}

// The same value must give the same bytes, whenever and how often it is
// rendered: the only day in it is that of the report.
func TestBlockIsTheSameEveryTime(t *testing.T) {
	for name, write := range document.Forms() {
		first := written(t, write, blockDocument(t, northBlock(t)))
		for range 3 {
			if !bytes.Equal(first, written(t, write, blockDocument(t, northBlock(t)))) {
				t.Errorf("%s differs from one time to the next", name)
			}
		}
	}
	if pdf := written(t, document.WritePDF, blockDocument(t, northBlock(t))); !bytes.Contains(pdf, []byte("(D:20260916000000")) {
		t.Error("the PDF was not made on the day of the report")
	}
}

func TestBlockCourseCharts(t *testing.T) {
	b := northBlock(t)
	for _, s := range b.Season {
		if s.Quantity != scoring.StageOf && s.Quantity != scoring.StreifOf {
			continue
		}
		c, err := penOf(nil).courseChart(s, band(s, b.Origin.Day), nil, b.Origin.Day)
		if err != nil {
			t.Fatal(err)
		}
		sameChart(t, "course_"+strings.Fields(string(s.Quantity))[0]+".png", c)
	}
}

// A block of which little is known has a report all the same.
func TestBlockOfWhichLittleIsKnown(t *testing.T) {
	for name, samples := range map[string][]scoring.Sample{
		"no sample":                nil,
		"one sample":               season()[2:],
		"no readings":              {visit{on: day(time.September, 14), stage: 3, bare: true}.sample("North 3")},
		"nothing scored":           {visit{on: day(time.September, 14), stage: 3, bare: true, blank: true}.sample("North 3")},
		"nothing scored, but read": {visit{on: day(time.September, 14), stage: 3, firm: 17, sweet: 12, blank: true}.sample("North 3")},
	} {
		r, err := scoring.Assess(north3, samples, standards, nil, scoring.Options{Orchard: "Larkfield", Today: day(time.September, 16)})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		d := blockDocument(t, Block{BlockReport: r})
		for form, write := range document.Forms() {
			if out := written(t, write, d); bytes.Contains(out, []byte("NaN")) || len(out) == 0 {
				t.Errorf("%s, %s: NaN, or nothing", name, form)
			}
		}
		text := strings.Join(strings.Fields(string(written(t, document.WriteText, d))), " ")
		if len(r.Season) > 0 && !strings.Contains(text, "give no trend") {
			t.Errorf("%s: no word that one sample gives no trend:\n%s", name, text)
		}
		if !strings.HasPrefix(text, words.Sentence(words.For("en").Say(r.Order()))) {
			t.Errorf("%s: the text does not begin with the order:\n%s", name, text)
		}
	}
}

func TestBlockTextStaysWithin80Cells(t *testing.T) {
	b := northBlock(t)
	b.Block.Name = strings.Repeat("果樹園 ", 20)
	b.Warnings = []note.Note{note.Quote(strings.Repeat("りんご ", 30))}
	for _, line := range strings.Split(string(written(t, document.WriteText, blockDocument(t, b))), "\n") {
		if w := document.Cells(line); w > document.TextWidth {
			t.Errorf("%d cells: %s", w, line)
		}
	}
}

func TestBlockRefusesWhatIsNoPicture(t *testing.T) {
	b := northBlock(t)
	b.Trays = []Picture{{Name: "tray.gif", Bytes: []byte("GIF89a")}}
	d := blockDocument(t, b)
	for _, name := range []string{"html", "pdf"} {
		var out bytes.Buffer
		err := document.Forms()[name](&out, d)
		if err == nil || !strings.Contains(err.Error(), "tray.gif") || out.Len() != 0 {
			t.Errorf("%s: error %v, %d bytes written", name, err, out.Len())
		}
	}
}

// What a person typed must stay words, on the page and in a spreadsheet.
func TestBlockEscapesWhatItIsGiven(t *testing.T) {
	b := northBlock(t)
	b.Block.Name = "<script>alert(1)</script>"
	b.Rows[0].Reading.Note = "=1+1"
	d := blockDocument(t, b)
	for _, n := range nodes(t, written(t, document.WriteHTML, d)) {
		if n.Data == "script" {
			t.Error("<script> came through")
		}
	}
	if !bytes.Contains(written(t, document.WriteCSV, d), []byte(",'=1+1")) {
		t.Error("CSV: a note can be taken for a formula")
	}
}

// BenchmarkBlock assesses and renders one block of a large season, ten samples of
// twenty fruit, without pictures of trays.
func BenchmarkBlock(b *testing.B) {
	var samples []scoring.Sample
	for i := range 10 {
		x := float64(i)
		samples = append(samples, visit{on: day(time.August, 20+3*i), stage: 1.9 + x/5, firm: 19 - x/4, sweet: 10 + x/5, fruit: 20}.sample("North 3"))
	}
	for name, write := range document.Forms() {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				r, err := scoring.Assess(north3, samples, standards, checks, scoring.Options{Today: day(time.September, 16)})
				if err != nil {
					b.Fatal(err)
				}
				block := Block{BlockReport: r}
				written(b, write, blockDocument(b, block))
			}
		})
	}
}
