package photo

import (
	"bytes"
	"image"
	"image/draw"

	"github.com/gen2brain/heic"
	"gocv.io/x/gocv"
)

// decodeHEIC decodes through libheif compiled to WebAssembly, which cannot harm the
// process whatever the file holds. It takes some 2 s for 12 megapixels, and another
// half second the first time. Where a development package of libheif is installed the
// module would load that instead, unless built with its tag nodynamic.
//
// Brightness is taken to run from 0 to 255 with the colour matrix of JPEG, as phones
// write it. What the file says of its range is not heeded: cameras were
// seen to state the range of video and use the full one.
func (s *scope) decodeHEIC(b []byte, h Header) (pic *gocv.Mat, err error) {
	defer func() {
		if recover() != nil {
			pic, err = nil, damaged(HEIC, "cannot be decoded")
		}
	}()
	if !has(b, 8, "heic") {
		// The decoder looks at the major brand alone, and some phones
		// write the general one there and "heic" among the compatible ones.
		b = bytes.Clone(b)
		copy(b[8:], "heic")
	}
	img, err := heic.Decode(bytes.NewReader(b))
	if err != nil {
		return nil, damaged(HEIC, "cannot be decoded")
	}
	bounds := img.Bounds()
	if bounds.Dx() < heicMinSide || bounds.Dy() < heicMinSide || bounds.Dx() > h.Width || bounds.Dy() > h.Height {
		return nil, damaged(HEIC, "decodes to another size than it states")
	}
	rgba := image.NewRGBA(image.Rect(0, 0, bounds.Dx(), bounds.Dy()))
	draw.Draw(rgba, rgba.Rect, image.White, image.Point{}, draw.Src)
	draw.Draw(rgba, rgba.Rect, img, bounds.Min, draw.Over)
	full, err := gocv.NewMatFromBytes(bounds.Dy(), bounds.Dx(), gocv.MatTypeCV8UC4, rgba.Pix)
	if err != nil {
		return nil, damaged(HEIC, "cannot be decoded")
	}
	bgr := s.mat()
	gocv.CvtColor(*s.own(full), bgr, gocv.ColorRGBAToBGR)
	return bgr, nil
}
