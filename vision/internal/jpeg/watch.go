package jpeg

import "slices"

// A watch looks for seams in the rows of MCUs while those below them are decoded, with the core that
// the scan leaves idle.
type watch struct {
	d    decoder       // as it was when the scan began; it shares its planes, and where rows begin
	rows chan struct{} // one for each row decoded
	done chan struct{}
	seam float64 // as findSeam gives it
	err  error
}

const (
	// together is how many rows of MCUs are looked at together. Fewer are decoded twice more often where
	// two such parts meet, more are looked at later.
	together = 32
	// below is how many rows below them must be decoded.
	below = aside + 2
)

// watched begins to watch the scan that is about to be decoded.
func (d *decoder) watched() *watch {
	w := &watch{d: *d, rows: make(chan struct{}, d.mcusY), done: make(chan struct{})}
	w.d.components = slices.Clone(d.components)
	go w.look()
	return w
}

func (w *watch) look() {
	defer close(w.done)
	down, decoded := w.d.mcusY, 0
	for from := 0; from < down && w.seam == 0 && w.err == nil; from += together {
		to := min(from+together, down)
		for ; decoded < min(to+below, down); decoded++ {
			if _, ok := <-w.rows; !ok {
				return // the scan has failed
			}
		}
		w.seam, w.err = w.d.seamIn(from, to)
	}
}

// end waits until all is looked at, or the scan has failed.
func (w *watch) end() {
	if w != nil {
		<-w.done
	}
}
