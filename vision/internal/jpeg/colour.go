package jpeg

import "traystage/vision/internal/parallel"

// channel is a component made as fine as the picture.
type channel struct {
	*component
	fx, fy int // samples of the picture for one of the plane's, across and down
}

// picture joins the planes.
func (d *decoder) picture() Picture {
	p := Picture{Cols: ceilDiv(d.width, d.by), Rows: ceilDiv(d.height, d.by)}
	p.BGR = make([]byte, 3*p.Cols*p.Rows)
	channels := make([]channel, len(d.components))
	for i := range d.components {
		c := &d.components[i]
		whole := 8 / d.by // samples that a block of the finest channel has
		channels[i] = channel{c, d.hMax / c.h * whole / c.side, d.vMax / c.v * whole / c.side}
	}
	const strip = 16
	parallel.Each(ceilDiv(p.Rows, strip), func(i int) {
		if d.ctx.Err() != nil {
			return
		}
		rows := make([][]byte, len(channels))
		for y := i * strip; y < min((i+1)*strip, p.Rows); y++ {
			for k := range channels {
				rows[k] = channels[k].row(y, p.Cols, rows[k])
			}
			d.join(p.BGR[3*y*p.Cols:3*(y+1)*p.Cols], rows)
		}
	})
	return p
}

// join writes one row of BGR.
func (d *decoder) join(out []byte, rows [][]byte) {
	switch {
	case len(rows) == 1:
		for x, v := range rows[0][:len(out)/3] {
			out[3*x], out[3*x+1], out[3*x+2] = v, v, v
		}
	case d.isRGB():
		for x := range len(out) / 3 {
			out[3*x], out[3*x+1], out[3*x+2] = rows[2][x], rows[1][x], rows[0][x]
		}
	default:
		joinYCC(out, rows[0], rows[1], rows[2])
	}
}

// isRGB is true where Adobe's segment or the channels' names say that the channels are red, green and blue.
func (d *decoder) isRGB() bool {
	if d.transform >= 0 {
		return d.transform == 0
	}
	return d.components[0].id == 'R' && d.components[1].id == 'G' && d.components[2].id == 'B'
}

// joinYCC turns lightness and two colour differences into BGR (JFIF 1.02, with factors times 2^16).
func joinYCC(out, luma, blues, reds []byte) {
	n := len(out) / 3
	luma, blues, reds = luma[:n], blues[:n], reds[:n]
	for x, v := range luma {
		y := int32(v)<<16 + 1<<15
		cb, cr := int32(blues[x])-128, int32(reds[x])-128
		o := out[3*x : 3*x+3 : 3*x+3]
		o[0] = clamp((y + 116130*cb) >> 16)
		o[1] = clamp((y - 22554*cb - 46802*cr) >> 16)
		o[2] = clamp((y + 91881*cr) >> 16)
	}
}

func clamp(v int32) byte { return byte(min(max(v, 0), 255)) }

// row gives a row of the picture of n samples. It may lie in the plane itself,
// else in buf, which is made anew where it is too short.
func (c *channel) row(y, n int, buf []byte) []byte {
	width := c.stride * c.side
	if c.fx == 1 && c.fy == 1 {
		return c.plane[y*width : y*width+n]
	}
	if len(buf) < n {
		buf = make([]byte, n)
	}
	near, far := c.nearest(y)
	a, b := c.plane[near*width:(near+1)*width], c.plane[far*width:(far+1)*width]
	last := ceilDiv(n, c.fx) - 1
	if c.fx != 2 {
		for x := range buf[:n] {
			buf[x] = byte((3*int(a[x/c.fx]) + int(b[x/c.fx]) + 2) >> 2)
		}
		return buf
	}
	// A pixel lies a quarter off the middle of its sample: three parts of that, one of the next.
	for x := 0; x <= last; x++ {
		before, after := max(x-1, 0), min(x+1, last)
		here := 3 * (3*int(a[x]) + int(b[x]))
		buf[2*x] = byte((here + 3*int(a[before]) + int(b[before]) + 8) >> 4)
		if 2*x+1 < n {
			buf[2*x+1] = byte((here + 3*int(a[after]) + int(b[after]) + 8) >> 4)
		}
	}
	return buf
}

// nearest gives the rows of the plane above and below the middle of a row of the picture, the nearer first.
func (c *channel) nearest(y int) (near, far int) {
	near = y / c.fy
	far = near
	if c.fy == 2 {
		far = near + 2*(y%2) - 1
	}
	return near, min(max(far, 0), c.rows*c.side-1)
}
