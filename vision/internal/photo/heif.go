package photo

import (
	"encoding/binary"
	"fmt"
)

// heifItems is what a HEIF file's meta box says of the items in it.
type heifItems struct {
	primary uint32              // the item that is the photo
	exif    uint32              // the item that holds EXIF, 0 when there is none
	extents []heifExtent        // where the items' bytes are
	props   []box               // properties, counted from 1 in uses
	uses    map[uint32][]int    // properties of each item
	kinds   map[uint32]string   // what each item is coded in
	parts   map[uint32][]uint32 // items that another is put together from
	data    []byte              // bytes that stand within the description
}

// heifExtent is a run of bytes of the file that belongs to an item.
type heifExtent struct {
	item       uint32
	from, size uint64
	inside     bool // in the description's own data, not in the file
}

// walkHEIC reads the size of a HEIC photo and checks that the bytes of all its
// items are there. Width and height are those after the container's own turning, which
// the decoder applies; so EXIF's orientation, which repeats it, is left out.
func walkHEIC(b []byte) (Header, []byte, error) {
	meta, ok := findBox(b, "meta")
	if !ok {
		return Header{}, nil, cutShort(HEIC, len(b), "before the place where its picture is described")
	}
	items, ok := readHEIFItems(meta)
	if !ok {
		return Header{}, nil, damaged(HEIC, "has a broken description of its picture")
	}
	for _, e := range items.extents {
		if e.inside {
			continue
		}
		if e.from > uint64(len(b)) || e.size > uint64(len(b))-e.from {
			return Header{}, nil, cutShort(HEIC, len(b), fmt.Sprintf("and needs %d", e.from+e.size))
		}
	}
	h := Header{Format: HEIC, heif: items}
	h.Width, h.Height = items.size()
	if h.Width == 0 || h.Height == 0 {
		return Header{}, nil, damaged(HEIC, "does not state its size")
	}
	if g, ok := items.grid(b); ok {
		h.fixed = atOnce*(moduleBytes+wholeHEIC*g.side[0]*g.side[1]) + 4*g.width*g.side[1]
	} else {
		h.bytes = wholeHEIC
	}
	return h, items.exifBlock(b), nil
}

// findBox finds the first box of a kind among those in b.
func findBox(b []byte, kind string) ([]byte, bool) {
	for {
		first, rest, ok := nextBox(b)
		if !ok {
			return nil, false
		}
		if first.kind == kind {
			return first.body, true
		}
		b = rest
	}
}

// size gives width and height of the primary item after turning, 0 when not
// stated. Cameras list the properties in any order.
func (h heifItems) size() (width, height int) {
	turned := false
	for _, i := range h.uses[h.primary] {
		if i < 1 || i > len(h.props) {
			continue
		}
		f := fields{b: h.props[i-1].body}
		switch h.props[i-1].kind {
		case "ispe":
			f.version()
			width, height = int(f.uint(4)), int(f.uint(4))
		case "irot":
			turned = f.uint(1)&1 != 0 // in quarter turns
		}
	}
	if turned {
		return height, width
	}
	return width, height
}

// exifBlock gives the TIFF structure of the EXIF item, nil when there is none.
func (h heifItems) exifBlock(b []byte) []byte {
	for _, e := range h.extents {
		if h.exif == 0 || e.item != h.exif || e.size < 4 || e.inside {
			continue
		}
		block := b[e.from : e.from+e.size]
		// The TIFF structure starts as many bytes after these four as they say.
		skip := uint64(binary.BigEndian.Uint32(block)) + 4
		return block[min(skip, e.size):]
	}
	return nil
}

// readHEIFItems reads the body of a meta box.
func readHEIFItems(meta []byte) (heifItems, bool) {
	h := heifItems{uses: map[uint32][]int{}, kinds: map[uint32]string{}, parts: map[uint32][]uint32{}}
	f := fields{b: meta}
	f.version()
	for rest := f.b; len(rest) > 0; {
		part, more, ok := nextBox(rest)
		if !ok || !h.take(part) {
			return h, false
		}
		rest = more
	}
	return h, !f.short
}

func (h *heifItems) take(part box) bool {
	f := fields{b: part.body}
	switch part.kind {
	case "pitm":
		version, _ := f.version()
		h.primary = f.narrowOr32(version == 0)
	case "iinf":
		version, _ := f.version()
		f.narrowOr32(version == 0) // count; the boxes tell their number themselves
		h.takeInfos(f.b)
	case "iloc":
		h.takePlaces(&f)
	case "idat":
		h.data = f.b
	case "iref":
		version, _ := f.version()
		h.takeParts(f.b, version == 0)
	case "iprp":
		if props, ok := findBox(f.b, "ipco"); ok {
			for p, rest, ok := nextBox(props); ok; p, rest, ok = nextBox(rest) {
				h.props = append(h.props, p)
			}
		}
		if uses, ok := findBox(f.b, "ipma"); ok {
			f = fields{b: uses}
			h.takeUses(&f)
		}
	}
	return !f.short
}

// takeParts reads which items others are put together from.
func (h *heifItems) takeParts(b []byte, narrow bool) {
	for p, rest, ok := nextBox(b); ok; p, rest, ok = nextBox(rest) {
		if p.kind != "dimg" {
			continue
		}
		f := fields{b: p.body}
		whole := f.narrowOr32(narrow)
		for n := f.uint(2); n > 0 && !f.short; n-- {
			if part := f.narrowOr32(narrow); !f.short {
				h.parts[whole] = append(h.parts[whole], part)
			}
		}
	}
}

// takeInfos reads what the items are coded in and finds the one of type Exif.
func (h *heifItems) takeInfos(b []byte) {
	for p, rest, ok := nextBox(b); ok; p, rest, ok = nextBox(rest) {
		f := fields{b: p.body}
		version, _ := f.version()
		if p.kind != "infe" || version < 2 {
			continue
		}
		item := f.narrowOr32(version == 2)
		f.uint(2) // protection
		if len(f.b) >= 4 {
			h.kinds[item] = string(f.b[:4])
		}
		if has(f.b, 0, "Exif") {
			h.exif = item
		}
	}
}

// Where an item's bytes are: at an offset into the file, or into the description's own data.
const (
	inFile        = 0
	inDescription = 1
)

// takePlaces reads the item locations.
func (h *heifItems) takePlaces(f *fields) {
	version, _ := f.version()
	sizes := f.uint(2)
	offsetSize, lengthSize, baseSize, indexSize := int(sizes>>12), int(sizes>>8&15), int(sizes>>4&15), int(sizes&15)
	if max(offsetSize, lengthSize, baseSize, indexSize) > 8 {
		f.short = true
		return
	}
	if version == 0 {
		indexSize = 0
	}
	for n := f.narrowOr32(version < 2); n > 0 && !f.short; n-- {
		item, where := f.narrowOr32(version < 2), uint64(inFile)
		if version > 0 {
			where = f.uint(2) & 15
		}
		f.uint(2) // data reference
		base := f.uint(baseSize)
		for m := f.uint(2); m > 0 && !f.short; m-- {
			f.uint(indexSize)
			e := heifExtent{item: item, from: base + f.uint(offsetSize), size: f.uint(lengthSize)}
			e.inside = where == inDescription
			if where <= inDescription && !f.short {
				h.extents = append(h.extents, e)
			}
		}
	}
}

// takeUses reads which properties each item has.
func (h *heifItems) takeUses(f *fields) {
	version, flags := f.version()
	for n := f.uint(4); n > 0 && !f.short; n-- {
		item := f.narrowOr32(version == 0)
		for m := f.uint(1); m > 0 && !f.short; m-- {
			// The top bit marks a property that a reader must know.
			if flags&1 != 0 {
				h.uses[item] = append(h.uses[item], int(f.uint(2)&0x7FFF))
			} else {
				h.uses[item] = append(h.uses[item], int(f.uint(1)&0x7F))
			}
		}
	}
}
