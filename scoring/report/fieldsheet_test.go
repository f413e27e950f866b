package report

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/report/document"
)

func TestPlan(t *testing.T) {
	d := larkfieldPlan().Document()
	golden(t, "plan.txt", written(t, document.WriteText, d))
	sameFigures(t, d)
	empty := Plan{Orchard: "Larkfield", Day: day(9, 16)}.Document()
	if text := written(t, document.WriteText, empty); !bytes.Contains(text, []byte("No block wants a sample.")) {
		t.Errorf("no word on an empty plan: %s", text)
	}
}

// The sheet must have a row for each fruit, its headings with units again on
// every page, and for twelve fruit be one page.
func TestFieldSheet(t *testing.T) {
	sheet := FieldSheet{Orchard: "Larkfield", Block: north3, Printed: day(9, 16), Fruit: 12, Unit: instrument.PoundForce, Ground: "1-4 card"}
	raw := written(t, document.WritePDF, sheet.Document())
	if n := pages(t, raw); n != 1 {
		t.Errorf("12 fruit take %d pages", n)
	}
	text := squeeze(pdfText(t, raw))
	for _, want := range []string{"North3", "Gala", "red%", "groundcolour1-4card", "firmnessside1lbf", "firmnessside2lbf", "solublesolids°Brix", "juice°C", "note", "123456789101112", "toxic", "Bladescut"} {
		if !strings.Contains(text, want) {
			t.Errorf("nowhere %q", want)
		}
	}
	sheet = FieldSheet{Block: scoring.Block{}, Printed: day(9, 16), Fruit: 40}
	raw = written(t, document.WritePDF, sheet.Document())
	if heads := strings.Count(squeeze(pdfText(t, raw)), "firmnessside1"); heads != 2 {
		t.Errorf("40 fruit: headings on %d pages, want 2", heads)
	}
}

// The figures in the rules of sampling are those that were published.
//
// Source of testdata/checks/method_facts.csv: see testdata/README.md; each row
// names its own.
func TestRulesAgainstPublishedFacts(t *testing.T) {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "checks", "method_facts.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct{ topic, parameter, source, says string }{
		{"starch", "sample size", "Michigan State", "at least %s fruit"},
		{"starch", "sample size", "Strickhof", "each of %s trees"},
		{"firmness", "tip diameter apples", "UC Davis", "tip of %s mm"},
		{"firmness", "penetration depth", "Strickhof", "%s mm deep"},
		{"firmness", "sides measured", "UC Davis", "%s opposite sides"},
		{"soluble solids", "reference temperature", "OIV", "corrects to %s °C"},
		{"starch", "wait before rating", "Montana State", "wait %s minutes"},
		{"starch", "rating time limit", "Michigan State", "within %s minutes"},
	} {
		found := false
		for _, fact := range rows {
			if fact[0] != row.topic || fact[1] != row.parameter || !strings.Contains(fact[5], row.source) {
				continue
			}
			found = true
			want := strings.Replace(row.says, "%s", fact[2], 1)
			if !strings.Contains(strings.Join(penOf(nil).rulesList().Items, " "), want) {
				t.Errorf("no rule says %q, which %s does", want, fact[5])
			}
		}
		if !found {
			t.Errorf("%s, %s: nothing published by %s", row.topic, row.parameter, row.source)
		}
	}
}
