package vision

import (
	"context"
	"image"

	"traystage/vision/internal/photo"
)

// Picture is the photo upright, its long side at most maxSide pixels, for
// showing. Errors are those of Measure.
func Picture(bytes []byte, maxSide int, opt Options) (*image.NRGBA, error) {
	opt = opt.withDefaults()
	p, err := photo.Load(context.Background(), bytes, photo.Limits{MaxPixels: opt.MaxPixels, TargetLong: maxSide})
	if err != nil {
		return nil, err
	}
	img := image.NewNRGBA(image.Rect(0, 0, p.Cols, p.Rows))
	for i := range p.Cols * p.Rows {
		img.Pix[4*i], img.Pix[4*i+1], img.Pix[4*i+2], img.Pix[4*i+3] = p.Pix[3*i+2], p.Pix[3*i+1], p.Pix[3*i], 255
	}
	return img, nil
}
