package photo

import (
	"bytes"
	"context"
	"image"

	"github.com/gen2brain/heic"
)

// decodeHEIC decodes through libheif compiled to WebAssembly, which cannot harm the
// process whatever the file holds. It takes some 2 s for 12 megapixels, and another
// half second the first time. Where a development package of libheif is installed the
// module would load that instead, unless built with its tag nodynamic, as make does: see libraryLoaded.
//
// Brightness is taken to run from 0 to 255 with the colour matrix of JPEG, as phones
// write it. What the file says of its range is not heeded: cameras were
// seen to state the range of video and use the full one.
func decodeHEIC(ctx context.Context, b []byte, h Header, targetLong int) (Photo, error) {
	if libraryLoaded() {
		return Photo{}, notPhoto("this build of the program would hand HEIC pictures to a library of this machine, which a crafted one can crash",
			"build it with make, or "+saveAsJPEG)
	}
	if !has(b, 8, "heic") {
		// The decoder looks at the major brand alone, and some phones
		// write the general one there and "heic" among the compatible ones.
		b = bytes.Clone(b)
		copy(b[8:], "heic")
	}
	img, err := decoded(func() (image.Image, error) { return heic.Decode(bytes.NewReader(b)) })
	if err != nil {
		return Photo{}, damaged(HEIC, "cannot be decoded")
	}
	src, err := sourceFrom(img)
	if err != nil {
		return Photo{}, err
	}
	if src.cols < heicMinSide || src.rows < heicMinSide || src.cols > h.Width || src.rows > h.Height {
		return Photo{}, damaged(HEIC, "decodes to another size than it states")
	}
	p := planned(src.cols, src.rows, targetLong) // a HEIC may crop itself
	p.Pix, err = reduce(ctx, src, p.Cols, p.Rows)
	return p, err
}

// libraryLoaded says whether the module would decode by a library of the machine.
func libraryLoaded() bool { return heic.Dynamic() == nil }
