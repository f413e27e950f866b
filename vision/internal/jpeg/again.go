package jpeg

import (
	"errors"
	"slices"
)

// again decodes the wanted rows of MCUs at full size: from where they begin, where that is known. It keeps only those, and of
// their blocks the lines by which seams are seen.
func (d *decoder) again(wanted []bool) (*decoder, error) {
	if !d.progressive && d.starts == nil {
		e := &decoder{ctx: d.ctx, b: d.b, by: 1, transform: -1, wanted: wanted}
		return e, e.segments()
	}
	e := *d
	e.by, e.wanted = 1, wanted
	e.components = slices.Clone(d.components)
	for i := range e.components {
		e.sized(&e.components[i])
		e.components[i].edges = true
	}
	if d.progressive {
		return &e, e.finish() // with the coefficients it has
	}
	return &e, e.rowsAgain()
}

// rowStart is the state in which a row of MCUs is begun, from which it can be decoded again without all before.
type rowStart struct {
	loaded int // where the data in bits begins
	pos    int
	acc    uint64
	n      uint
	left   int      // MCUs before the next restart marker
	last   [3]int32 // of the channels, in the scan's order
}

func (d *decoder) here(s *scan, left int) rowStart {
	r := rowStart{loaded: d.loaded, pos: d.bits.pos, acc: d.bits.acc, n: d.bits.n, left: left}
	for i, c := range s.parts {
		r.last[i] = c.last
	}
	return r
}

// rowsAgain decodes the wanted rows of a picture of one scan once more, each run of them by itself. It takes
// one core, as the scan has the other.
func (d *decoder) rowsAgain() error {
	var from []int
	for y, yes := range d.wanted {
		if yes && (y == 0 || !d.wanted[y-1]) {
			from = append(from, y)
		}
	}
	errs := make([]error, len(from))
	for i, y := range from {
		errs[i] = d.runAgain(y)
	}
	return errors.Join(errs...)
}

// runAgain decodes the wanted rows that follow each other from y on. Runs share the planes alone.
func (d *decoder) runAgain(y int) error {
	e := *d
	e.components = slices.Clone(d.components)
	if d.restart > 0 {
		e.bits, e.loaded = bits{}, -1 // they are loaded anew at each marker
	}
	s := &scan{}
	for _, c := range d.only.parts {
		s.parts = append(s.parts, e.find(c.id))
	}
	left := e.goTo(s, e.starts[y])
	for ; y < len(e.wanted) && e.wanted[y]; y++ {
		var err error
		if left, err = e.row(s, y, left, e.sequential); err != nil {
			return err
		}
	}
	return nil
}

// goTo begins anew where a row begins.
func (d *decoder) goTo(s *scan, r rowStart) (left int) {
	if r.loaded != d.loaded {
		d.at = r.loaded
		d.load()
	}
	d.bits.pos, d.bits.acc, d.bits.n = r.pos, r.acc, r.n
	for i, c := range s.parts {
		c.last = r.last[i]
	}
	return r.left
}
