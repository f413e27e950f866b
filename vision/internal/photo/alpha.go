package photo

import "gocv.io/x/gocv"

// onWhite lays a see-through picture of 8 or 16 bits a channel on white paper.
func (s *scope) onWhite(pic *gocv.Mat, h Header) (*gocv.Mat, error) {
	switch pic.Type() {
	case gocv.MatTypeCV16UC1, gocv.MatTypeCV16UC3, gocv.MatTypeCV16UC4:
		narrow := s.mat()
		// 65535 = 257 * 255
		pic.ConvertToWithParams(narrow, gocv.MatTypeCV8U, 1.0/257, 0)
		pic = narrow
	}
	bgr := s.mat()
	switch pic.Type() {
	case gocv.MatTypeCV8UC1:
		gocv.CvtColor(*pic, bgr, gocv.ColorGrayToBGR)
		return bgr, nil
	case gocv.MatTypeCV8UC3:
		return pic, nil
	case gocv.MatTypeCV8UC4:
		flat, err := gocv.NewMatFromBytes(pic.Rows(), pic.Cols(), gocv.MatTypeCV8UC3, blendWhite(pic.ToBytes()))
		if err != nil {
			return nil, damaged(h.Format, "cannot be decoded")
		}
		return s.own(flat), nil
	}
	return nil, damaged(h.Format, "decodes to something other than colour pixels")
}

// blendWhite turns BGRA pixels, alpha not multiplied in, into BGR on white:
// c*a + white*(1-a), rounded.
func blendWhite(bgra []byte) []byte {
	out := make([]byte, 0, len(bgra)/4*3)
	for i := 0; i+3 < len(bgra); i += 4 {
		a := int(bgra[i+3])
		for _, c := range bgra[i : i+3] {
			out = append(out, byte((int(c)*a+255*(255-a)+127)/255))
		}
	}
	return out
}
