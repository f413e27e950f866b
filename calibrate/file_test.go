package calibrate

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
)

func encoded(t testing.TB, s Set) string {
	t.Helper()
	var b bytes.Buffer
	if err := Encode(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func fullSet(t testing.TB) Set {
	t.Helper()
	s := straightSet(t, oneToEight, 1, 4, 8)
	s.Note = "drawn; [\n1,\n2\n] is text, not a list, <b> too"
	s.Plates[1].Picture = smallJPEG(t, 8)
	return s
}

func TestEncodeDecode(t *testing.T) {
	first := fullSet(t)
	second, err := first.Next(straightPlates(oneToEight, 6)...)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []Set{first, second} {
		text := encoded(t, s)
		got, err := Decode(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, s) {
			t.Errorf("decoded %+v, want %+v", got, s)
		}
		if again := encoded(t, got); again != text {
			t.Errorf("encoded again:\n%s\nwant:\n%s", again, text)
		}
	}
}

func TestEncodeIsReadable(t *testing.T) {
	text := encoded(t, straightSet(t, oneToEight, 1, 8))
	for _, want := range []string{
		"{\n  \"format\": \"traystage reference set 1\",\n  \"digest\": \"",
		"\n      \"zones\": [1, 1, 1, 1, 1],\n      \"weights\": [0.04, 0.12, 0.2, 0.28, 0.36],\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

func TestEncodeRefusesWhatDecodeWould(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 8)
	s.Plates[0].Stained = 2
	var b bytes.Buffer
	if err := Encode(&b, s); err == nil || b.Len() > 0 {
		t.Errorf("Encode of a bad set: %v, %d bytes written", err, b.Len())
	}
}

func TestDecodeSays(t *testing.T) {
	good := encoded(t, fullSet(t))
	change := func(from, to string) string {
		t.Helper()
		if !strings.Contains(good, from) {
			t.Fatalf("%q is not in the file", from)
		}
		return strings.Replace(good, from, to, 1)
	}
	tests := []struct{ name, text, want string }{
		{"empty", "", "not a whole JSON file"},
		{"cut short", good[:len(good)/2], "not a whole JSON file"},
		{"something else", `{"a": 1}`, "not a reference set"},
		{"not an object", `[1, 2]`, "not a whole JSON file"},
		{"later format", change("reference set 1", "reference set 4"), `its format is "traystage reference set 4"`},
		{"format of what it does not hold", change("reference set 1", "reference set 2"), "layout was changed"},
		{"later format, other fields", `{"format": "traystage reference set 9", "curve": []}`, "use the traystage that wrote it"},
		{"unknown field", change(`"version"`, `"colour": 1, "version"`), `unknown field "colour"`},
		{"stage by hand", change(`"stage": 4`, `"stage": 4.5`), "edited by hand: its digest does not fit; make a new version with `traystage refs add` or restore the file"},
		{"digest by hand", change(`"digest": "`, `"digest": "0`), "edited by hand"},
		{"layout", change("  ", "\t"), "layout was changed"},
		{"line ends", strings.ReplaceAll(good, "\n", "\r\n"), "layout was changed"},
		{"more after it", good + "{}", "not a whole JSON file"},
		{"invalid", change(`"stage": 4`, `"stage": 9`), "plate 2 (stage 9): its stage is not on the scale"},
		{"picture not base64", change(`"picture": "`, `"picture": "?`), "not as traystage writes it"},
		{"twice", change(`"version": 1`, `"version": 1, "version": 1`), "layout was changed"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := Decode(strings.NewReader(tt.text)); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("Decode: %v, want %q in it", err, tt.want)
			}
		})
	}
}

// endless is a file without end.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

func TestDecodeStopsReading(t *testing.T) {
	if _, err := Decode(endless{}); err == nil || !strings.Contains(err.Error(), "larger than") {
		t.Errorf("Decode: %v, want the file's size", err)
	}
}

func FuzzDecode(f *testing.F) {
	good := encoded(f, fullSet(f))
	f.Add([]byte(good))
	f.Add([]byte(strings.Replace(good, "4", "5", 1)))
	f.Add([]byte(encoded(f, mustGrade(f, fullSet(f), gradedTray(0, oneToEight, asIs, evenly(oneToEight, 10)...)...))))
	f.Add([]byte(`{"format": "traystage reference set 2", "plates": [{"origin": {}}], "graded": [{"grades": [{}], "seen": {}}]}`))
	f.Add([]byte(`{"format": "traystage reference set 1", "plates": [{}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := Decode(bytes.NewReader(text))
		if err != nil {
			return
		}
		if again := encoded(t, s); again != string(text) {
			t.Errorf("decoded from\n%s\nencoded to\n%s", text, again)
		}
		if p, err := Fit(s); err == nil {
			p.Call(Observation{Zones: s.Plates[0].Zones, Stained: s.Plates[0].Stained})
		}
	})
}

// Few changed bytes pass the digest, so the set itself is fuzzed too: what is
// valid can be fitted or is refused, and every call lies on the scale.
func FuzzFit(f *testing.F) {
	f.Add(1.0, 8.0, 1.0, 4.0, 8.0, 1.0, 0.5, 0.0, 0.3)
	f.Add(8.0, 1.0, 8.0, 8.0, 1.0, 0.6, 0.6, 0.6, 0.9)
	f.Add(32.0, 0.2, 32.0, 6.0, 1.6, 1.0, 0.5, 0.1, -0.3) // 32 - 31.8 is not quite 0.2
	f.Fuzz(func(t *testing.T, stained, clear, s0, s1, s2, f0, f1, f2, seen float64) {
		plates := []Plate{corePlate(s0, f0), corePlate(s1, f1), corePlate(s2, f2)}
		s, err := New("fuzz", Scale{stained, clear, 0.1}, 0.2, plates...)
		if err != nil {
			return
		}
		p, err := Fit(s)
		if err != nil {
			return
		}
		c := p.Call(Observation{Zones: fromCore(seen, ringWeights), Stained: seen})
		if !(c.Low <= c.Stage && c.Stage <= c.High) || !s.Scale.Contains(c.Low) || !s.Scale.Contains(c.High) {
			t.Errorf("call %+v on scale %+v", c, s.Scale)
		}
	})
}

func TestFileName(t *testing.T) {
	if got := FileName("gala-north", 3); got != "gala-north.v3.json" {
		t.Errorf("FileName = %q", got)
	}
}

func TestValidateName(t *testing.T) {
	for _, good := range []string{"gala", "Gala_2026", "a.b-c", "9", strings.Repeat("a", 64)} {
		if err := ValidateName(good); err != nil {
			t.Errorf("%q: %v", good, err)
		}
	}
	for _, bad := range []string{"", ".", "..", ".gala", "-gala", "a/b", `a\b`, "a b", "a\n", "süd", "a:b", strings.Repeat("a", 65)} {
		if ValidateName(bad) == nil {
			t.Errorf("%q was taken", bad)
		}
	}
}
