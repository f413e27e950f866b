package locate

import (
	"image"
	"math"
	"slices"

	"gocv.io/x/gocv"

	"traystage/vision/internal/cielab"
	"traystage/vision/internal/parallel"
)

const (
	voteLong     = 400   // long side of the picture on which circles are voted for, px
	leastRadius  = 0.033 // smallest face looked for, in shares of the long side: 40 halves fit with room to spare
	mostRadius   = 0.42  // largest face: one half fills the frame
	radiusRatio  = 1.1   // from one radius tried to the next
	clearVotes   = 0.18  // share of a circle's edge that must vote for it
	leastVotes   = 0.13  // where the size of the halves is known
	voteSpread   = 0.07  // how far votes scatter around the centre, in radii: ellipses and lobed fruit are no circles
	faintestEdge = 1.5   // CIELAB units a pixel
	fullEdge     = 5.0   // from here on an edge is as good as any
)

// candidate is a circle that edges voted for, in pixels of the working picture.
type candidate struct {
	x, y, r float64
	votes   float64 // share of the circle's edge, about 0 to 1
}

// candidates votes for the centres of circles by the direction of edges, dark
// to light and light to dark alike, radius by radius (the Hough transform for
// circles with gradient direction, Kimme, Ballard and Sklansky 1975). The most
// voted come first.
func candidates(bgr gocv.Mat) []candidate {
	k := voteLong / float64(max(bgr.Cols(), bgr.Rows()))
	small := gocv.NewMat()
	defer small.Close()
	gocv.Resize(bgr, &small, image.Point{}, k, k, gocv.InterpolationArea)
	edges := findEdges(small)
	w, h := small.Cols(), small.Rows()
	var radii []float64
	for r := leastRadius * voteLong; r <= mostRadius*voteLong; r *= radiusRatio {
		radii = append(radii, r)
	}
	layers := make([]layer, len(radii))
	parallel.Each(len(radii), func(i int) { layers[i] = vote(edges, w, h, radii[i]) })
	crests := make([][]candidate, len(radii))
	parallel.Each(len(radii), func(i int) { crests[i] = crestsOf(layers, i) })
	out := slices.Concat(crests...)
	for i := range out {
		c := &out[i]
		// The last cells may reach beyond the picture.
		c.x, c.y, c.r = min(c.x, float64(w)-0.5)/k, min(c.y, float64(h)-0.5)/k, c.r/k
	}
	slices.SortStableFunc(out, func(a, b candidate) int { return cmpDown(a.votes, b.votes) })
	return thinOut(out)
}

// thinOut keeps, of candidates that would lead to the same outline, the two best.
func thinOut(cands []candidate) []candidate {
	const enough = 2
	var out []candidate
	for _, c := range cands {
		alike := 0
		for _, o := range out {
			dx, dy, near := c.x-o.x, c.y-o.y, 0.2*o.r
			if dx*dx+dy*dy < near*near && max(c.r, o.r) < 1.15*min(c.r, o.r) {
				alike++
			}
		}
		if alike < enough {
			out = append(out, c)
		}
	}
	return out
}

func cmpDown(a, b float64) int {
	switch {
	case a > b:
		return -1
	case a < b:
		return 1
	}
	return 0
}

// edge is a place where the colour changes, with the unit vector across it.
type edge struct{ x, y, dx, dy, weight float32 }

// findEdges gives the crests of the colour gradient: its strength is that of
// the direction in which the three channels together change most (Di Zenzo 1986).
func findEdges(bgr gocv.Mat) []edge {
	soft, gx, gy := gocv.NewMat(), gocv.NewMat(), gocv.NewMat()
	defer soft.Close()
	defer gx.Close()
	defer gy.Close()
	gocv.GaussianBlur(bgr, &soft, image.Pt(7, 7), 1, 1, gocv.BorderReplicate)
	lab, err := gocv.NewMatFromBytes(soft.Rows(), soft.Cols(), gocv.MatTypeCV8UC3, cielab.FromBGR(soft.ToBytes()))
	if err != nil {
		return nil
	}
	defer lab.Close()
	gocv.Sobel(lab, &gx, gocv.MatTypeCV16S, 1, 0, 3, 1, 0, gocv.BorderReplicate)
	gocv.Sobel(lab, &gy, gocv.MatTypeCV16S, 0, 1, 3, 1, 0, gocv.BorderReplicate)
	px, errX := gx.DataPtrInt16()
	py, errY := gy.DataPtrInt16()
	if errX != nil || errY != nil {
		return nil
	}
	w, h := bgr.Cols(), bgr.Rows()
	tensors := make([]tensor, w*h)
	for i := range tensors {
		tensors[i] = tensorOf(px[3*i:3*i+3], py[3*i:3*i+3])
	}
	var out []edge
	for y := 1; y < h-1; y++ {
		for x := 1; x < w-1; x++ {
			i := y*w + x
			t := &tensors[i]
			if t.power < faintestEdge*faintestEdge {
				continue
			}
			cos, sin := t.direction()
			next := int(math.Round(sin))*w + int(math.Round(cos))
			if tensors[i+next].power > t.power || tensors[i-next].power >= t.power {
				continue
			}
			strength := float32(math.Sqrt(float64(t.power)))
			out = append(out, edge{float32(x), float32(y), float32(cos), float32(sin), min(1, strength/fullEdge)})
		}
	}
	return out
}

// tensor is the structure tensor of one pixel: what the squares of the
// gradients of all channels add up to.
type tensor struct {
	across float32 // xx - yy
	skew   float32 // 2 xy
	power  float32 // the greater eigenvalue, CIELAB units squared
}

// tensorOf takes the Sobel gradients of three channels in x and in y.
func tensorOf(px, py []int16) tensor {
	var xx, xy, yy float32
	for c, unit := range toStar {
		// Sobel's kernel adds up to 8 times the change from pixel to pixel.
		a, b := float32(px[c])*unit/8, float32(py[c])*unit/8
		xx += a * a
		xy += a * b
		yy += b * b
	}
	t := tensor{across: xx - yy, skew: 2 * xy}
	t.power = (xx + yy + float32(math.Sqrt(float64(t.across*t.across+t.skew*t.skew)))) / 2
	return t
}

// direction is the unit vector along which the colour changes most, towards x.
func (t *tensor) direction() (cos, sin float64) {
	across, skew := float64(t.across), float64(t.skew)
	length := math.Sqrt(across*across + skew*skew)
	if length == 0 {
		return 1, 0
	}
	// The vector's angle is half that of (across, skew).
	cos = math.Sqrt(max(0, (1+across/length)/2))
	sin = math.Copysign(math.Sqrt(max(0, (1-across/length)/2)), skew)
	return cos, sin
}

// layer holds the votes for centres of circles of one radius, as shares of
// the whole circle, in cells of side x side pixels.
type layer struct {
	r     float64
	side  int
	w, h  int // cells
	votes []float32
}

// at is the layer's cell in which a pixel lies.
func (l *layer) at(x, y float64) float32 {
	return l.votes[min(int(y)/l.side, l.h-1)*l.w+min(int(x)/l.side, l.w-1)]
}

// cellSide is the greatest power of two, in pixels, that is at most half of what
// votes scatter: the larger the circle, the less exactly its centre is known.
func cellSide(sigma float64) int {
	side := 1
	for float64(4*side) <= sigma {
		side *= 2
	}
	return side
}

// vote counts for every cell of a picture of w x h pixels the edges of a circle
// of radius r around it.
func vote(edges []edge, w, h int, r float64) layer {
	sigma := voteSpread * r
	side := cellSide(sigma)
	l := layer{r: r, side: side, w: (w + side - 1) / side, h: (h + side - 1) / side}
	l.votes = make([]float32, l.w*l.h)
	m := gocv.NewMatWithSizeFromScalar(gocv.NewScalar(0, 0, 0, 0), l.h, l.w, gocv.MatTypeCV32F)
	defer m.Close()
	p, err := m.DataPtrFloat32()
	if err != nil {
		return l
	}
	sigma /= float64(side)
	// A full circle has 2 pi r edges; blurred, their votes peak at 2 pi r / (2 pi sigma^2).
	unit := float32(sigma * sigma / r)
	cell, reach := 1/float32(side), float32(r)/float32(side)
	right, down := float32(w)*cell, float32(h)*cell
	for i := range edges {
		e := &edges[i]
		x, y, dx, dy := (e.x+0.5)*cell, (e.y+0.5)*cell, e.dx*reach, e.dy*reach
		if x, y := x-dx, y-dy; x >= 0 && y >= 0 && x < right && y < down {
			p[int(y)*l.w+int(x)] += e.weight * unit
		}
		if x, y := x+dx, y+dy; x >= 0 && y >= 0 && x < right && y < down {
			p[int(y)*l.w+int(x)] += e.weight * unit
		}
	}
	wide := 2*int(math.Ceil(2.5*sigma)) + 1
	gocv.GaussianBlur(m, &m, image.Pt(wide, wide), sigma, sigma, gocv.BorderDefault)
	if p, err = m.DataPtrFloat32(); err == nil {
		copy(l.votes, p)
	}
	return l
}

// crestsOf lists the cells of layer i that have enough votes and no neighbour in
// place or radius with more.
func crestsOf(layers []layer, i int) []candidate {
	const reach = 2
	var out []candidate
	l := &layers[i]
	for y := range l.h {
	cells:
		for x, v := range l.votes[y*l.w : (y+1)*l.w] {
			if v < leastVotes {
				continue
			}
			for yy := max(0, y-reach); yy <= min(l.h-1, y+reach); yy++ {
				for _, o := range l.votes[yy*l.w+max(0, x-reach) : yy*l.w+min(l.w, x+reach+1)] {
					if o > v {
						continue cells
					}
				}
			}
			c := candidate{(float64(x) + 0.5) * float64(l.side), (float64(y) + 0.5) * float64(l.side), l.r, float64(v)}
			if i > 0 && layers[i-1].at(c.x, c.y) > v || i+1 < len(layers) && layers[i+1].at(c.x, c.y) > v {
				continue
			}
			out = append(out, c)
		}
	}
	return out
}
