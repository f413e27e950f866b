package desk

import (
	"encoding/json"
	"net/http"
	"strings"
	"sync"
	"testing"

	"traystage/scoring/instrument"
)

func TestSendIsTakenOnce(t *testing.T) {
	d := newTestDesk(t)
	fields := map[string]string{"id": someID, "block": another, "by": "jo", "picked": "2026-08-24"}
	var answers [2]sent
	for i := range answers {
		w := d.client(t, Tester).do(sending(t, "/sends/tray", fields, "tray.jpg", otherPhoto(t)))
		if w.Code != http.StatusCreated {
			t.Fatalf("send %d: %d %s", i+1, w.Code, w.Body)
		}
		must(t, json.Unmarshal(w.Body.Bytes(), &answers[i]))
	}
	if answers[0] != answers[1] {
		t.Errorf("the repeat was answered %+v, the first %+v", answers[1], answers[0])
	}
	trays, err := d.bench.Trays(t.Context(), another)
	must(t, err)
	if len(trays) != 1 {
		t.Errorf("%d trays, want 1", len(trays))
	}
}

func TestManySendAtOnce(t *testing.T) {
	d := newTestDesk(t)
	var wg sync.WaitGroup
	for range 8 { // one phone that lost every answer
		wg.Go(func() {
			d.client(t, Tester).do(sending(t, "/sends/tray", map[string]string{"id": someID, "block": another, "by": "jo", "picked": "2026-08-24"}, "tray.jpg", otherPhoto(t)))
		})
	}
	wg.Wait()
	trays, err := d.bench.Trays(t.Context(), another)
	must(t, err)
	if len(trays) != 1 {
		t.Errorf("%d trays, want 1", len(trays))
	}
}

func TestSendThatIsRefused(t *testing.T) {
	d := newTestDesk(t)
	c := d.client(t, Tester)
	for name, fields := range map[string]map[string]string{
		"no id":       {"block": oneBlock, "by": "hm"},
		"no block":    {"id": someID, "by": "hm"},
		"no initials": {"id": someID, "block": oneBlock},
		"no such":     {"id": someID, "block": "Nowhere", "by": "hm"},
		"no day":      {"id": someID, "block": oneBlock, "by": "hm", "picked": "someday"},
	} {
		w := c.do(sending(t, "/sends/tray", fields, "tray.jpg", otherPhoto(t)))
		var said refused
		if err := json.Unmarshal(w.Body.Bytes(), &said); err != nil || w.Code < 400 || w.Code >= 500 || len(said.Says) == 0 {
			t.Errorf("%s: %d %s", name, w.Code, w.Body)
		}
		if said.Who != (name == "no initials") {
			t.Errorf("%s: asks for initials: %v", name, said.Who)
		}
	}
}

func TestGridOfReadings(t *testing.T) {
	d := newTestDesk(t)
	fields := map[string]string{"id": someID, "block": oneBlock, "by": "jo", "picked": "2026-09-14"}
	for n, row := range []string{"16,2 15.9 12,4", "17.0 16.8 11.9"} {
		for i, key := range []string{"side1", "side2", "brix"} {
			fields[string(rune('1'+n))+"."+key] = strings.Fields(row)[i]
		}
	}
	w := d.client(t, Tester).do(sending(t, "/sends/readings", fields, "", nil))
	if w.Code != http.StatusCreated {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	sample, err := d.bench.Sample(t.Context(), oneBlock, d.bench.Today().AddDate(0, 0, -1))
	must(t, err)
	if len(sample.Readings) != 2 || sample.Readings[0].Solids.Brix != 12.4 || sample.Readings[0].Firmness.Sides[0].Value != 16.2 {
		t.Errorf("kept %+v", sample.Readings)
	}
	for i, row := range rowsOf(sample, cellsOf(usualOf(t, d)), usualOf(t, d).Unit)[:2] {
		if row.Values[0] != []string{"16.2", "17"}[i] {
			t.Errorf("fruit %d shows %q", i+1, row.Values)
		}
	}
}

func usualOf(t *testing.T, d *testDesk) instrument.Options {
	t.Helper()
	o, err := d.bench.Usual(t.Context(), oneBlock)
	must(t, err)
	return o
}
