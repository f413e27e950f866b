package instrument

import (
	"bytes"
	"encoding/csv"
	"errors"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"
)

// write is a sheet as a file of its own; every figure as it was read.
func write(s Sheet) string {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write([]string{"fruit", "block", "date", "firmness", "tip", "brix", "red", "ground", "note"})
	figure := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	for _, r := range s.Readings {
		row := []string{strconv.Itoa(r.Fruit), s.Block, s.Day.Format(time.DateOnly), "", "", "", "", "", r.Note}
		if r.Firmness != nil {
			var sides []string
			for _, side := range r.Firmness.Sides {
				sides = append(sides, side.String())
			}
			row[3], row[4] = strings.Join(sides, "/"), figure(r.Firmness.Tip)
		}
		if r.Solids != nil {
			row[5] = figure(r.Solids.Brix)
			if r.Solids.Celsius != nil {
				row[5] += "@" + figure(*r.Solids.Celsius)
			}
		}
		if r.Red != nil {
			row[6] = figure(*r.Red)
		}
		if r.Ground != nil {
			row[7] = figure(r.Ground.Score)
		}
		_ = w.Write(row)
	}
	w.Flush()
	return b.String()
}

// A file that is taken holds possible readings in order, which read the same
// when they are written out again; one that is refused gives nothing.
func FuzzReadSheets(f *testing.F) {
	for _, s := range []string{
		"fruit,firmness 1 (lbf),firmness 2 (lbf),brix,temp,red %,ground (1-4),note\n1,17.2,16.8,12.4,18,60,2.5,x\n",
		"block;date;no;side a kg;ssc\nA;14/9/2026;1;7,8;12,4@64F\nA;13/9/2026;1;7,8;12,4\n",
		"number\tunit\tf1\ttip\tblush\n#1\tkg/cm2\t7\t7/16\t-\n", "\xff\xfef\x00", "fruit,brix\n1,\"12", "fruit,brix,note\n1,12,\xe9\r\n",
	} {
		f.Add(s, "lbf", false)
	}
	f.Fuzz(func(t *testing.T, text, unit string, anything bool) {
		opt := Options{Unit: Unit(unit), AnyTip: anything, Implausible: anything}
		sheets, _, err := ReadSheets(strings.NewReader(text), opt)
		if err != nil {
			var file *FileError
			if sheets != nil || !errors.As(err, &file) || len(file.Faults) == 0 {
				t.Fatalf("%q: %v, %v", text, sheets, err)
			}
			return
		}
		for _, s := range sheets {
			last := 0
			for i, r := range s.Readings {
				if r.Fruit <= last {
					t.Fatalf("%q: fruit %d behind %d", text, r.Fruit, last)
				}
				last = r.Fruit
				if err := r.Plausible(); err != nil && !anything {
					t.Fatalf("%q: %v", text, err)
				}
				if r.Ground != nil { // a scale may be named as no heading can
					s.Readings[i].Ground.Scale = ""
				}
			}
			if s.Block == "" || s.Day.IsZero() || !s.anyRead() {
				continue // not of the form that write gives
			}
			again, _, err := ReadSheets(strings.NewReader(write(s)), Options{AnyTip: true, Implausible: true})
			if err != nil || len(again) != 1 || !reflect.DeepEqual(again[0], s) {
				t.Fatalf("%q: %+v, written again %+v (%v)", text, s, again, err)
			}
		}
	})
}

func (s Sheet) anyRead() bool {
	for _, r := range s.Readings {
		if r.read() {
			return true
		}
	}
	return false
}
