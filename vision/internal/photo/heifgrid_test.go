package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"testing"

	"github.com/gen2brain/heic"

	"traystage/vision/internal/hevc"
)

// The tile of the grids below is the coded picture of the sample, which lies on its side:
// 128 x 192 px.
const tileWidth, tileHeight = sampleHeight, sampleWidth

// gridHEIC puts a photo of a size together from the sample's tile, as phones do; turns are
// quarter turns anticlockwise.
func gridHEIC(t testing.TB, cols, rows, width, height int, turns byte) []byte {
	t.Helper()
	sample := sampleHEIC(t)
	meta, _ := findBox(sample, "meta")
	items, ok := readHEIFItems(meta)
	if !ok {
		t.Fatal("the sample cannot be read")
	}
	tile := items.bytesOf(sample, items.primary)
	props := isoBox("ispe", binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(make([]byte, 4), uint32(width)), uint32(height)))
	props = append(props, isoBox("irot", []byte{turns})...)
	for _, i := range items.uses[items.primary] {
		if p := items.props[i-1]; p.kind == "hvcC" || p.kind == "ispe" {
			props = append(props, isoBox(p.kind, p.body)...)
		}
	}
	n := cols * rows
	grid := []byte{0, 1, byte(rows - 1), byte(cols - 1)}
	grid = binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(grid, uint32(width)), uint32(height))
	u16 := func(b []byte, v int) []byte { return binary.BigEndian.AppendUint16(b, uint16(v)) }
	describe := func(at int) []byte {
		places := u16([]byte{1, 0, 0, 0, 0x44, 0}, n+1)
		places = append(places, 0, 1, 0, 1, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, byte(len(grid)))
		infos := append(u16(make([]byte, 4), n+1), isoBox("infe", []byte("\x02\x00\x00\x00\x00\x01\x00\x00grid\x00"))...)
		uses := append(binary.BigEndian.AppendUint32(make([]byte, 4), uint32(n+1)), 0, 1, 2, 0x81, 0x82)
		parts := u16([]byte{0, 1}, n)
		for i := range n {
			places = append(u16(places, i+2), 0, 0, 0, 0, 0, 1)
			places = binary.BigEndian.AppendUint32(places, uint32(at))
			places = binary.BigEndian.AppendUint32(places, uint32(len(tile)))
			infos = append(infos, isoBox("infe", append(u16([]byte{2, 0, 0, 1}, i+2), "\x00\x00hvc1\x00"...))...)
			uses = append(u16(uses, i+2), 2, 0x83, 0x84)
			parts = u16(parts, i+2)
		}
		return isoBox("meta", bytes.Join([][]byte{make([]byte, 4),
			isoBox("hdlr", []byte("\x00\x00\x00\x00\x00\x00\x00\x00pict\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00")),
			isoBox("pitm", []byte{0, 0, 0, 0, 0, 1}),
			isoBox("iloc", places), isoBox("iinf", infos),
			isoBox("iprp", append(isoBox("ipco", props), isoBox("ipma", uses)...)),
			isoBox("iref", append(make([]byte, 4), isoBox("dimg", parts)...)),
			isoBox("idat", grid),
		}, nil))
	}
	head := isoBox("ftyp", []byte("heic\x00\x00\x00\x00mif1heic"))
	at := len(head) + len(describe(0)) + 8
	return bytes.Join([][]byte{head, describe(at), isoBox("mdat", tile)}, nil)
}

// Decoded tile by tile, a photo must look as its decoder puts it together itself.
func TestGridAgreesWithItsDecoder(t *testing.T) {
	for turns := range byte(4) {
		t.Run(fmt.Sprint(turns), func(t *testing.T) {
			b := gridHEIC(t, 3, 2, 3*tileWidth-30, 2*tileHeight-50, turns)
			h, err := Info(b)
			if err != nil {
				t.Fatal(err)
			}
			if _, ok := h.heif.grid(b); !ok {
				t.Fatal("it is taken for no grid")
			}
			p, err := Load(context.Background(), b, plenty)
			if err != nil {
				t.Fatal(err)
			}
			img, err := heic.Decode(bytes.NewReader(b))
			if err != nil {
				t.Fatal(err)
			}
			if p.Cols != img.Bounds().Dx() || p.Rows != img.Bounds().Dy() || p.Width != h.Width || p.Height != h.Height {
				t.Fatalf("%d x %d px, its decoder has %v, the header %d x %d", p.Cols, p.Rows, img.Bounds(), h.Width, h.Height)
			}
			want, err := sourceFrom(img)
			if err != nil {
				t.Fatal(err)
			}
			off := 0
			buf := make([]byte, 3*p.Cols)
			for y := range p.Rows {
				row, err := want.row(y, buf)
				if err != nil {
					t.Fatal(err)
				}
				for i, v := range row {
					if d := int(p.Pix[3*y*p.Cols+i]) - int(v); d < -2 || d > 2 {
						off++
					}
				}
			}
			// The sample's colours are as fine as its lightness. Its decoder halves them by another
			// filter where it joins tiles, which shows along the borders of the quadrants.
			if share := float64(off) / float64(len(p.Pix)); share > 0.07 {
				t.Errorf("%.3f of the pixels differ", share)
			}
		})
	}
}

func TestGridOfWrongParts(t *testing.T) {
	b := gridHEIC(t, 2, 2, 2*tileWidth, 2*tileHeight, 0)
	// A grid that states more tiles than there are is left to its decoder, which refuses it.
	at := bytes.Index(b, []byte("idat")) + 4
	if _, err := Load(context.Background(), replaced(b, at+2, 5), plenty); !errors.Is(err, ErrDamaged) {
		t.Errorf("six rows stated, two there: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Load(ctx, b, plenty); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// What the allocator writes over the first pixels of a tile must not be seen.
func TestFirstPixelsOfTiles(t *testing.T) {
	p, err := Load(context.Background(), gridHEIC(t, 3, 2, 3*tileWidth, 2*tileHeight, 0), plenty)
	if err != nil {
		t.Fatal(err)
	}
	for _, top := range []int{0, tileHeight} {
		for x := range 24 {
			if got, want := pixel(p, x, top), pixel(p, x, top+1); !near(got, want, 4) {
				t.Errorf("pixel %d, %d is %v, below it lies %v", x, top, got, want)
			}
		}
	}
}

// A file that states a smaller picture than it codes would make its decoder take
// memory that nobody reckoned with.
func TestHEICThatLiesAboutItsSize(t *testing.T) {
	sample := sampleHEIC(t)
	meta, _ := findBox(sample, "meta")
	items, _ := readHEIFItems(meta)
	if !items.honest(sample, items.primary) {
		t.Error("the sample is taken for a lie")
	}
	for _, unit := range configured(items.props[0].body[hvcCHead:]) {
		if w, h, stated, ok := hevc.Size(unit); stated && (!ok || w != tileWidth || h != tileHeight) {
			t.Errorf("it is coded as %d x %d px, %v; should be %d x %d", w, h, ok, tileWidth, tileHeight)
		}
	}
	at := bytes.Index(sample, []byte("ispe")) + 8
	for _, side := range []int{0, 4} {
		lie := bytes.Clone(sample)
		binary.BigEndian.PutUint32(lie[at+side:], 40)
		info := bytes.Index(lie, []byte("ispe")) // the stated size stays large enough to be read at all
		if meta, ok := findBox(lie, "meta"); ok && info > 0 {
			items, _ := readHEIFItems(meta)
			if items.honest(lie, items.primary) {
				t.Errorf("side %d of 40 px is taken for true", side/4)
			}
		}
	}
}
