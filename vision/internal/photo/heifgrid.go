package photo

import (
	"bytes"
	"encoding/binary"
)

// heifGrid is a picture put together from tiles that are coded on their own, as
// phones do: row by row, each as large as the first.
type heifGrid struct {
	rows, cols    int
	width, height int      // of the whole, which may cut off a part of the last tiles
	tiles         []uint32 // items
	side          [2]int   // width and height of a tile
	turn          int      // EXIF orientation that does the same as the container's turning
}

// grid reads how the photo is put together; false where it is not, or has
// properties that only its decoder knows to apply.
func (h heifItems) grid(b []byte) (heifGrid, bool) {
	g := heifGrid{tiles: h.parts[h.primary], turn: 1}
	if h.kinds[h.primary] != "grid" || len(g.tiles) == 0 || !h.turning(&g.turn) {
		return g, false
	}
	f := fields{b: h.bytesOf(b, h.primary)}
	f.uint(1) // version
	wide := f.uint(1)&1 != 0
	g.rows, g.cols = int(f.uint(1))+1, int(f.uint(1))+1
	g.width, g.height = int(f.narrowOr32(!wide)), int(f.narrowOr32(!wide))
	first := heifItems{primary: g.tiles[0], props: h.props, uses: h.uses}
	g.side[0], g.side[1] = first.size()
	ok := !f.short && len(g.tiles) == g.rows*g.cols && g.side[0] >= heicMinSide && g.side[1] >= heicMinSide &&
		g.width > (g.cols-1)*g.side[0] && g.width <= g.cols*g.side[0] &&
		g.height > (g.rows-1)*g.side[1] && g.height <= g.rows*g.side[1]
	return g, ok
}

// turning gives the EXIF orientation that does what the photo's properties ask
// for; false where they ask for more than quarter turns (ISO/IEC 23008-12, 6.5.10).
func (h heifItems) turning(orientation *int) bool {
	for _, i := range h.uses[h.primary] {
		if i < 1 || i > len(h.props) {
			return false
		}
		switch h.props[i-1].kind {
		case "irot": // quarter turns anticlockwise
			f := fields{b: h.props[i-1].body}
			*orientation = [4]int{1, 8, 3, 6}[f.uint(1)&3]
		case "imir", "clap":
			return false
		}
	}
	return true
}

// bytesOf joins the bytes of an item.
func (h heifItems) bytesOf(b []byte, item uint32) []byte {
	var out []byte
	for _, e := range h.extents {
		from := b
		if e.inside {
			from = h.data
		}
		if e.item == item && e.from <= uint64(len(from)) && e.size <= uint64(len(from))-e.from {
			out = append(out, from[e.from:e.from+e.size]...)
		}
	}
	return out
}

// tileFile writes a HEIC file that holds one tile alone.
func (h heifItems) tileFile(b []byte, tile uint32) []byte {
	var props, uses []byte
	for _, i := range h.uses[tile] {
		if i < 1 || i > len(h.props) {
			continue
		}
		switch p := h.props[i-1]; p.kind {
		case "hvcC", "ispe", "pixi", "colr":
			props = append(props, isoBox(p.kind, p.body)...)
			uses = append(uses, 0x80|byte(len(uses)+1))
		}
	}
	data := h.bytesOf(b, tile)
	describe := func(at int) []byte {
		place := binary.BigEndian.AppendUint32([]byte{0, 0, 0, 0, 0x44, 0, 0, 1, 0, 1, 0, 0, 0, 1}, uint32(at))
		place = binary.BigEndian.AppendUint32(place, uint32(len(data)))
		return isoBox("meta", bytes.Join([][]byte{{0, 0, 0, 0},
			isoBox("hdlr", []byte("\x00\x00\x00\x00\x00\x00\x00\x00pict\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00")),
			isoBox("pitm", []byte{0, 0, 0, 0, 0, 1}),
			isoBox("iloc", place),
			isoBox("iinf", append([]byte{0, 0, 0, 0, 0, 1}, isoBox("infe", []byte("\x02\x00\x00\x00\x00\x01\x00\x00hvc1\x00"))...)),
			isoBox("iprp", append(isoBox("ipco", props), isoBox("ipma", append([]byte{0, 0, 0, 0, 0, 0, 0, 1, 0, 1, byte(len(uses))}, uses...))...)),
		}, nil))
	}
	head := isoBox("ftyp", []byte("heic\x00\x00\x00\x00mif1heic"))
	at := len(head) + len(describe(0)) + 8
	return bytes.Join([][]byte{head, describe(at), isoBox("mdat", data)}, nil)
}

// isoBox is a box with its length and kind in front.
func isoBox(kind string, body []byte) []byte {
	return append(append(binary.BigEndian.AppendUint32(nil, uint32(len(body)+8)), kind...), body...)
}
