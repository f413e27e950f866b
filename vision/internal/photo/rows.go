package photo

import (
	"image"
	"image/color"
)

// source gives the rows of a decoded picture one by one, so that no second copy
// of it is needed at full size.
type source struct {
	cols, rows int
	// row gives row y as BGR on white, 3 bytes a pixel, as many as buf holds: it may be written there.
	row     func(y int, buf []byte) ([]byte, error)
	damaged bool // it seems to be, though it could be decoded
}

// sourceFrom takes what the decoders give.
func sourceFrom(img image.Image) (source, error) {
	size := img.Bounds()
	s := source{cols: size.Dx(), rows: size.Dy()}
	switch img := img.(type) {
	case *image.RGBA: // of a PNG without alpha
		s.row = func(y int, buf []byte) ([]byte, error) {
			at := img.PixOffset(size.Min.X, size.Min.Y+y)
			return onWhite(buf, img.Pix[at:]), nil
		}
	case *image.NRGBA:
		s.row = func(y int, buf []byte) ([]byte, error) {
			at := img.PixOffset(size.Min.X, size.Min.Y+y)
			return onWhite(buf, img.Pix[at:]), nil
		}
	case *image.Gray:
		s.row = func(y int, buf []byte) ([]byte, error) {
			at := img.PixOffset(size.Min.X, size.Min.Y+y)
			for x := range len(buf) / 3 {
				v := img.Pix[at+x]
				buf[3*x], buf[3*x+1], buf[3*x+2] = v, v, v
			}
			return buf, nil
		}
	case *image.YCbCr:
		s.row = func(y int, buf []byte) ([]byte, error) { return fromYCC(img, y, buf), nil }
	case *image.NYCbCrA:
		s.row = func(y int, buf []byte) ([]byte, error) {
			fromYCC(&img.YCbCr, y, buf)
			at := img.AOffset(size.Min.X, size.Min.Y+y)
			for x := range len(buf) / 3 {
				lighten(buf[3*x:3*x+3], int(img.A[at+x]))
			}
			return buf, nil
		}
	default: // palettes and 16 bits a channel
		s.row = func(y int, buf []byte) ([]byte, error) {
			for x := range len(buf) / 3 {
				c := color.NRGBA64Model.Convert(img.At(size.Min.X+x, size.Min.Y+y)).(color.NRGBA64)
				buf[3*x], buf[3*x+1], buf[3*x+2] = narrow(c.B), narrow(c.G), narrow(c.R)
				lighten(buf[3*x:3*x+3], int(narrow(c.A)))
			}
			return buf, nil
		}
	}
	return s, nil
}

// narrow makes 8 bits of 16: 65535 = 257 * 255.
func narrow(v uint16) byte { return byte((uint32(v) + 128) / 257) }

// onWhite lays a row of RGBA pixels, alpha not multiplied in, on white paper.
func onWhite(buf, rgba []byte) []byte {
	for x := range len(buf) / 3 {
		p, o := rgba[4*x:4*x+4:4*x+4], buf[3*x:3*x+3:3*x+3]
		o[0], o[1], o[2] = p[2], p[1], p[0]
		if p[3] != 255 {
			lighten(o, int(p[3]))
		}
	}
	return buf
}

// lighten lets white show through a pixel: c*a + white*(1-a), rounded.
func lighten(bgr []byte, alpha int) {
	for i, c := range bgr {
		bgr[i] = byte((int(c)*alpha + 255*(255-alpha) + 127) / 255)
	}
}

// fromYCC turns a row of lightness and colour differences over the full range into BGR.
func fromYCC(img *image.YCbCr, y int, buf []byte) []byte {
	min := img.Rect.Min
	for x := range len(buf) / 3 {
		c := img.COffset(min.X+x, min.Y+y)
		r, g, b := color.YCbCrToRGB(img.Y[img.YOffset(min.X+x, min.Y+y)], img.Cb[c], img.Cr[c])
		buf[3*x], buf[3*x+1], buf[3*x+2] = b, g, r
	}
	return buf
}
