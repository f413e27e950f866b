package stain

import "math"

// A shadow that ends on a face shows its flesh, and its stain, twice: in the sun and darker by the depth of the shadow. Lifted rightly, both lie at one
// brightness, and the histogram of the face has less entropy. Lifted wrongly, what was one brightness lies at two, and it has more. So entropy tells a
// shadow from stain whose edge looks like that of one (G. D. Finlayson, M. S. Drew and C. Lu, Intrinsic Images by Entropy Minimization, 2004).

const (
	entropyStep  = 0.04 // log10: about how far flesh of one face in one light scatters
	entropyBins  = 160
	entropyFloor = -3.5 // log10; what is darker counts as so dark
)

// gain is by how much the entropy of faces on which a shadow ends is less without it, nats, the mean of their cells; 0 where it ends on none.
func (s *shadow) gain(reliefs []*relief) float64 {
	sum, cells := 0.0, 0.0
	for i, r := range reliefs {
		if len(s.ends[i]) == 0 {
			continue
		}
		asSeen, lifted := &histogram{}, &histogram{}
		r.each(func(u, v float64, c [3]float64) {
			b := brightness(c)
			asSeen.add(b)
			lifted.add(b + brightness(dims(gone(s.ends[i], u, v), s.depth)))
		})
		sum += asSeen.n * (asSeen.entropy() - lifted.entropy())
		cells += asSeen.n
	}
	return sum / math.Max(cells, 1)
}

// entropyOf is that of the histogram of brightnesses, nats.
func entropyOf(of []float64) float64 {
	var h histogram
	for _, b := range of {
		h.add(b)
	}
	return h.entropy()
}

// histogram counts brightnesses, each in the two bins that are nearest in proportion, so that it does not hang on where bins begin.
type histogram struct {
	of [entropyBins + 1]float64
	n  float64
}

func (h *histogram) add(brightness float64) {
	at := math.Min(math.Max((brightness-entropyFloor)/entropyStep, 0), entropyBins)
	k := min(int(at), entropyBins-1)
	h.of[k] += 1 - (at - float64(k))
	h.of[k+1] += at - float64(k)
	h.n++
}

// entropy is Shannon's, nats.
func (h *histogram) entropy() (e float64) {
	for _, n := range h.of {
		if p := n / h.n; n > 0 {
			e -= p * math.Log(p)
		}
	}
	return e
}
