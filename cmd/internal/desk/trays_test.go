package desk

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"traystage/scoring"
	"traystage/vision"
	"traystage/vision/note"
)

// Suspects are no fault of the photo: the page shows them one by one.
func TestBetterPhoto(t *testing.T) {
	halves := func(edged, clear int) (out []scoring.Fruit) {
		for range edged {
			out = append(out, scoring.Fruit{Remarks: []note.Note{note.New(vision.RemarkEdge)}})
		}
		return append(out, make([]scoring.Fruit, clear)...)
	}
	suspects, uncut := note.New(vision.RemarkSuspects, note.Count("n", 2)), note.New(vision.RemarkUncut, note.Count("n", 1))
	for name, c := range map[string]struct {
		report scoring.Report
		want   []note.Note
	}{
		"nothing":          {scoring.Report{Fruit: halves(0, 3)}, nil},
		"suspects alone":   {scoring.Report{Remarks: []note.Note{suspects, uncut}, Fruit: halves(0, 3)}, nil},
		"dark":             {scoring.Report{Remarks: []note.Note{suspects, note.New(vision.RemarkDark), uncut}}, []note.Note{note.New(vision.RemarkDark)}},
		"a third of them":  {scoring.Report{Remarks: []note.Note{uncut}, Fruit: halves(1, 2)}, []note.Note{note.New(vision.RemarkEdge)}},
		"one half in four": {scoring.Report{Fruit: halves(1, 3)}, nil},
	} {
		if got := betterPhoto(c.report); !slices.EqualFunc(got, c.want, note.Note.Equal) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// A pick that cannot be is objected to on the desk as well, and kept when it is insisted on.
func TestPickObjectedTo(t *testing.T) {
	d := newTestDesk(t)
	c := d.client(t, Grower)
	path := "/blocks/" + url.PathEscape(oneBlock) + "/picked"
	if w := c.post(path, url.Values{"by": {"hm"}, "day": {"2026-09-10"}}); w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "a sample of it was taken on 14 Sep 2026") {
		t.Errorf("picked before its sample: %d, %s", w.Code, w.Body)
	} else {
		for _, part := range []string{"check the day, or say that it was a part", `action="` + path + `"`, `name="by" value="hm"`, `name="day" value="2026-09-10"`, `name="anyway" required`} {
			if !strings.Contains(w.Body.String(), part) {
				t.Errorf("the page to insist on lacks %q: %s", part, w.Body)
			}
		}
	}
	if w := c.post(path, url.Values{"by": {"hm"}, "day": {"2026-09-10"}, "anyway": {"the box says so"}}); w.Code != http.StatusSeeOther {
		t.Errorf("insisted on: %d, %s", w.Code, w.Body)
	}
}
