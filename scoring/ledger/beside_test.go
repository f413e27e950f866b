package ledger

import (
	"encoding/json"
	"reflect"
	"testing"
	"time"

	"traystage/scoring/instrument"
)

// Whatever is sent twice is written once, and answered alike.
func TestSendingTwice(t *testing.T) {
	s := newSeason(t)
	r := newRound(t.Context(), 1)
	must(t, r.all(s, func(string, string) {}))
	rows := func() (n int) {
		for _, table := range tables(t, s) {
			n += count(t, s, table)
		}
		return n
	}
	before := rows()
	pick, batch, device := r.pick, r.batch, r.device
	r.pick, r.batch, r.device = 0, 0, 0
	must(t, r.all(s, func(string, string) {}))
	if after := rows(); after != before {
		t.Errorf("%d rows became %d", before, after)
	}
	if r.pick != pick || r.batch != batch || r.device != device {
		t.Errorf("answers %d %d %d, want %d %d %d", r.pick, r.batch, r.device, pick, batch, device)
	}
}

func TestSendingKeepsItsAnswer(t *testing.T) {
	s := newSeason(t)
	once := s.With(Beside{Sending: "phone-1"})
	tray := trayOf(1, 1, 3)
	tray.Number = &Numbering{First: 5}
	first, err := once.StoreTray(t.Context(), tray)
	must(t, err)
	must(t, s.StrikeTray(t.Context(), "gh", tray.Report.PhotoHash, "blurred"))
	second, err := once.StoreTray(t.Context(), tray) // late, from a phone that heard no answer
	if err != nil || !reflect.DeepEqual(first, second) {
		t.Errorf("%+v, %v; want %+v", second, err, first)
	}
	if got := sampleOn(t, s, "North 3", 0); got != nil {
		t.Error("what was struck came back")
	}
	sent, ok, err := s.Sent(t.Context(), "phone-1")
	if err != nil || !ok || sent.Verb != "store tray" || sent.By != "ab" || !json.Valid(sent.Answer) {
		t.Errorf("%+v, %t, %v", sent, ok, err)
	}
	if _, ok, err := s.Sent(t.Context(), "phone-2"); ok || err != nil {
		t.Errorf("%t, %v", ok, err)
	}
	wantError(t, once.StrikeTray(t.Context(), "gh", tray.Report.PhotoHash, "x"), ErrTaken, "phone-1", "another thing")
	// What was refused can be sent again.
	again := s.With(Beside{Sending: "phone-3"})
	wantError(t, again.StrikeCheck(t.Context(), "gh", 1, "x"), ErrNotFound)
	must(t, s.AddCheck(t.Context(), instrument.Check{Instrument: "R1", Kind: instrument.ZeroWater, Day: picked, By: "ab"}),
		again.StrikeCheck(t.Context(), "gh", 1, "x"))
}

func TestInsisted(t *testing.T) {
	s := newSeason(t)
	objections := json.RawMessage(`[{"code":"slip.year"}]`)
	must(t, s.With(Beside{Anyway: "it was so", Objections: objections}).Set(t.Context(), "gh", Setting{Name: Tip, Value: "8"}))
	events, err := s.Events(t.Context(), About{})
	if err != nil {
		t.Fatal(err)
	}
	last := events[len(events)-1]
	if i := last.Insisted; last.Act != SettingMade || i == nil || i.Why != "it was so" || string(i.Objections) != string(objections) || i.By != "gh" {
		t.Errorf("%+v, %+v", last, last.Insisted)
	}
	err = s.With(Beside{Anyway: "x", Objections: json.RawMessage("{")}).Set(t.Context(), "gh", Setting{Name: Tip, Value: "9"})
	if err == nil {
		t.Error("objections that are no JSON were kept")
	}
}

func TestSettingsOfTheSeason(t *testing.T) {
	s := newSeason(t)
	for _, set := range []Setting{
		{Name: Tip, Value: "11"}, {Name: Tip, Value: "11"}, {Name: Tip, Value: "8"}, {Name: Language, Value: "es"}, {Name: Language},
		{Name: FullBloom, Block: "north 3", Year: 2026, Value: "2026-04-20"}, {Name: FullBloom, Block: "North 3", Year: 2025, Value: "2025-04-25"},
	} {
		must(t, s.Set(t.Context(), "gh", set))
	}
	all, err := s.Settings(t.Context())
	for i := range all {
		if all[i].By != "gh" || all[i].At.IsZero() {
			t.Errorf("%+v", all[i])
		}
		all[i].By, all[i].At = "", time.Time{}
	}
	want := []Setting{{Name: FullBloom, Block: "North 3", Year: 2025, Value: "2025-04-25"}, {Name: FullBloom, Block: "North 3", Year: 2026, Value: "2026-04-20"}, {Name: Tip, Value: "8"}}
	if err != nil || !reflect.DeepEqual(all, want) {
		t.Errorf("%+v, %v", all, err)
	}
	if n := count(t, s, "setting"); n != 6 {
		t.Errorf("%d rows, want one for each change", n)
	}
	wantError(t, s.Set(t.Context(), "gh", Setting{Value: "x"}), nil, "needs a name")
	wantError(t, s.Set(t.Context(), "gh", Setting{Name: Tip, Block: "East"}), ErrNotFound, "East")
}

func TestDevices(t *testing.T) {
	s := newSeason(t)
	token := hashOf([]byte("secret"))
	id, err := s.PairDevice(t.Context(), "gh", Device{Name: "Jo's phone", Role: "tester", Token: token})
	must(t, err, s.ChangeDevice(t.Context(), "gh", id, "phone of the shed", ""))
	_, err = s.PairDevice(t.Context(), "gh", Device{Name: "other", Token: token})
	wantError(t, err, ErrTaken, "other")
	d, err := s.DeviceOf(t.Context(), token)
	if err != nil || d.ID != id || d.Name != "phone of the shed" || d.Role != "tester" || d.Revoked || d.By != "gh" || !d.Changed.After(d.Paired) {
		t.Errorf("%+v, %v", d, err)
	}
	must(t, s.RevokeDevice(t.Context(), "ab", id, "lost"), s.RevokeDevice(t.Context(), "ab", id, "lost"))
	all, err := s.Devices(t.Context())
	if err != nil || len(all) != 1 || !all[0].Revoked || all[0].By != "gh" {
		t.Errorf("%+v, %v", all, err)
	}
	if n := count(t, s, "device_entry"); n != 3 {
		t.Errorf("%d entries", n)
	}
	_, err = s.DeviceOf(t.Context(), "other")
	wantError(t, err, ErrNotFound)
	wantError(t, s.RevokeDevice(t.Context(), "ab", 9, "x"), ErrNotFound)
}

func TestPicksAndRetiredBlocks(t *testing.T) {
	s := newSeason(t)
	state := func() BlockState {
		t.Helper()
		all, err := s.States(t.Context())
		if err != nil || len(all) != 1 {
			t.Fatal(all, err)
		}
		return all["North 3"]
	}
	if got := state(); got.Done() || got.Picks != nil || !got.At.IsZero() {
		t.Errorf("%+v", got)
	}
	bins := 12.5
	part, err := s.PickBlock(t.Context(), "gh", "North 3", Pick{Day: picked, Part: true, Bins: &bins, Destination: "room 4", Note: "first pass"})
	must(t, err)
	if got := state(); got.Done() || len(got.Picks) != 1 || *got.Picks[0].Bins != bins || got.Picks[0].Note != "first pass" || got.Picks[0].By != "gh" {
		t.Errorf("%+v", got)
	}
	_, err = s.PickBlock(t.Context(), "gh", "North 3", Pick{Day: nextDay(7)})
	must(t, err)
	if got := state(); !got.Done() || len(got.Picks) != 2 {
		t.Errorf("%+v", got)
	}
	must(t, s.UndoPick(t.Context(), "ij", state().Picks[1].ID, "other block"))
	wantError(t, s.UndoPick(t.Context(), "ij", 2, "x"), nil, "taken back already")
	wantError(t, s.UndoPick(t.Context(), "ij", 99, "x"), ErrNotFound)
	if got := state(); got.Done() || len(got.Picks) != 1 || got.Picks[0].ID != part {
		t.Errorf("%+v", got)
	}
	must(t, s.RetireBlock(t.Context(), "ij", "North 3", "grubbed up"))
	if got := state(); !got.Done() || !got.Retired || got.Why != "grubbed up" || got.By != "ij" {
		t.Errorf("%+v", got)
	}
	must(t, s.ResumeBlock(t.Context(), "ij", "North 3", ""))
	if got := state(); got.Done() || got.Why != "" {
		t.Errorf("%+v", got)
	}
	_, err = s.PickBlock(t.Context(), "gh", "North 3", Pick{})
	wantError(t, err, nil, "no day")
	less := -1.0
	_, err = s.PickBlock(t.Context(), "gh", "North 3", Pick{Day: picked, Bins: &less})
	wantError(t, err, nil, "number of bins")
}

func TestStrikeCheck(t *testing.T) {
	s := newSeason(t)
	c := instrument.Check{Instrument: "R1", Kind: instrument.ZeroWater, Day: picked, Shown: 0.8, By: "ab"}
	must(t, s.AddCheck(t.Context(), c), s.StrikeCheck(t.Context(), "ab", 1, "tap water"))
	if all, err := s.Checks(t.Context()); err != nil || len(all) != 0 {
		t.Errorf("%+v, %v", all, err)
	}
	wantError(t, s.StrikeCheck(t.Context(), "ab", 1, "x"), nil, "struck already")
	must(t, s.AddCheck(t.Context(), c)) // it may be entered again
	kept, err := s.KeptChecks(t.Context())
	if err != nil || len(kept) != 2 || !kept[0].Struck || kept[1].Struck {
		t.Errorf("%+v, %v", kept, err)
	}
}
