package vision

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// Every constant stands with its value in the table of DEVELOPERS.md, so that none is changed unseen.
func TestConstantsAreAsDocumented(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	written := map[string]float64{}
	for _, row := range regexp.MustCompile(`(?m)^\| ([a-z, -]+) \| ([0-9., ]+) \| `).FindAllStringSubmatch(string(b), -1) {
		names, values := strings.Split(row[1], ", "), strings.Split(row[2], ", ")
		if len(names) != len(values) {
			continue
		}
		for i, name := range names {
			v, err := strconv.ParseFloat(values[i], 64)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			written[name] = v
		}
	}
	for _, c := range Constants() {
		v, ok := written[c.Name]
		if !ok {
			t.Errorf("DEVELOPERS.md lacks the constant %q", c.Name)
		} else if math.Abs(v-c.Value) > 1e-12 {
			t.Errorf("%s is %v, DEVELOPERS.md has %v", c.Name, c.Value, v)
		}
		if c.Meaning == "" || c.Value == 0 {
			t.Errorf("constant %+v says nothing", c)
		}
	}
	if _, err := (Options{}).Varied("no such", 2); err == nil {
		t.Error("a constant that is none was varied")
	}
}

// Varied changes one constant of the options it is asked of, and no other.
func TestVaried(t *testing.T) {
	for _, c := range Constants() {
		o, err := Options{Zones: 3}.Varied(c.Name, 1.3)
		if err != nil {
			t.Fatal(err)
		}
		again, err := o.Varied(c.Name, 1/1.3)
		if err != nil {
			t.Fatal(err)
		}
		if *o.model == *again.model || o.Zones != 3 {
			t.Errorf("%s: varied options are %+v", c.Name, o)
		}
		if (Options{}).withDefaults().model == o.model {
			t.Errorf("%s: the usual model was varied too", c.Name)
		}
	}
}
