package jpeg

import (
	"bytes"
	"context"
	"math/rand/v2"
	"testing"

	"gocv.io/x/gocv"
)

// What is found beside the scan is what is found behind it, in photos with a wrong byte.
func TestWatch(t *testing.T) {
	img := scene(800, 1600)
	r := rand.New(rand.NewPCG(5, 6))
	seen := 0
	for name, params := range map[string][]int{
		"plain":          nil,
		"marked in rows": {gocv.IMWriteJpegRstInterval, 25},
		"marked by rows": {gocv.IMWriteJpegRstInterval, 100},
	} {
		whole := written(t, img, 90, params...)
		from := bytes.Index(whole, []byte{0xFF, sos}) + 14
		for range 60 {
			b := bytes.Clone(whole)
			if at := from + r.IntN(len(b)-2-from); b[at] != 0xFF && b[at-1] != 0xFF {
				b[at] = byte(r.IntN(255))
			}
			d := &decoder{ctx: context.Background(), b: b, by: 4, transform: -1}
			err := d.segments()
			d.watch.end()
			if err != nil {
				continue
			}
			want, err := d.seamIn(0, d.mcusY)
			if err != nil || d.watch.err != nil || d.watch.seam != want {
				t.Errorf("%s: beside the scan a seam at %.4f, behind it at %.4f; %v, %v", name, d.watch.seam, want, d.watch.err, err)
			}
			if want > 0 {
				seen++
			}
		}
	}
	if seen < 5 {
		t.Errorf("%d photos with a seam: too few to tell anything", seen)
	}
}
