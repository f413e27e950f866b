package photo

import (
	"errors"

	"traystage/vision/internal/hevc"
)

const (
	codedSlack = 64 // coded sizes are filled up to blocks of so many pixels at most
	hvcCHead   = 22 // bytes before the list of units in an hvcC property
)

// units gives the units that an item is coded in, those of its hvcC property first.
func (h heifItems) units(b []byte, item uint32) [][]byte {
	var out [][]byte
	lengthSize := 4
	for _, i := range h.uses[item] {
		if i < 1 || i > len(h.props) || h.props[i-1].kind != "hvcC" || len(h.props[i-1].body) <= hvcCHead {
			continue
		}
		config := h.props[i-1].body
		lengthSize = int(config[21]&3) + 1
		out = append(out, configured(config[hvcCHead:])...)
	}
	f := fields{b: h.bytesOf(b, item)}
	for len(f.b) > lengthSize {
		n := min(f.uint(lengthSize), uint64(len(f.b)))
		out, f.b = append(out, f.b[:n]), f.b[n:]
	}
	return out
}

// configured gives the units in the lists of an hvcC property.
func configured(b []byte) [][]byte {
	var out [][]byte
	list := fields{b: b}
	for n := list.uint(1); n > 0 && !list.short; n-- {
		list.uint(1) // their kind, which each states itself
		for m := list.uint(2); m > 0 && !list.short; m-- {
			size := list.uint(2)
			if size > uint64(len(list.b)) {
				return out
			}
			out, list.b = append(out, list.b[:size]), list.b[size:]
		}
	}
	return out
}

// honest says whether what is coded of an item is no larger than its properties state, but for what
// fills up the last blocks. Its decoder takes memory for what is coded.
func (h heifItems) honest(b []byte, item uint32) bool {
	stated := heifItems{primary: item, props: h.props, uses: h.uses}
	width, height := stated.codedSize()
	sizes := 0
	for _, unit := range h.units(b, item) {
		w, high, isSize, ok := hevc.Size(unit)
		if isSize {
			sizes++
		}
		if isSize && (!ok || w > width+codedSlack || high > height+codedSlack) {
			return false
		}
	}
	return sizes > 0
}

// codedSize is the size stated of the primary item before it is turned.
func (h heifItems) codedSize() (width, height int) {
	for _, i := range h.uses[h.primary] {
		if i >= 1 && i <= len(h.props) && h.props[i-1].kind == "ispe" {
			f := fields{b: h.props[i-1].body}
			f.version()
			return int(f.uint(4)), int(f.uint(4))
		}
	}
	return 0, 0
}

// checkCoded refuses an item, or the items that it is put together from, that is coded in another
// size than it states or of which a part is wrong or lost, which its decoder does not tell.
func (h heifItems) checkCoded(b []byte, item uint32) error {
	for _, part := range h.parts[item] {
		if h.kinds[part] == "hvc1" {
			if err := h.checkCoded(b, part); err != nil {
				return err
			}
		}
	}
	switch {
	case h.kinds[item] != "hvc1":
		return nil
	case !h.honest(b, item):
		return damaged(HEIC, "is coded in another size than it states, or a part of it is lost")
	case errors.Is(hevc.Whole(h.units(b, item)), hevc.ErrDamaged):
		return damaged(HEIC, "does not add up as it is coded: a part of it is wrong or lost")
	}
	return nil
}
