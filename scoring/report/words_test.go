package report

import (
	"slices"
	"testing"

	"traystage/vision/note"
)

func TestBetween(t *testing.T) {
	for want, plates := range map[string][2]float64{"3 and 4": {3, 4}, "1": {1, 1}, "2.5 and 3.1": {2.5, 3.1}, "8 and 7": {8, 7}} {
		if got := penOf(nil).plates(plates); got != want {
			t.Errorf("%v: %q, want %q", plates, got, want)
		}
	}
}

func TestDoubtsAreSaidOnce(t *testing.T) {
	f := scored(1, 3)
	f.Call.Reasons = []note.Note{note.New("photo.glare"), note.Quote("wide")}
	f.Remarks = []note.Note{note.New("photo.glare"), note.New("photo.blurred"), note.New("photo.glare")}
	if got := penOf(nil).doubts(f); !slices.Equal(got, []string{"glare hides part of the face", "wide", "the face is blurred"}) {
		t.Errorf("doubts %q", got)
	}
	if got := penOf(nil).advice(f); !slices.Equal(got, []string{"turn off the flash or shade the tray from the lamp", "hold the phone still and tap the tray to focus"}) {
		t.Errorf("advice %q", got)
	}
}
