package workbench

import (
	"strings"
	"testing"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/vision"
)

// An override teaches the half that was looked at, or nothing: as many halves found again are not yet the same ones.
func TestOverridesTeachTheirOwnHalf(t *testing.T) {
	b := newBench(t)
	kept, err := b.Store(t.Context(), SampleTray{Act: Act{By: "hm"}, Block: "Brook 5"}, PhotoBytes("tray.jpg", []byte("tray")))
	if err != nil {
		t.Fatal(err)
	}
	tray := kept.Report
	tray.Fruit[2].Review = &scoring.Review{Override: true, Stage: 4, By: "hm"}
	set := calibrate.Set{StainedDensity: vision.DefaultStainedDensity}
	got, err := b.overridesOf(t.Context(), tray, set, nil)
	if err != nil || len(got) != 1 || got[0].Half != 3 {
		t.Fatalf("%+v, %v; want half 3", got, err)
	}
	tray.Fruit[2].Place = tray.Fruit[3].Place
	if got, err := b.overridesOf(t.Context(), tray, set, nil); err == nil || !strings.Contains(err.Error(), "fruit 3 is not found where it was") {
		t.Errorf("%+v, %v; want it to be refused", got, err)
	}
}
