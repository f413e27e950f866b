package photo

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/png"

	"traystage/vision/internal/jpeg"
)

// reductionFor picks the strongest reduction, 8, 4, 2 or 1, that leaves at least
// targetLong pixels on the long side. Only JPEG gains by it.
func reductionFor(h Header, targetLong int) int {
	if h.Format == JPEG && targetLong > 0 {
		for by := 8; by > 1; by /= 2 {
			if ceilDiv(max(h.Width, h.Height), by) >= targetLong {
				return by
			}
		}
	}
	return 1
}

func ceilDiv(a, b int) int { return (a + b - 1) / b }

// decode gives the picture as stored, reduced to targetLong, with Width and Height
// as stored and without Taken.
func decode(ctx context.Context, b []byte, h Header, targetLong int) (Photo, error) {
	if h.Format == HEIC {
		return decodeHEIC(ctx, b, h, targetLong)
	}
	by := reductionFor(h, targetLong)
	src, err := sourceOf(ctx, b, h, by)
	if err := ctx.Err(); err != nil {
		return Photo{}, err
	}
	if err != nil {
		return Photo{}, err
	}
	if src.cols != ceilDiv(h.Width, by) || src.rows != ceilDiv(h.Height, by) {
		return Photo{}, damaged(h.Format, "decodes to another size than it states")
	}
	p := planned(h.Width, h.Height, targetLong)
	p.Damaged = src.damaged
	if p.Pix, err = reduce(ctx, src, p.Cols, p.Rows); err != nil {
		return Photo{}, err
	}
	return p, nil
}

// planned is a photo of a size, reduced to targetLong, without pixels as yet.
func planned(width, height, targetLong int) Photo {
	p := Photo{Width: width, Height: height, Scale: 1}
	if long := max(width, height); targetLong > 0 && long > targetLong {
		p.Scale = float64(long) / float64(targetLong)
	}
	p.Cols, p.Rows = scaled(width, p.Scale), scaled(height, p.Scale)
	return p
}

func scaled(full int, scale float64) int {
	return max(1, int(float64(full)/scale+0.5))
}

// sourceOf decodes everything but HEIC, JPEG at 1/by of its size.
func sourceOf(ctx context.Context, b []byte, h Header, by int) (source, error) {
	if h.Format == JPEG {
		p, err := jpeg.Decode(ctx, b, by)
		switch {
		case errors.Is(err, jpeg.ErrUnusual):
			return source{}, notPhoto("this JPEG "+err.Error(), "save it as an ordinary JPEG")
		case errors.Is(err, jpeg.ErrDamaged):
			return source{}, damaged(JPEG, err.Error())
		case err != nil:
			return source{}, err
		}
		return source{p.Cols, p.Rows, func(y int, _ []byte) ([]byte, error) {
			return p.BGR[3*y*p.Cols : 3*(y+1)*p.Cols], nil
		}, p.Seam > 0}, nil
	}
	if h.Format == WebP {
		img, err := decodeWebP(ctx, b)
		if err != nil {
			return source{}, err
		}
		return sourceFrom(img)
	}
	img, err := decoded(func() (image.Image, error) { return png.Decode(reader{ctx, bytes.NewReader(b)}) })
	if err != nil {
		return source{}, damaged(h.Format, "cannot be decoded")
	}
	return sourceFrom(img)
}

// decoded is what a library makes of a picture. That it panics on what it does
// not expect is no reason to end the program.
func decoded(read func() (image.Image, error)) (img image.Image, err error) {
	defer func() {
		if recover() != nil {
			img, err = nil, errors.New("cannot be decoded")
		}
	}()
	return read()
}

// reader ends with its context.
type reader struct {
	ctx context.Context
	r   *bytes.Reader
}

func (r reader) Read(p []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	// In small bites, so that the context is looked at.
	return r.r.Read(p[:min(len(p), 1<<14)])
}
