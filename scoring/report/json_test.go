package report

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/vision/note"
)

func asJSON(t *testing.T, reports ...scoring.Report) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteJSON(&b, nil, reports...); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWriteJSON(t *testing.T) {
	var pretty bytes.Buffer
	if err := json.Indent(&pretty, asJSON(t, larkfield()), "", " "); err != nil {
		t.Fatal(err)
	}
	golden(t, "larkfield.json", pretty.Bytes())
}

func TestWriteJSONOfNothing(t *testing.T) {
	r := withoutFruit(larkfield())
	r.Taken = time.Time{}
	want := `{"photo":"tray.jpg","width":4000,"height":3000,"taken":null,` +
		`"set":{"name":"Larkfield Gala","version":"3","scale":[1,8],"calibrated":true},` +
		`"halves":[],"suspects":[],"mean":{"stage":null,"low":null,"high":null,"sd":null,"n":0}}` + "\n"
	if got := string(asJSON(t, r)); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestWriteJSONOfSuspects(t *testing.T) {
	r := withoutFruit(larkfield())
	r.Suspects = []scoring.Suspect{{
		Place: scoring.Place{Centre: scoring.Point{10.04, 20}, Radius: 5, Outline: []scoring.Point{{15, 20}, {5, 20.06}}},
		Why:   note.New("suspect.core"),
	}}
	want := `"suspects":[{"centre":[10,20],"radius":5,"outline":[[15,20],[5,20.1]],` +
		`"why":{"code":"suspect.core","text":"its middle does not look like a core"}}]`
	if got := asJSON(t, r); !bytes.Contains(got, []byte(want)) {
		t.Errorf("no %s in %s", want, got)
	}
}

func TestWriteJSONOfOneFruit(t *testing.T) {
	r := larkfield()
	r.Fruit = r.Fruit[:1]
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, 0)
	want := `"mean":{"stage":3.444,"low":null,"high":null,"sd":null,"n":1}`
	if got := asJSON(t, r); !bytes.Contains(got, []byte(want)) {
		t.Errorf("no %s in %s", want, got)
	}
}

func TestWriteJSONOfSeveral(t *testing.T) {
	if got := string(asJSON(t)); got != "[]\n" {
		t.Errorf("no report: %q", got)
	}
	var list []map[string]any
	if err := json.Unmarshal(asJSON(t, larkfield(), withoutFruit(larkfield())), &list); err != nil || len(list) != 2 {
		t.Errorf("two reports: %d, %v", len(list), err)
	}
}

func TestDecimals(t *testing.T) {
	for _, row := range []struct {
		x    float64
		want string
	}{
		{3.4444, "3.444"}, {3.4, "3.4"}, {3, "3"}, {0.0004, "0"}, {1e21, "1000000000000000000000"},
		{math.NaN(), "null"}, {math.Inf(1), "null"}, {-0.0004, "0"},
	} {
		if got := string(decimals(row.x, 3)); got != row.want {
			t.Errorf("%v: %s, want %s", row.x, got, row.want)
		}
	}
}
