package photo

import (
	"image"

	"gocv.io/x/gocv"
)

// scope owns what one call took from OpenCV; Close gives it back, newest first.
type scope struct{ done []func() error }

func (s *scope) own(m gocv.Mat) *gocv.Mat {
	s.done = append(s.done, m.Close)
	return &m
}

func (s *scope) mat() *gocv.Mat { return s.own(gocv.NewMat()) }

func (s *scope) Close() {
	for i := len(s.done) - 1; i >= 0; i-- {
		// Closing a Mat cannot fail; the error is there for an interface's sake.
		_ = s.done[i]()
	}
}

// reduction is a way to decode a JPEG at a part of its size, which skips most of the work.
type reduction struct {
	by   int
	flag gocv.IMReadFlag
}

var reductions = []reduction{
	{8, gocv.IMReadReducedColor8},
	{4, gocv.IMReadReducedColor4},
	{2, gocv.IMReadReducedColor2},
}

// reductionFor picks the strongest reduction that leaves at least targetLong
// pixels on the long side. Only JPEG gains by it.
func reductionFor(h Header, targetLong int) reduction {
	if h.Format == JPEG && targetLong > 0 {
		for _, r := range reductions {
			if ceilDiv(max(h.Width, h.Height), r.by) >= targetLong {
				return r
			}
		}
	}
	return reduction{1, gocv.IMReadColor}
}

func ceilDiv(a, b int) int { return (a + b - 1) / b }

// decode gives the picture as stored, reduced to targetLong, with Width and Height
// as stored and without Taken.
func decode(b []byte, h Header, targetLong int) (Photo, error) {
	var s scope
	defer s.Close()
	r := reductionFor(h, targetLong)
	bgr, err := s.bgr(b, h, r)
	if err != nil {
		return Photo{}, err
	}
	p := Photo{Width: h.Width, Height: h.Height, Scale: 1}
	if r.by == 1 {
		// A HEIC may crop itself.
		p.Width, p.Height = bgr.Cols(), bgr.Rows()
	}
	if long := max(p.Width, p.Height); targetLong > 0 && long > targetLong {
		p.Scale = float64(long) / float64(targetLong)
	}
	p.Cols, p.Rows = scaled(p.Width, p.Scale), scaled(p.Height, p.Scale)
	if p.Cols != bgr.Cols() || p.Rows != bgr.Rows() {
		small := s.mat()
		gocv.Resize(*bgr, small, image.Pt(p.Cols, p.Rows), 0, 0, gocv.InterpolationArea)
		bgr = small
	}
	p.Pix = bgr.ToBytes()
	return p, nil
}

func scaled(full int, scale float64) int {
	return max(1, int(float64(full)/scale+0.5))
}

// bgr decodes to 3 channels of 8 bits, reduced by r.
func (s *scope) bgr(b []byte, h Header, r reduction) (*gocv.Mat, error) {
	if h.Format == HEIC {
		return s.decodeHEIC(b, h)
	}
	flag := r.flag | gocv.IMReadIgnoreOrientation
	if h.alpha {
		flag = gocv.IMReadUnchanged // the one way to get alpha; it ignores orientation too
	}
	m, err := gocv.IMDecode(b, flag)
	if err != nil {
		return nil, damaged(h.Format, "cannot be decoded")
	}
	pic := s.own(m)
	// IMDecode logs what goes wrong and answers with an empty Mat.
	if pic.Empty() || pic.Cols() != ceilDiv(h.Width, r.by) || pic.Rows() != ceilDiv(h.Height, r.by) {
		return nil, damaged(h.Format, "cannot be decoded")
	}
	if h.alpha {
		return s.onWhite(pic, h)
	}
	if pic.Type() != gocv.MatTypeCV8UC3 {
		return nil, damaged(h.Format, "decodes to something other than colour pixels")
	}
	return pic, nil
}
