package words

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestVisible(t *testing.T) {
	for text, want := range map[string]string{
		"Brook 5, Größe 12 °Brix – ½\n\tend": "Brook 5, Größe 12 °Brix – ½\n\tend",
		"red \x1b[31mname\x07":               `red \u001b[31mname\u0007`,
		"abc\u202egpj.exe":                   `abc\u202egpj.exe`,
		"over\rwritten\r\n":                  "over\\u000dwritten\r\n",
		"\ufeffa,b\ufeff":                    "\ufeffa,b\\ufeff",
		"caf\xe9":                            `caf\xe9`,
		"c1\u009b31m":                        `c1\u009b31m`,
		"two\u2028lines":                     `two\u2028lines`,
		"tag\U000e0041":                      `tag\udb40\udc41`,
		"می\u200cخواهم 👩\u200d🌾":             "می\u200cخواهم 👩\u200d🌾",
		"":                                   "",
	} {
		if got := Visible(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
		var b strings.Builder
		if n, err := Terminal(&b).Write([]byte(text)); err != nil || n != len(text) || b.String() != want {
			t.Errorf("%q written: %q, %d bytes, %v", text, b.String(), n, err)
		}
	}
}

func FuzzVisible(f *testing.F) {
	f.Add("a\u202eb\x00\xff\U000e0041")
	f.Fuzz(func(t *testing.T, text string) {
		got := Visible(text)
		if !utf8.ValidString(got) || Visible(got) != got {
			t.Errorf("%q comes out as %q", text, got)
		}
		// Programs are given the same.
		was, err := json.Marshal(text)
		if err != nil {
			t.Fatal(err)
		}
		var a, b string
		if json.Unmarshal(was, &a) != nil || json.Unmarshal([]byte(Visible(string(was))), &b) != nil || a != b {
			t.Errorf("%s is %q as JSON, should be %q", was, b, a)
		}
	})
}
