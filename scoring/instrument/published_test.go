package instrument

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// checkRows reads one file of published values; each row by column name.
func checkRows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "checks", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func figure(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// Worked conversions and exact factors, NIST SP 811 and the definitions behind it.
func TestForceAgainstPublishedFactors(t *testing.T) {
	exact := map[string][2]Unit{
		"kgf_in_N": {KilogramForce, Newton}, "lbf_in_N": {PoundForce, Newton},
		"kgf_per_lbf": {PoundForce, KilogramForce}, "lbf_per_kgf": {KilogramForce, PoundForce},
	}
	worked := regexp.MustCompile(`^(lbf|kgf|N)_([0-9.]+)_in_(lbf|N)$`)
	also := regexp.MustCompile(`^= ([0-9.]+) (lbf|kgf)$`)
	checked := 0
	for _, row := range checkRows(t, "firmness_units.csv") {
		want := row["value"]
		if units, ok := exact[row["item"]]; ok {
			got := Force{1, units[0]}.In(units[1])
			if math.Abs(got-figure(t, want)) > 1e-12 {
				t.Errorf("%s: 1 %s is %.14f %s, want %s", row["item"], units[0], got, units[1], want)
			}
			checked++
		}
		m := worked.FindStringSubmatch(row["item"])
		if m == nil {
			continue
		}
		f := Force{figure(t, m[2]), Unit(m[1])}
		if got := f.In(Unit(m[3])); math.Abs(got-figure(t, want)) > 5.1e-7 {
			t.Errorf("%s is %.7f %s, want %s", f, got, m[3], want)
		}
		if a := also.FindStringSubmatch(row["note"]); a == nil {
			t.Errorf("%s: no second value", row["item"])
		} else if got := f.In(Unit(a[2])); math.Abs(got-figure(t, a[1])) > 5.1e-7 {
			t.Errorf("%s is %.7f %s, want %s", f, got, a[2], a[1])
		}
		checked++
	}
	if checked < 35 {
		t.Errorf("only %d rows checked", checked)
	}
}

// Diameters of tips: NIST SP 811 for the inch, Strickhof for those of apples
// and pears.
func TestTipsAgainstPublishedDiameters(t *testing.T) {
	names := map[string]string{"tip_7_16_in_diameter": "7/16", "tip_5_16_in_diameter": "5/16", "apple_tip_nominal": "11", "tip_1_cm2_diameter": "11.2838"}
	checked := 0
	for _, row := range checkRows(t, "firmness_units.csv") {
		name, ok := names[row["item"]]
		if !ok {
			continue
		}
		checked++
		got, err := ParseTip(name)
		if err != nil || math.Abs(got-figure(t, row["value"])) > 1e-9 {
			t.Errorf("tip %s is %v mm (%v), want %s", name, got, err, row["value"])
		}
		if forApples := CheckTip(got) == nil; forApples != (name != "5/16") {
			t.Errorf("tip %s taken for apples: %v", name, forApples)
		}
	}
	if checked != len(names) {
		t.Errorf("only %d tips checked", checked)
	}
}

// Both sources at each of their entries, OIV Table I before the 1936 table
// (from memory); the first column against water and the rows that neither
// source was read for against the curve through those that were.
func TestCorrectionAgainstTables(t *testing.T) {
	within := map[string]float64{"OIV Table I": 1e-9, "Intl 1936": 1e-9, "water check": 0.0201, "quadratic": 0.03}
	rows := checkRows(t, "brix_temperature.csv")
	type place struct{ celsius, brix float64 }
	read := map[place]bool{}
	checked := map[string]int{}
	for _, row := range rows { // the rows of OIV Table I come first
		celsius := figure(t, row["temp_c"])
		if celsius < coldest {
			continue
		}
		for brix := 0.0; brix <= sweetest; brix += step {
			entry := row["add_to_reading_"+strconv.Itoa(int(brix))]
			if entry == "" || row["table"] == "Intl 1936" && read[place{celsius, brix}] {
				continue
			}
			if row["table"] == "OIV Table I" {
				read[place{celsius, brix}] = true
			}
			got, ok := toAdd(brix, celsius)
			if !ok || math.Abs(got-figure(t, entry)) > within[row["table"]] {
				t.Errorf("%s at %v °C and %v °Brix: %v, want %s", row["table"], celsius, brix, got, entry)
			}
			checked[row["table"]]++
		}
	}
	if checked["OIV Table I"] != 45 || checked["Intl 1936"] != 147-45 || checked["water check"] < 20 || checked["quadratic"] < 20 {
		t.Errorf("checked %v", checked)
	}
}

// What extension services and OIV say of the methods, beside what the package
// takes for granted.
func TestMethodAgainstPublishedFacts(t *testing.T) {
	checked := map[string]int{}
	for _, row := range checkRows(t, "method_facts.csv") {
		key := row["topic"] + ", " + row["parameter"]
		switch key {
		case "firmness, tip diameter apples", "firmness, tip diameter pears":
			tip, err := ParseTip(row["value"])
			if err != nil || (CheckTip(tip) == nil) != strings.HasSuffix(key, "apples") {
				t.Errorf("%s %s: %v, %v", key, row["value"], CheckTip(tip), err)
			}
		case "firmness, spread between professional users on the same lots":
			if from, _, _ := strings.Cut(row["value"], " "); figure(t, from) != SidesApart {
				t.Errorf("users differ by %s lbf, the limit between sides is %v", row["value"], SidesApart)
			}
		case "soluble solids, reference temperature":
			for brix := 0.0; brix <= sweetest; brix += 2.5 {
				if add, ok := toAdd(brix, figure(t, row["value"])); !ok || add != 0 {
					t.Errorf("%v is added to %v °Brix at %s °C", add, brix, row["value"])
				}
			}
		case "soluble solids, scale resolution":
			if figure(t, row["value"]) != zeroWithin {
				t.Errorf("resolution %s, tolerance of zero %v", row["value"], zeroWithin)
			}
		}
		checked[key]++
	}
	for _, key := range []string{"firmness, tip diameter apples", "firmness, tip diameter pears",
		"firmness, spread between professional users on the same lots", "soluble solids, reference temperature", "soluble solids, scale resolution"} {
		if checked[key] == 0 {
			t.Errorf("no row for %s", key)
		}
	}
}

// Scores on published scales must be taken, those beyond their ends not.
func TestGroundAgainstPublishedScales(t *testing.T) {
	checked := 0
	for _, row := range checkRows(t, "ground_colour.csv") {
		low, high, ok := ends(row["scale"])
		if !ok {
			continue
		}
		checked++
		for _, g := range []Ground{{low, row["scale"]}, {high, row["scale"]}} {
			if err := g.Plausible(); err != nil {
				t.Error(err)
			}
		}
		for _, g := range []Ground{{low - 0.1, row["scale"]}, {high + 0.1, row["scale"]}} {
			if g.Plausible() == nil {
				t.Errorf("%v taken on the scale %s", g.Score, g.Scale)
			}
		}
		first, last, isRange := strings.Cut(row["value"], " to ")
		if x, err := strconv.ParseFloat(first, 64); err == nil && (x < low || x > high) {
			t.Errorf("%s lies outside %v to %v", row["value"], low, high)
		}
		if x, err := strconv.ParseFloat(last, 64); isRange && err == nil && (x < low || x > high) {
			t.Errorf("%s lies outside %v to %v", row["value"], low, high)
		}
	}
	if checked < 9 {
		t.Errorf("only %d rows checked", checked)
	}
}
