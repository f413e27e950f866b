package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/vision/note"
)

func asHTML(t *testing.T, r scoring.Report, pics Pictures) []byte {
	t.Helper()
	var b bytes.Buffer
	d, err := Tray{Report: r, Pictures: pics}.Document()
	if err != nil {
		t.Fatal(err)
	}
	if err := document.WriteHTML(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// nodes parses a page into its elements, in document order.
func nodes(t *testing.T, raw []byte) []*html.Node {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	var out []*html.Node
	for n := range root.Descendants() {
		if n.Type == html.ElementNode {
			out = append(out, n)
		}
	}
	return out
}

func attr(n *html.Node, name string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

func wordsOf(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.TrimSpace(b.String())
}

// The charts hold coordinates that differ in the last digit from processor to
// processor; they have a test of their own.
var chartElement = regexp.MustCompile(`(?s)<svg class="chart".*?</svg>`)

func TestWriteHTML(t *testing.T) {
	got := chartElement.ReplaceAll(asHTML(t, larkfield(), pictures()), []byte("[chart]"))
	golden(t, "larkfield.html", got)
}

// Every form of the report tells the same figures, and those that programs get.
func TestTrayFiguresDifferNowhere(t *testing.T) {
	d, err := Tray{Report: larkfield()}.Document()
	if err != nil {
		t.Fatal(err)
	}
	sameFigures(t, d)
	var figures struct {
		Halves []struct {
			Number                    int
			Stage, Low, High, Stained *float64
		}
	}
	if err := json.Unmarshal(asJSON(t, larkfield()), &figures); err != nil {
		t.Fatal(err)
	}
	var page tabled
	for _, p := range readPage(t, written(t, document.WriteHTML, d)) {
		if p.title == "All halves" {
			page = p
		}
	}
	if len(page.rows) != len(figures.Halves)+1 {
		t.Fatalf("%d table rows for %d halves and the mean", len(page.rows), len(figures.Halves))
	}
	for i, h := range figures.Halves {
		want := []string{fmt.Sprint(h.Number)}
		if h.Stage != nil {
			want = append(want, scoring.Tenth(*h.Stage), scoring.Tenth(*h.Low), scoring.Tenth(*h.High), scoring.Percent(*h.Stained))
		}
		if got := page.rows[i][:len(want)]; !slices.Equal(got, want) {
			t.Errorf("half %d: page %q, JSON %q", h.Number, got, want)
		}
	}
}

// The page must stand alone and be readable without eyes or mouse.
func TestHTMLIsSelfContainedAndAccessible(t *testing.T) {
	all := nodes(t, asHTML(t, larkfield(), pictures()))
	ids := map[string]bool{}
	count := map[string]int{}
	for _, n := range all {
		count[n.Data]++
		if id, ok := attr(n, "id"); ok {
			if ids[id] {
				t.Errorf("id %q twice", id)
			}
			ids[id] = true
		}
	}
	for _, n := range all {
		for _, name := range []string{"src", "href", "xlink:href", "srcset", "action"} {
			if to, ok := attr(n, name); ok && !strings.HasPrefix(to, "data:image/png;base64,") && !ids[strings.TrimPrefix(to, "#")] {
				t.Errorf("<%s> points outside: %s", n.Data, clip([]byte(to)))
			}
		}
		if label, ok := attr(n, "aria-labelledby"); ok && !ids[label] {
			t.Errorf("<%s> is named by %q, which is not there", n.Data, label)
		}
		if _, ok := attr(n, "alt"); n.Data == "img" && !ok {
			t.Error("a picture without alt text")
		}
		if scope, _ := attr(n, "scope"); n.Data == "th" && scope == "" {
			t.Errorf("table header %q without scope", wordsOf(n))
		}
		if lang, _ := attr(n, "lang"); n.Data == "html" && lang != "en" {
			t.Errorf("language %q", lang)
		}
	}
	if count["script"] != 0 || count["h1"] != 1 || count["main"] != 1 || count["header"] != 1 || count["footer"] != 1 {
		t.Errorf("scripts %d, h1 %d, main %d, header %d, footer %d", count["script"], count["h1"], count["main"], count["header"], count["footer"])
	}
	// Overlay, 14 crops and again 2 to look at, 11 calls with two plates and one
	// with one, and again 4 plates to look at.
	if want := 1 + 14 + 2 + 23 + 4; count["img"] != want {
		t.Errorf("%d pictures, want %d", count["img"], want)
	}
}

func TestHTMLOrderPutsTheResultFirst(t *testing.T) {
	var got []string
	for _, n := range nodes(t, asHTML(t, larkfield(), pictures())) {
		if n.Data == "h2" {
			got = append(got, wordsOf(n))
		}
	}
	want := []string{"Mean stage of the block", "What to look at", "The tray", "How the halves compare", "Each half", "How this was made", "Take care"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// What it means that a set is not calibrated is said once.
func TestTraySaysOnceWhatUncalibratedMeans(t *testing.T) {
	r := larkfield()
	const caution = "more fruit do not help"
	if strings.Contains(string(asHTML(t, r, Pictures{})), caution) {
		t.Error("a calibrated set is called uncalibrated")
	}
	r.Reference.Calibrated = false
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, 0)
	if n := strings.Count(string(asHTML(t, r, Pictures{})), caution); n != 1 {
		t.Errorf("it is said %d times", n)
	}
}

func TestHTMLOfFewFruit(t *testing.T) {
	none := string(asHTML(t, withoutFruit(larkfield()), Pictures{}))
	if !strings.Contains(none, "no half was scored") || strings.Contains(none, `<svg class="chart"`) {
		t.Error("no fruit: a chart, or no word")
	}
	r := larkfield()
	r.Fruit = r.Fruit[:1]
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, 0)
	one := string(asHTML(t, r, Pictures{}))
	if !strings.Contains(one, `<strong class="figure word">3.4<`) || strings.Contains(one, "nine cases of ten</small>") || strings.Contains(one, "NaN") {
		t.Error("one fruit: no mean, or an interval")
	}
}

func TestHTMLEscapesWhatItIsGiven(t *testing.T) {
	r := larkfield()
	bad := `<script>alert(1)</script>"><img src=x>`
	r.Orchard, r.Photo, r.Program, r.PhotoHash, r.Reference.Name = bad, bad, bad, bad, bad
	r.Fruit[3].Call.Reasons = []note.Note{note.Quote(bad)}
	r.Fruit[8].Remarks = []note.Note{note.Quote(bad)}
	for _, n := range nodes(t, asHTML(t, r, Pictures{})) {
		if n.Data == "script" || n.Data == "img" {
			t.Errorf("<%s> came through", n.Data)
		}
	}
}

func TestHTMLRefusesWhatIsNoPicture(t *testing.T) {
	bad := []byte("GIF89a")
	for want, pics := range map[string]Pictures{
		"picture of the tray":             {Overlay: bad},
		"picture of half 3":               {Crops: map[int][]byte{3: bad}},
		"picture of the plate of stage 3": {Plates: []calibrate.Plate{{Stage: 3, Picture: bad}}},
	} {
		var b bytes.Buffer
		d, err := Tray{Report: larkfield(), Pictures: pics}.Document()
		if err == nil {
			err = document.WriteHTML(&b, d)
		}
		if err == nil || !strings.Contains(err.Error(), want) || b.Len() != 0 {
			t.Errorf("%s: error %v, %d bytes written", want, err, b.Len())
		}
	}
}

// A stage that a person gave stands in the place of the call's, without the
// call's interval, also for a half that could not be measured.
func TestTrayOfWhichAPersonGaveStages(t *testing.T) {
	r := larkfield()
	for _, i := range []int{3, 13} {
		r.Fruit[i].Review = &scoring.Review{Override: true, Stage: 5.2, By: "jo"}
	}
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, 0)
	for _, p := range readPage(t, asHTML(t, r, Pictures{})) {
		if p.title != "All halves" {
			continue
		}
		for i, want := range map[int][]string{3: {"4", "5.2", "", "", "", "jo gave it, call was 3.1"}, 13: {"14", "5.2", "", "", "", "jo gave it"}} {
			if got := p.rows[i]; got[0] != want[0] || got[1] != want[1] || got[2] != want[2] || !strings.HasPrefix(got[len(got)-1], "jo gave it") {
				t.Errorf("half %s: %q", want[0], got)
			}
		}
	}
	if text := strings.Join(strings.Fields(asText(t, r)), " "); !strings.Contains(text, " 4 5.2 by eye") || !strings.Contains(text, " 14 5.2 by eye") {
		t.Errorf("text: %s", text)
	}
	var figures struct {
		Halves []struct{ Stage, Low, Stained *float64 }
	}
	if err := json.Unmarshal(asJSON(t, r), &figures); err != nil {
		t.Fatal(err)
	}
	measured, unmeasured := figures.Halves[3], figures.Halves[13]
	if *measured.Stage != 5.2 || measured.Low != nil || measured.Stained == nil {
		t.Errorf("JSON of the half that was measured: %+v", measured)
	}
	if *unmeasured.Stage != 5.2 || unmeasured.Low != nil || unmeasured.Stained != nil {
		t.Errorf("JSON of the half that was not: %+v", unmeasured)
	}
}
