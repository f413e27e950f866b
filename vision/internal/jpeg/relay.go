package jpeg

// A relay turns decoded blocks into samples a row of MCUs at a time, while the rows below are decoded: codes can only be read
// one after the other, but that is half of the work.
type relay struct {
	rows chan []block // decoded
	free chan []block // to be filled
	done chan struct{}
}

// block is a decoded block and where its samples go.
type block struct {
	of    *component
	at    int
	last  int // place of its last coefficient, in zigzag order, that is not zero
	coefs [64]int32
}

// rowsAhead is how many rows of MCUs are on their way at once, at most.
const rowsAhead = 3

// RowBytes is the most bytes that rows on their way take for a pixel of the photo's width. An MCU holds at most ten
// blocks (ITU-T T.81, B.2.3) and is at least one block wide.
const RowBytes = rowsAhead * 10 * blockBytes / 8

// blockBytes is how many bytes a block takes.
const blockBytes = 280

// relayed begins a relay for so many rows of so many blocks. It tells the watch, if there is one, of every row.
func relayed(rows, blocks int, w *watch) *relay {
	r := &relay{make(chan []block, rowsAhead), make(chan []block, rowsAhead), make(chan struct{})}
	for range min(rows, rowsAhead) {
		r.free <- make([]block, 0, blocks)
	}
	go func() {
		defer close(r.done)
		for row := range r.rows {
			for i := range row {
				b := &row[i]
				b.of.put(b.at, &b.coefs, b.last)
				b.coefs = [64]int32{} // for the next one
			}
			r.free <- row[:0]
			if w != nil {
				w.rows <- struct{}{}
			}
		}
	}()
	return r
}

// end waits until all rows are samples.
func (r *relay) end() {
	close(r.rows)
	<-r.done
}
