package instrument_test

import (
	"strings"
	"testing"

	"traystage/refimages/larkfield"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// The sheets of the demo orchard, in three units and two ways of writing
// decimals, are taken as they are and match their halves; the one sample that was
// pressed on one side is remarked on, and nothing else.
func TestReadSheetsLarkfield(t *testing.T) {
	oneSided := 0
	units := map[instrument.Unit]int{}
	for _, s := range larkfield.Samples() {
		if s.Readings == "" {
			continue
		}
		sheets, remarks, err := instrument.ReadSheets(strings.NewReader(s.Readings), instrument.Options{Compensated: !strings.Contains(s.Readings, "temperature")})
		if err != nil || len(sheets) != 1 || len(remarks) != 0 {
			t.Errorf("%s: %v, %v, %v", s.Photo, sheets, remarks, err)
			continue
		}
		readings := sheets[0].Readings
		if len(readings) != len(s.Stages) || readings[len(readings)-1].Fruit != len(s.Stages) {
			t.Errorf("%s: %d fruit were read of %d", s.Photo, len(readings), len(s.Stages))
		}
		units[readings[0].Firmness.Sides[0].Unit]++
		for _, r := range instrument.Remarks(readings) {
			fruit, _ := r.Value("fruit")
			what, _ := r.Value("what")
			if len(fruit.Numbers) != len(s.Stages) || !note.Has(what.Notes, "reading.one_side") {
				t.Errorf("%s: %s", s.Photo, r)
			}
			oneSided++
		}
	}
	if len(units) != 3 || oneSided != 1 {
		t.Errorf("units %v, %d samples pressed on one side", units, oneSided)
	}
}
