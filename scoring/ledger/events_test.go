package ledger

import (
	"strings"
	"testing"
	"time"
)

// Every row that somebody wrote is told, once, with who and when.
func TestEventsTellEveryRow(t *testing.T) {
	s := fullSeason(t)
	all, err := s.Events(t.Context(), About{})
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]int{}
	acts := map[Act]int{}
	for _, e := range all {
		told[e.table]++
		acts[e.Act]++
		if e.By == "" || e.At.IsZero() {
			t.Errorf("%s of %s: by %q at %s", e.Act, e.table, e.By, e.At)
		}
	}
	for _, table := range tables(t, s) {
		var signed bool
		if err := s.db.QueryRow("SELECT count(*) > 0 FROM pragma_table_info(?) WHERE name = 'who'", table).Scan(&signed); err != nil {
			t.Fatal(err)
		}
		// Of a tray its entry tells; what was insisted on stands beside what was
		// written; a sending is what was written.
		if !signed || table == "tray" || table == "insisted" || table == "sending" {
			continue
		}
		if n := count(t, s, table); told[table] != n {
			t.Errorf("%s: %d rows, %d of them told", table, n, told[table])
		}
	}
	for _, act := range []Act{BlockWritten, BlockRetired, BlockResumed, BlockPicked, PickUndone, SampleWritten, SampleWaits, SampleStruck, SampleMerged, TrayPlaced,
		TrayStruck, TrayScored, CallReviewed, ReviewUndone, ReviewCarried, ReadingsEntered, ReadingsMoved, ReadingsStruck, FruitRead, FruitStruck, CheckMade,
		CheckStruck, SettingMade, SheetWritten, DevicePaired, DeviceChanged, DeviceRevoked} {
		if acts[act] == 0 {
			t.Errorf("no event says %q", act)
		}
	}
}

// A clock that is set back does not change what came after what.
func TestEventsKeepTheirOrder(t *testing.T) {
	s := newSeason(t)
	now := picked.Add(20 * time.Hour)
	s.Now = func() time.Time { now = now.Add(-time.Hour); return now }
	for _, value := range []string{"11", "8", "11"} {
		must(t, s.Set(t.Context(), "ab", Setting{Name: Tip, Value: value}))
	}
	events, err := s.Events(t.Context(), About{})
	must(t, err)
	var got []string
	for _, e := range events {
		if e.Setting != nil {
			got = append(got, e.Setting.Value)
		}
	}
	if strings.Join(got, " ") != "11 8 11" || events[0].Act != BlockWritten {
		t.Errorf("%v, first %s", got, events[0].Act)
	}
}

func TestEventsOfOneBlock(t *testing.T) {
	s := fullSeason(t)
	all, err := s.Events(t.Context(), About{Block: " block 0"})
	if err != nil || len(all) == 0 {
		t.Fatal(len(all), err)
	}
	var last time.Time
	insisted := 0
	var lines []string
	for _, e := range all {
		if e.BlockName != "Block 0" || e.At.Before(last) {
			t.Errorf("%+v comes after %s", e, last)
		}
		if last = e.At; e.Insisted != nil {
			insisted++
			if e.Insisted.Why != "I know" || string(e.Insisted.Objections) != "[]" {
				t.Errorf("%+v", e.Insisted)
			}
		}
		lines = append(lines, string(e.Act)+": "+e.Why)
	}
	for _, want := range []string{"tray struck: wrong photo", "tray placed: the other day", "review undone: slip", "readings moved: of the day before",
		"fruit struck: mixed up", "sample merged: one day", "pick undone: other block", "block retired: grubbed up"} {
		if !strings.Contains(strings.Join(lines, "\n"), want) {
			t.Errorf("nothing says %q", want)
		}
	}
	if insisted < 20 {
		t.Errorf("%d events say that they were insisted on", insisted)
	}
	one, err := s.Events(t.Context(), About{Block: "Block 0", Picked: nextDay(3)})
	if err != nil || len(one) == 0 || len(one) >= len(all) {
		t.Errorf("%d of %d events are of one sample, %v", len(one), len(all), err)
	}
	_, err = s.Events(t.Context(), About{Block: "Block 1"})
	wantError(t, err, ErrNotFound, "Block 1")
}
