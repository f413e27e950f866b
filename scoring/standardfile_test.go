package scoring

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"traystage/scoring/instrument"
)

func TestReadStandards(t *testing.T) {
	want := Standard{
		Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: At(3), Closes: At(6.5),
		Firmness: Range{From: At(18)}, FirmnessUnit: instrument.PoundForce,
		Solids: Range{From: At(11.5)}, Source: "adviser", Table: "ours.csv", Line: 2,
	}
	for name, text := range map[string]string{
		"plain headings": "variety,market,scale,opens,closes,firmness from,firmness unit,solids from,source\nGala,long CA,1-8,3,6.5,18,lbf,11.5,adviser\n",
		"other words":    "Cultivar,Term,Starch scale,Min. starch,Max. starch,Minimum firmness (lb),SSC min,Source\nGala,long CA,1 to 8,3,6.5,18,11.5,adviser\n",
		"semicolons":     "\xef\xbb\xbfvariety;market;scale;opens;closes;firmness;firmness unit;brix;source;;\r\nGala;long CA;1-8;3;6,5;18;lb;11,5;adviser;;\r\n;;;;;;;;;;\r\n",
		"tabs, unit of the heading first": "source\tstage closes\tstage opens\tscale\tmarket\tvariety\tfirmness, least, lbf\tsugar\n" +
			"adviser\t6.5\t3\t1–8\tlong CA\tGala\t18\t11.5\n",
	} {
		rows, err := ReadStandards(strings.NewReader(text), "ours.csv")
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !reflect.DeepEqual(rows, []Standard{want}) {
			t.Errorf("%s: %+v", name, rows)
		}
	}
}

func TestReadStandardsRefuses(t *testing.T) {
	const head = "variety,market,scale,opens,closes,firmness from,firmness to,firmness unit,solids from,streif from,streif to,stored\n"
	for _, row := range []struct{ name, text, want string }{
		{"nothing", "", "no headings"},
		{"unknown heading", "variety,market,firmnes\n", `line 1, column 3: "firmnes"`},
		{"heading twice", "variety,market,opens,starch min\n", "column 4"},
		{"no variety column", "market,opens\n", "headed variety"},
		{"not a number", head + "\nGala,long CA,1-8,three\n", `line 3, column 4 (opens): "three"`},
		{"decimal comma among commas", head + `Gala,long CA,1-8,"3,5"` + "\n", `"3,5"`},
		{"too many fields", head + "Gala,long CA,1-8,3,5,,,,,,,,9\n", "column 13"},
		{"no number", head + "Gala,long CA,1-8,NaN\n", "NaN"},
		{"no variety", head + ",long CA,1-8,3\n", "no variety"},
		{"asks nothing", head + "Gala,long CA,1-8\n", "asks nothing"},
		{"no scale", head + "Gala,long CA,,3\n", "no scale"},
		{"off the scale", head + "Gala,long CA,1-8,0.5\n", "0.5 is not on the scale 1-8"},
		{"stages turned round", head + "Gala,long CA,1-8,6,3\n", "pass 3 first"},
		{"shares turned round", head + "Gala,long CA,percent stained,40,60\n", "pass 60 first"},
		{"firmness turned round", head + "Gala,long CA,,,,18,16,lbf\n", "wrong way round"},
		{"no unit", head + "Gala,long CA,,,,18\n", "no unit"},
		{"unknown unit", head + "Gala,long CA,,,,18,,bar\n", `"bar"`},
		{"newtons as pounds", head + "Gala,long CA,,,,80,,lbf\n", "whether the unit is right"},
		{"solids", head + "Gala,long CA,,,,,,,125\n", "lies outside"},
		{"below nothing", head + "Gala,long CA,,,,,,,-1\n", "above 0"},
		{"two units", "variety,market,firmness (kg),firmness unit\nGala,long CA,7,N\n", "kgf and N"},
		{"stored", head + "Gala,ex store,,,,16,,lbf,,,,perhaps\n", "neither yes nor no"},
		{"twice", head + "Gala,long CA,1-8,3\ngala,Long-CA,1-8,3.5\n", "line 3: gala / Long-CA stands in line 2"},
		{"quote", head + "\"Gala,long CA\n", "a quotation mark"},
	} {
		rows, err := ReadStandards(strings.NewReader(row.text), "ours.csv")
		if err == nil || !strings.HasPrefix(err.Error(), "ours.csv: ") || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: rows %v, error %v, want one with %q", row.name, rows, err, row.want)
		}
	}
}

// Whatever is read without error can be used: rows that name a variety, with
// figures that are numbers and units for them.
func FuzzReadStandards(f *testing.F) {
	f.Add("variety,market,scale,opens,closes\nGala,long CA,1-8,3,6\n")
	f.Add("cultivar;use;firmness (kg);scale;stage from\nGala;;7,2;% stained;60\n")
	f.Add("variety\tmarket\tstreif from\tstreif to\tstreif unit\tstored\nany\tx\t1\t2\tN\tyes\n")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := ReadStandards(strings.NewReader(text), "fuzz.csv")
		if err != nil {
			return
		}
		for _, s := range rows {
			if s.Variety == "" || s.Line < 1 {
				t.Errorf("%+v", s)
			}
			for _, l := range []Limit{s.Opens, s.Closes, s.Firmness.From, s.Firmness.To, s.Solids.From, s.Solids.To, s.Streif.From, s.Streif.To} {
				if math.IsNaN(l.Value) || math.IsInf(l.Value, 0) || !l.Set && l.Value != 0 {
					t.Errorf("%s: %v", s.Row(), l)
				}
			}
			if s.Firmness.Set() && s.FirmnessUnit == "" {
				t.Errorf("%s: firmness without unit", s.Row())
			}
		}
	})
}
