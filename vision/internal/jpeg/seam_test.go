package jpeg

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"testing"

	"gocv.io/x/gocv"
)

// shifted adds an offset to a channel from one MCU on, up to another, as a wrong mean does.
func shifted(t *testing.T, b []byte, by, channel, from, to, offset int) *decoder {
	t.Helper()
	d := &decoder{ctx: context.Background(), b: b, by: by, transform: -1}
	if err := d.segments(); err != nil {
		t.Fatal(err)
	}
	d.watch.end()
	c := &d.components[channel]
	wide, tall, width := c.h*c.side, c.v*c.side, c.stride*c.side
	for m := from; m < to; m++ {
		for y := range tall {
			row := c.plane[(m/d.mcusX*tall+y)*width+m%d.mcusX*wide:][:wide]
			for x, v := range row {
				row[x] = byte(min(max(int(v)+offset, 0), 255))
			}
		}
	}
	return d
}

func worst(scores []float64) float64 {
	most := 0.0
	for _, s := range scores {
		most = max(most, s)
	}
	return most
}

// Wherever in the picture the mean of a block is wrong, in any channel, up or down, the seam is
// seen, unless it is coded so coarsely that steps are usual; without one there is none in either.
func TestSeams(t *testing.T) {
	img := scene(800, 600)
	for _, quality := range []int{30, 60, 90, 98} {
		b := written(t, img, quality)
		for channel := range 3 {
			if quality < 60 {
				break
			}
			for _, offset := range []int{-9, 9} {
				for _, from := range []int{30, 60, 500, 777, 1000} {
					for _, by := range []int{1, 2, 4} {
						d := shifted(t, b, by, channel, from, 50*38, offset)
						if s := worst(d.seams(0, d.mcusY)); s <= 1 {
							t.Errorf("quality %d, 1/%d: channel %d is %d off from MCU %d on: %.2f of a seam", quality, by, channel, offset, from, s)
						}
					}
				}
			}
		}
		if d := shifted(t, b, 1, 0, 0, 0, 0); worst(d.seams(0, d.mcusY)) > 1 {
			t.Errorf("quality %d: a seam where there is none", quality)
		}
	}
}

// Between restart markers a part of a row is off.
func TestStrips(t *testing.T) {
	b := written(t, scene(800, 600), 90, gocv.IMWriteJpegRstInterval, 25)
	if d := shifted(t, b, 1, 0, 0, 0, 0); worst(d.seams(0, d.mcusY)) > 1 {
		t.Error("a strip where there is none")
	}
	for _, from := range []int{100, 110, 625, 1033} {
		d := shifted(t, b, 1, 0, from, from/25*25+25, 15)
		if s := worst(d.seams(0, d.mcusY)); s <= 1 {
			t.Errorf("off from MCU %d to the next restart marker: %.2f of a strip", from, s)
		}
	}
}

// What contradicts itself is told by what it is.
func TestDamage(t *testing.T) {
	whole := written(t, scene(389, 283), 90)
	data := bytes.Index(whole, []byte{0xFF, sos}) + 14
	end := len(whole) - 2
	restart := written(t, scene(389, 283), 90, gocv.IMWriteJpegRstInterval, 7)
	marker := bytes.Index(restart, []byte{0xFF, rst0 + 3})
	progressive := written(t, scene(389, 283), 90, gocv.IMWriteJpegProgressive, 1)
	lastScan := bytes.LastIndex(progressive, []byte{0xFF, sos})
	join := func(parts ...[]byte) []byte { return bytes.Join(parts, nil) }
	tests := []struct {
		name string
		b    []byte
		says string
	}{
		{"a third missing", join(whole[:data+(end-data)/3], whole[data+2*(end-data)/3:]), "ends before its picture is complete"},
		{"a third twice", join(whole[:data+2*(end-data)/3], whole[data+(end-data)/3:]), "holds more than its picture needs"},
		{"bytes behind", join(whole[:end], []byte{0x55, 0xAA}, whole[end:]), "holds more than its picture needs"},
		{"a marker among the data", join(whole[:data+(end-data)/2], []byte{0xFF, rst0}, whole[data+(end-data)/2:]), "ends before its picture is complete"},
		{"a restart marker missing", join(restart[:marker], restart[marker+2:]), ""},
		{"a wrong restart marker", join(restart[:marker], []byte{0xFF, rst0 + 5}, restart[marker+2:]), "lacks a restart marker"},
		{"the last scan missing", join(progressive[:lastScan], []byte{0xFF, eoi}), "holds only a part of its picture"},
		{"no end", whole[:end], "ends without its end marker"},
	}
	for _, tt := range tests {
		_, err := Decode(context.Background(), tt.b, 2)
		if !errors.Is(err, ErrDamaged) || tt.says != "" && err.Error() != tt.says {
			t.Errorf("%s: %v, want %q", tt.name, err, tt.says)
		}
	}
	// Encoders may fill up with ones or zeros.
	for _, filling := range []byte{0, 0xFF} {
		b := join(whole[:end], []byte{filling}, whole[end:])
		if filling == 0 && whole[end-1]&1 == 1 {
			continue // the last byte is filled up with ones already
		}
		if _, err := Decode(context.Background(), b, 2); err != nil {
			t.Errorf("filled up with %x: %v", filling, err)
		}
	}
}

// Whatever the bytes, there is a picture of the size stated or an error.
func FuzzDecode(f *testing.F) {
	small := scene(70, 66)
	for _, params := range [][]int{nil, {gocv.IMWriteJpegProgressive, 1}, {gocv.IMWriteJpegRstInterval, 3}} {
		for by := range uint8(4) {
			f.Add(written(f, small, 80, params...), by)
		}
	}
	f.Add(standard(f, grey(small), 80), uint8(0))
	f.Fuzz(func(t *testing.T, b []byte, by uint8) {
		at := bytes.IndexAny(b, "\xC0\xC1\xC2")
		if at >= 0 && len(b) > at+8 && (int(b[at+4])<<8|int(b[at+5]))*(int(b[at+6])<<8|int(b[at+7])) > 1<<20 {
			t.Skip("larger than what would be decoded")
		}
		if len(b) > 1<<16 {
			t.Skip("slow")
		}
		reduction := 1 << (by % 4)
		p, err := Decode(context.Background(), b, reduction)
		if err == nil && (len(p.BGR) != 3*p.Cols*p.Rows || p.Cols < 1 || p.Rows < 1) {
			t.Errorf("%s: %d x %d px of %d bytes", fmt.Sprint(reduction), p.Cols, p.Rows, len(p.BGR))
		}
	})
}
