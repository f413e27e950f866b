package stain

import "testing"

// Twenty halves of 60 px, as a photo of a full tray is worked on.
func BenchmarkRead(b *testing.B) {
	var looks []look
	for i := range 20 {
		looks = append(looks, beyond(0.3+0.03*float64(i), 0.8))
	}
	d := draw(lamp{across: 0.1}, nil, looks...)
	for i := range d.faces {
		f := &d.faces[i]
		f.Radius *= 60 / drawnRadius
		for k := range f.Flesh {
			f.Flesh[k] *= 60 / drawnRadius
			f.Outline[k] *= 60 / drawnRadius
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		d.read()
	}
}
