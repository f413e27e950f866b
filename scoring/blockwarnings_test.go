package scoring

import (
	"strings"
	"testing"
	"time"

	"traystage/calibrate"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

func TestBlockWarnings(t *testing.T) {
	picked := day(t, "2026-09-14")
	good := func() Sample {
		return sampleOf(picked, fruits{stages: alike(4), firmness: alike(17), solid: alike(12)})
	}
	with := func(change func(*Sample)) []Sample {
		s := good()
		change(&s)
		return []Sample{s}
	}
	earlier := func(change func(*Reference)) []Sample {
		s := sampleOf(day(t, "2026-09-07"), fruits{stages: alike(3)})
		change(&s.Trays[0].Reference)
		return []Sample{s, good()}
	}
	nine := sampleOf(picked, fruits{stages: alike(4)[:9], firmness: alike(17)[:9], solid: alike(12)[:9]})
	for _, row := range []struct {
		name    string
		samples []Sample
		checks  []instrument.Check
		today   string
		want    string // parts of the warnings, parted by semicolons; empty for none
	}{
		{"all well", with(func(*Sample) {}), checked(picked), "2026-09-14", ""},
		{"nine fruit", []Sample{nine}, checked(picked), "2026-09-14", "only 9 fruit were scored; only 9 readings of firmness; only 9 readings of soluble solids"},
		{"day after", with(func(s *Sample) { s.Tested = picked.AddDate(0, 0, 1) }), checked(picked), "2026-09-15", ""},
		{"old fruit", with(func(s *Sample) { s.Tested = picked.AddDate(0, 0, 2) }), checked(picked.AddDate(0, 0, 2)), "2026-09-16", "2 days old when they were tested"},
		{"a minute", with(func(s *Sample) { s.Wait = time.Minute }), checked(picked), "2026-09-14", ""},
		{"young stain", with(func(s *Sample) { s.Wait = 59 * time.Second }), checked(picked), "2026-09-14", "59 s old"},
		{"wait not recorded", with(func(s *Sample) { s.Wait = 0 }), checked(picked), "2026-09-14", ""},
		{"a week ago", with(func(*Sample) {}), checked(picked), "2026-09-21", ""},
		{"long ago", with(func(*Sample) {}), checked(picked), "2026-09-22", "8 days old: take another"},
		{"one side", with(func(s *Sample) {
			for _, i := range []int{2, 6} {
				s.Readings[i].Firmness.Sides = s.Readings[i].Firmness.Sides[:1]
			}
		}), checked(picked), "2026-09-14", "fruit 3 and 7: only one side was pressed"},
		{"one not read", with(func(s *Sample) { s.Readings = s.Readings[:len(s.Readings)-1] }), checked(picked), "2026-09-14", "only 9 readings of firmness; only 9 readings of soluble solids; no readings were entered for fruit 10"},
		{"no apple's", with(func(s *Sample) { s.Readings[1].Solids.Brix = 0 }), checked(picked), "2026-09-14", "stands apart; fruit 2: soluble solids 0"},
		{"pear tip", with(func(s *Sample) { s.Readings[1].Firmness.Tip = 8 }), checked(picked), "2026-09-14", "fruit 2: the tip"},
		{"7/16 inch", with(func(s *Sample) { s.Readings[1].Firmness.Tip = 11.1125 }), checked(picked), "2026-09-14", ""},
		{"no checks", with(func(*Sample) {}), nil, "2026-09-14", "penetrometer; refractometer"},
		{"checked too late", with(func(*Sample) {}), checked(picked.AddDate(0, 0, 1)), "2026-09-15", "penetrometer; refractometer"},
		{"not calibrated", with(func(s *Sample) { s.Trays[0].Reference.Calibrated = false }), checked(picked), "2026-09-14", "not calibrated"},
		{"two versions", earlier(func(r *Reference) { r.Version = "2" }), checked(picked), "2026-09-14", "2 reference sets, Gala version 2 (1-8) and Gala version 3 (1-8)"},
		{"two scales", earlier(func(r *Reference) { r.Scale = calibrate.Scale{Stained: 0, Clear: 8, Step: 0.1} }), checked(picked), "2026-09-14", "2 reference sets"},
		{"one set", earlier(func(*Reference) {}), checked(picked), "2026-09-14", ""},
		{"no photo", []Sample{sampleOf(picked, fruits{firmness: alike(17)})}, checked(picked), "2026-09-14", "no stage is known"},
		{"remark", with(func(s *Sample) { s.Trays[0].Remarks = []note.Note{note.New("photo.blurred")} }), checked(picked), "2026-09-14", "photo north.jpg: the face is blurred"},
		{"odd reading", with(func(s *Sample) { s.Readings[4].Solids.Brix = 15 }), checked(picked), "2026-09-14", "fruit 5 stands apart from the rest in soluble solids"},
	} {
		r, err := Assess(Block{Name: "North"}, row.samples, nil, row.checks, Options{Today: day(t, row.today)})
		if err != nil {
			t.Fatalf("%s: %v", row.name, err)
		}
		var want []string
		if row.want != "" {
			want = strings.Split(row.want, "; ")
		}
		got := said(r.Warnings)
		ok := len(got) == len(want)
		for i := range want {
			ok = ok && strings.Contains(got[i], want[i])
		}
		if !ok {
			t.Errorf("%s: %q, want %q", row.name, got, want)
		}
	}
}
