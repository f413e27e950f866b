package photo

import (
	"context"
	"math"
)

// shares says which part of each source pixel falls into which pixel of the
// smaller row: first into one, the rest into the next.
type shares struct {
	to    []int32
	first []float32 // of the reduced pixel's weight 1
	rest  []float32
}

// sharesOf spreads full pixels over few.
func sharesOf(full, few int) shares {
	s := shares{make([]int32, full), make([]float32, full), make([]float32, full)}
	k := float64(few) / float64(full) // width of a source pixel in reduced ones
	for i := range full {
		from, to := float64(i)*k, float64(i+1)*k
		at := math.Floor(from + 1e-9)
		edge := math.Min(to, at+1)
		s.to[i] = int32(math.Min(at, float64(few-1)))
		s.first[i] = float32(edge - from)
		if rest := to - edge; rest > 1e-9 && int(at)+1 < few {
			s.rest[i] = float32(rest)
		}
	}
	return s
}

// reduce makes a picture of cols x rows pixels, no more than the source has, each
// the mean of what it covers.
func reduce(ctx context.Context, src source, cols, rows int) ([]byte, error) {
	out := make([]byte, 0, 3*cols*rows)
	buf := make([]byte, 3*src.cols)
	if cols == src.cols && rows == src.rows {
		for y := range rows {
			row, err := src.row(y, buf)
			if err != nil {
				return nil, err
			}
			out = append(out, row...)
		}
		return out, ctx.Err()
	}
	across, down := sharesOf(src.cols, cols), sharesOf(src.rows, rows)
	// One cell more at the end takes what rounding may leave over.
	line, here, next := make([]float32, 3*cols+3), make([]float32, 3*cols), make([]float32, 3*cols)
	for y := range src.rows {
		if y%64 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		row, err := src.row(y, buf)
		if err != nil {
			return nil, err
		}
		across.add(line, row)
		first, rest := down.first[y], down.rest[y]
		for i := range here {
			here[i] += first * line[i]
			next[i] += rest * line[i]
		}
		if y+1 == src.rows || down.to[y+1] != down.to[y] {
			for _, v := range here {
				out = append(out, byte(min(v+0.5, 255)))
			}
			here, next = next, here
			clear(next)
		}
	}
	return out, nil
}

// add makes line the row of BGR, reduced.
func (s shares) add(line []float32, row []byte) {
	clear(line)
	for x, to := range s.to {
		p, o := row[3*x:3*x+3:3*x+3], line[3*to:3*to+6:3*to+6]
		b, g, r := float32(p[0]), float32(p[1]), float32(p[2])
		first, rest := s.first[x], s.rest[x]
		o[0] += first * b
		o[1] += first * g
		o[2] += first * r
		o[3] += rest * b
		o[4] += rest * g
		o[5] += rest * r
	}
}
