package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"traystage/scoring"
	"traystage/scoring/report/document"
)

func outlookDocument(t testing.TB, o Outlook) document.Document {
	t.Helper()
	d, err := o.Document()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestOutlook(t *testing.T) {
	d := outlookDocument(t, larkfieldOutlook(t))
	golden(t, "outlook.txt", written(t, document.WriteText, d))
	golden(t, "outlook.csv", written(t, document.WriteCSV, d))
	golden(t, "outlook.html", chartElement.ReplaceAll(written(t, document.WriteHTML, d), []byte("[chart]")))
	var pretty bytes.Buffer
	if err := json.Indent(&pretty, written(t, document.WriteJSON, d), "", " "); err != nil {
		t.Fatal(err)
	}
	golden(t, "outlook.json", pretty.Bytes())
}

func TestOutlookFiguresDifferNowhere(t *testing.T) {
	sameFigures(t, outlookDocument(t, larkfieldOutlook(t)))
}

func TestOutlookChart(t *testing.T) {
	c, err := penOf(nil).windowsChart(larkfieldOutlook(t))
	if err != nil {
		t.Fatal(err)
	}
	sameChart(t, "windows.png", c)
}

// Five blocks must fit one page, in the order of picking.
func TestOutlookIsOnePage(t *testing.T) {
	raw := written(t, document.WritePDF, outlookDocument(t, larkfieldOutlook(t)))
	if n := pages(t, raw); n != 1 {
		t.Errorf("%d pages", n)
	}
	text := pdfText(t, raw)
	last := -1
	for _, p := range larkfieldOutlook(t).Blocks {
		at := strings.Index(text, p.Block.Name)
		if at <= last {
			t.Errorf("block %s does not follow the one before it", p.Block.Name)
		}
		last = at
	}
}

func TestOutlookWithoutBlocks(t *testing.T) {
	d := outlookDocument(t, Outlook{Outlook: scoring.Outlook{Orchard: "Larkfield", Day: day(9, 16)}})
	for form, text := range map[string]string{
		"page": string(written(t, document.WriteHTML, d)), "text": string(written(t, document.WriteText, d)),
		"PDF": pdfText(t, written(t, document.WritePDF, d)),
	} {
		if !strings.Contains(text, "no block yet") {
			t.Errorf("%s: no word on it:\n%s", form, text)
		}
	}
}

func TestShort(t *testing.T) {
	for name, want := range map[string]string{"North 3": "North 3", "Sixteen letters.": "Sixteen letters.", "Seventeen letters": "Seventeen lette…", "": ""} {
		if got := short(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}
