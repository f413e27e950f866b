package instrument

import (
	"strings"
	"testing"
	"time"
)

func TestReadDays(t *testing.T) {
	for _, c := range []struct {
		name, written string // dates, parted by spaces, in rows 2, 3, ...
		want          string // the same in ISO, or the fault
	}{
		{"ISO", "2026-09-14 2026-9-7", "2026-09-14 2026-09-07"},
		{"year first", "2026/09/14 2026.9.4", "2026-09-14 2026-09-04"},
		{"points", "4.3.2026 14.09.2026", "2026-03-04 2026-09-14"},
		{"day first", "14/09/2026 3/4/2026", "2026-09-14 2026-04-03"},
		{"month first", "3/4/2026 09/14/2026", "2026-03-04 2026-09-14"},
		{"hyphens", "14-9-2026 3-4-2026", "2026-09-14 2026-04-03"},
		{"the same in both", "9/9/2026 8/8/2026", "2026-09-09 2026-08-08"},
		{"beside ISO", "2026-09-14 9/9/2026", "2026-09-14 2026-09-09"},
		{"either", "9/9/2026 3/4/2026", `row 3, date: "3/4/2026" can be 3 April or 4 March, and no other date tells which; write dates like 2026-09-14`},
		{"ISO does not tell", "2026-09-14 3/4/2026", `row 3, date: "3/4/2026" can be 3 April or 4 March, and no other date tells which; write dates like 2026-09-14`},
		{"both orders", "9/14/2026 14/9/2026", `row 3, date: "14/9/2026" has the day first and "9/14/2026" the month; write dates like 2026-09-14`},
		{"short year", "14/9/26", `row 2, date: "14/9/26" is not a date; write dates like 2026-09-14`},
		{"short year behind points", "14.9.26 1.2.27", "2026-09-14 2027-02-01"},
		{"year slipped", "0206-09-14", `row 2, date: "0206-09-14" is not a date; write dates like 2026-09-14`},
		{"no such day", "2026-09-31", `row 2, date: "2026-09-31" is not a date; write dates like 2026-09-14`},
		{"neither", "14/13/2026", `row 2, date: "14/13/2026" is not a date; write dates like 2026-09-14`},
	} {
		faults := &FileError{}
		var written []writtenDay
		for i, text := range strings.Fields(c.written) {
			written = append(written, writtenDay{i + 2, text})
		}
		days := readDays(written, "date", faults)
		got := faults.Error()
		if got == "" {
			var iso []string
			for _, w := range written {
				iso = append(iso, days[w.text].Format(time.DateOnly))
			}
			got = strings.Join(iso, " ")
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestParseDay(t *testing.T) {
	for text, want := range map[string]string{
		"2026-09-20": "2026-09-20", " 20.9.2026 ": "2026-09-20", "20.09.26": "2026-09-20", "20/9/2026": "2026-09-20", "20-9-2026": "2026-09-20", "9/9/2026": "2026-09-09",
		"3/4/2026":   `"3/4/2026" can be 3 April or 4 March, and no other date tells which; write dates like 2026-09-14`,
		"tomorrow":   `"tomorrow" is no day; write it as in 2026-09-21 or 21.9.2026`,
		"31.9.2026":  `"31.9.2026" is no day; write it as in 2026-09-21 or 21.9.2026`,
		"":           `"" is no day; write it as in 2026-09-21 or 21.9.2026`,
		"20.09.1826": `"20.09.1826" is no day; write it as in 2026-09-21 or 21.9.2026`,
	} {
		day, err := ParseDay(text)
		got := day.Format(time.DateOnly)
		if err != nil {
			got = err.Error()
		}
		if got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

func FuzzParseDay(f *testing.F) {
	for _, s := range []string{"2026-09-20", "20.9.26", "3/4/2026", "1-2-2026", "", "0/0/0000"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if day, err := ParseDay(text); err == nil && (day.Year() < 1990 || day.Year() > 2100 || day.Hour() != 0) {
			t.Errorf("%q is %v", text, day)
		}
	})
}
