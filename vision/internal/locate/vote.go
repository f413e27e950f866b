package locate

import (
	"image"
	"math"
	"slices"

	"gocv.io/x/gocv"

	"traystage/vision/internal/parallel"
)

const (
	voteLong     = 400   // long side of the picture on which circles are voted for, px
	leastRadius  = 0.033 // smallest face looked for, in shares of the long side: 40 halves fit with room to spare
	mostRadius   = 0.42  // largest face: one half fills the frame
	radiusRatio  = 1.1   // from one radius tried to the next
	leastVotes   = 0.18  // share of a circle's edge that must vote for it
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
	layers := make([][]float32, len(radii))
	parallel.Each(len(radii), func(i int) { layers[i] = voteLayer(edges, w, h, radii[i]) })
	scale := 1 / k
	var out []candidate
	for i, r := range radii {
		for y := range h {
			for x := range w {
				if v := layers[i][y*w+x]; v >= leastVotes && crest(layers, i, x, y, w, h) {
					out = append(out, candidate{(float64(x) + 0.5) * scale, (float64(y) + 0.5) * scale, r * scale, float64(v)})
				}
			}
		}
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
			if math.Hypot(c.x-o.x, c.y-o.y) < 0.2*o.r && math.Abs(math.Log(c.r/o.r)) < 0.16 {
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

// crest says whether no neighbour in place or radius has more votes.
func crest(layers [][]float32, i, x, y, w, h int) bool {
	v := layers[i][y*w+x]
	for yy := max(0, y-2); yy <= min(h-1, y+2); yy++ {
		for xx := max(0, x-2); xx <= min(w-1, x+2); xx++ {
			if layers[i][yy*w+xx] > v {
				return false
			}
		}
	}
	return (i == 0 || layers[i-1][y*w+x] <= v) && (i+1 == len(layers) || layers[i+1][y*w+x] <= v)
}

// edge is a place where the colour changes, with the unit vector across it.
type edge struct{ x, y, dx, dy, weight float32 }

// findEdges gives the crests of the colour gradient: its strength is that of
// the direction in which the three channels together change most (Di Zenzo 1986).
func findEdges(bgr gocv.Mat) []edge {
	lab, gx, gy := gocv.NewMat(), gocv.NewMat(), gocv.NewMat()
	defer lab.Close()
	defer gx.Close()
	defer gy.Close()
	gocv.GaussianBlur(bgr, &lab, image.Pt(7, 7), 1, 1, gocv.BorderReplicate)
	gocv.CvtColor(lab, &lab, gocv.ColorBGRToLab)
	// Sobel's kernel adds up to 8 times the change from pixel to pixel
	gocv.Sobel(lab, &gx, gocv.MatTypeCV16S, 1, 0, 3, 1, 0, gocv.BorderReplicate)
	gocv.Sobel(lab, &gy, gocv.MatTypeCV16S, 0, 1, 3, 1, 0, gocv.BorderReplicate)
	px, errX := gx.DataPtrInt16()
	py, errY := gy.DataPtrInt16()
	if errX != nil || errY != nil {
		return nil
	}
	w, h := bgr.Cols(), bgr.Rows()
	strength := make([]float32, w*h)
	tensor := func(i int) (xx, xy, yy float32) {
		for c := range 3 {
			a, b := float32(px[3*i+c])*toStar[c]/8, float32(py[3*i+c])*toStar[c]/8
			xx += a * a
			xy += a * b
			yy += b * b
		}
		return xx, xy, yy
	}
	for i := range strength {
		xx, xy, yy := tensor(i)
		strength[i] = float32(math.Sqrt(0.5 * float64(xx+yy+float32(math.Sqrt(float64((xx-yy)*(xx-yy)+4*xy*xy))))))
	}
	var out []edge
	for y := 1; y < h-1; y++ {
		for x := 1; x < w-1; x++ {
			i := y*w + x
			m := strength[i]
			if m < faintestEdge {
				continue
			}
			xx, xy, yy := tensor(i)
			sin, cos := math.Sincos(0.5 * math.Atan2(float64(2*xy), float64(xx-yy)))
			next := int(math.Round(sin))*w + int(math.Round(cos))
			if strength[i+next] > m || strength[i-next] >= m {
				continue
			}
			out = append(out, edge{float32(x), float32(y), float32(cos), float32(sin), min(1, m/fullEdge)})
		}
	}
	return out
}

// voteLayer counts for every pixel the edges of a circle of radius r around it,
// as a share of the whole circle.
func voteLayer(edges []edge, w, h int, r float64) []float32 {
	votes := gocv.NewMatWithSizeFromScalar(gocv.NewScalar(0, 0, 0, 0), h, w, gocv.MatTypeCV32F)
	defer votes.Close()
	p, err := votes.DataPtrFloat32()
	if err != nil {
		return make([]float32, w*h)
	}
	for _, e := range edges {
		for _, s := range [2]float32{-float32(r), float32(r)} {
			x, y := int(e.x+s*e.dx+0.5), int(e.y+s*e.dy+0.5)
			if x >= 0 && y >= 0 && x < w && y < h {
				p[y*w+x] += e.weight
			}
		}
	}
	sigma := voteSpread * r
	// Two box filters of this width together have about the sigma wanted.
	box := 2*int(math.Sqrt(6*sigma*sigma+1)/2) + 1
	for range 2 {
		gocv.BoxFilter(votes, &votes, -1, image.Pt(box, box))
	}
	sigma = math.Sqrt(float64(box*box-1) / 6)
	p, err = votes.DataPtrFloat32()
	if err != nil {
		return make([]float32, w*h)
	}
	// A full circle has 2 pi r edges; blurred, their votes peak at 2 pi r / (2 pi sigma^2).
	out := make([]float32, w*h)
	for i, v := range p {
		out[i] = v * float32(sigma*sigma/r)
	}
	return out
}
