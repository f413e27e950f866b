package photo

import (
	"bytes"
	"context"
	"image"

	"github.com/gen2brain/heic"

	"traystage/vision/internal/parallel"
)

// decodeHEIC decodes through libheif compiled to WebAssembly, which cannot harm the
// process whatever the file holds. It takes some 2 s of one core for 12 megapixels, and another
// half second the first time. Where a development package of libheif is installed the
// module would load that instead, unless built with its tag nodynamic, as make does: see libraryLoaded.
//
// Phones put a photo together from tiles. These are decoded one by one, a row of them at
// a time, on all cores: as a whole they would take wholeHEIC bytes a pixel.
//
// Brightness is taken to run from 0 to 255 with the colour matrix of JPEG, as phones
// write it. What the file says of its range is not heeded: cameras were
// seen to state the range of video and use the full one.
func decodeHEIC(ctx context.Context, b []byte, h Header, targetLong int) (Photo, error) {
	if libraryLoaded() {
		return Photo{}, notPhoto("this build of the program would hand HEIC pictures to a library of this machine, which a crafted one can crash",
			"build it with make, or "+saveAsJPEG)
	}
	turn := 1
	src, err := source{}, error(nil)
	if g, ok := h.heif.grid(b); ok {
		src, turn = tiledSource(ctx, b, h.heif, g), g.turn
	} else if src, err = h.heif.wholeSource(b, b, h.heif.primary); err != nil {
		return Photo{}, err
	}
	if w, high := turnedSize(src.cols, src.rows, turn); w < heicMinSide || high < heicMinSide || w > h.Width || high > h.Height {
		return Photo{}, damaged(HEIC, "decodes to another size than it states")
	}
	p := planned(src.cols, src.rows, targetLong) // a HEIC may crop itself
	if p.Pix, err = reduce(ctx, src, p.Cols, p.Rows); err != nil {
		return Photo{}, err
	}
	p.Pix, p.Cols, p.Rows = upright(p.Pix, p.Cols, p.Rows, turn)
	p.Width, p.Height = turnedSize(p.Width, p.Height, turn)
	return p, nil
}

// libraryLoaded says whether the module would decode by a library of the machine.
func libraryLoaded() bool { return heic.Dynamic() == nil }

// wholeSource decodes a file that holds an item in one go.
func (h heifItems) wholeSource(file, b []byte, item uint32) (source, error) {
	if err := h.checkCoded(file, item); err != nil {
		return source{}, err
	}
	if !has(b, 8, "heic") {
		// The decoder looks at the major brand alone, and some phones
		// write the general one there and "heic" among the compatible ones.
		b = bytes.Clone(b)
		copy(b[8:], "heic")
	}
	img, err := decoded(func() (image.Image, error) { return heic.Decode(bytes.NewReader(b)) })
	if err != nil {
		return source{}, damaged(HEIC, "cannot be decoded")
	}
	if ycc, ok := img.(*image.YCbCr); ok && len(ycc.Y) >= ycc.YStride+overwritten {
		copy(ycc.Y[:overwritten], ycc.Y[ycc.YStride:])
	}
	return sourceFrom(img)
}

func (h heifItems) tileSource(b []byte, tile uint32) (source, error) {
	if h.kinds[tile] != "hvc1" {
		return source{}, damaged(HEIC, "has tiles that are no pictures")
	}
	return h.wholeSource(b, h.tileFile(b, tile), tile)
}

// overwritten is how many of a picture's first pixels its decoder's allocator writes over: the
// module frees them before it hands them out. Those of the row below stand in for them.
const overwritten = 32

// tiledSource decodes a row of tiles when the first of their pixels are asked for.
func tiledSource(ctx context.Context, b []byte, items heifItems, g heifGrid) source {
	row, tiles := -1, []source(nil)
	return source{cols: g.width, rows: g.height, row: func(y int, buf []byte) ([]byte, error) {
		if want := y / g.side[1]; want != row {
			var err error
			if tiles, err = g.decodeRow(ctx, b, items, want); err != nil {
				return nil, err
			}
			row = want
		}
		for i, t := range tiles {
			from := 3 * i * g.side[0]
			part := buf[from:min(from+3*g.side[0], len(buf))]
			if _, err := t.row(y%g.side[1], part); err != nil {
				return nil, err
			}
		}
		return buf, nil
	}}
}

func (g heifGrid) decodeRow(ctx context.Context, b []byte, items heifItems, row int) ([]source, error) {
	tiles, errs := make([]source, g.cols), make([]error, g.cols)
	decode := func(i int) {
		if errs[i] = ctx.Err(); errs[i] != nil {
			return
		}
		tiles[i], errs[i] = items.tileSource(b, g.tiles[row*g.cols+i])
		if errs[i] == nil && (tiles[i].cols < g.side[0] || tiles[i].rows < g.side[1]) {
			errs[i] = damaged(HEIC, "has tiles of another size than it states")
		}
	}
	for from := 0; from < g.cols; from += atOnce {
		parallel.Each(min(atOnce, g.cols-from), func(i int) { decode(from + i) })
	}
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return tiles, nil
}
