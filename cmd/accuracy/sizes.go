package main

import (
	"bytes"
	"fmt"
	"image"
	"io"
	"math"
	"slices"
	"text/tabwriter"

	"github.com/disintegration/imaging"

	"traystage/vision"
)

// longSides are the sizes at which the same tray is measured, px of the long side.
// Trays that are painted are so at the first; photos that come smaller are enlarged,
// which adds no detail.
var longSides = []int{4000, 2000, 1600, 1280, 1000, 800}

const (
	// sizeBias is how far the stained fractions of a tray may move on average from the
	// largest size to any other.
	sizeBias = 0.005
	// sizedPhotos of each group are measured at all sizes; one where it has to be painted
	// at the largest.
	sizedPhotos = 2
	// sizedQuality is that of the JPEG of a tray of another size: high, so that
	// size alone differs.
	sizedQuality = 95
)

// sizes prints how the stained fractions of trays move with the size of the photo.
func sizes(w io.Writer, groups []group, j judge) (missed []string, err error) {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(tw, "stained fraction by long side, change from %d px\t", longSides[0])
	for _, long := range longSides {
		fmt.Fprintf(tw, "%d\t", long)
	}
	fmt.Fprintln(tw)
	for _, g := range groups {
		if g.kind.onGraded() || g.plates || g.name == "graded" || g.photos[0].chart == "" {
			continue
		}
		moved := make([][]float64, len(longSides))
		counts := make([]int, len(longSides))
		n := min(sizedPhotos, len(g.photos))
		if g.photos[0].large != nil {
			n = 1
		}
		for _, p := range g.photos[:n] {
			if err := j.sized(p, moved, counts); err != nil {
				return nil, err
			}
		}
		fmt.Fprintf(tw, "%v, mean\t", g)
		for i := range longSides {
			v, _ := mean(moved[i])
			star := ""
			if math.Abs(v) > sizeBias {
				star = "*"
				missed = append(missed, fmt.Sprintf("%v: at %d px stained fractions move by %+.4f, should be within %.3f", g, longSides[i], v, sizeBias))
			}
			fmt.Fprintf(tw, "%s%+.4f\t", star, v)
		}
		fmt.Fprintf(tw, "\n%v, mean size\t", g)
		for i := range longSides {
			v, _ := meanAbs(moved[i])
			fmt.Fprintf(tw, "%.4f\t", v)
		}
		fmt.Fprintf(tw, "\n%v, halves\t", g)
		for i := range longSides {
			fmt.Fprintf(tw, "%d\t", counts[i])
		}
		fmt.Fprintln(tw)
	}
	if err := tw.Flush(); err != nil {
		return nil, err
	}
	fmt.Fprintln(w)
	return missed, nil
}

// sized measures one photo at all sizes. It adds to moved, for each size, how far every
// half that was found at the first and at this one has moved, and to counts the
// halves found.
func (j judge) sized(p photo, moved [][]float64, counts []int) error {
	load := p.load
	if p.large != nil {
		load = p.large
	}
	data, truth, err := load()
	if err != nil {
		return err
	}
	upright, err := imaging.Decode(bytes.NewReader(data), imaging.AutoOrientation(true))
	if err != nil {
		return fmt.Errorf("%s: %w", p.name, err)
	}
	var first []float64
	for i, long := range longSides {
		fractions, err := j.fractionsAt(upright, truth, long)
		if err != nil {
			return fmt.Errorf("%s at %d px: %w", p.name, long, err)
		}
		if i == 0 {
			first = fractions
		}
		for k, f := range fractions {
			if math.IsNaN(f) {
				continue
			}
			counts[i]++
			if !math.IsNaN(first[k]) {
				moved[i] = append(moved[i], f-first[k])
			}
		}
	}
	return nil
}

// fractionsAt are the stained fractions of the true halves measured at one size, NaN where
// there is none.
func (j judge) fractionsAt(upright image.Image, truth trayTruth, long int) ([]float64, error) {
	factor := float64(long) / float64(max(truth.width, truth.height))
	wide, high := int(math.Round(float64(truth.width)*factor)), int(math.Round(float64(truth.height)*factor))
	var buf bytes.Buffer
	small := imaging.Resize(upright, wide, high, imaging.Lanczos)
	if err := imaging.Encode(&buf, small, imaging.JPEG, imaging.JPEGQuality(sizedQuality)); err != nil {
		return nil, err
	}
	tray, err := j.measure(buf.Bytes(), vision.Options{})
	if err != nil {
		tray = vision.Tray{} // what is not measured at this size is not found
	}
	pairs, _ := match(truth.scaled(factor), tray.Halves)
	out := make([]float64, len(pairs))
	for i, p := range pairs {
		out[i] = math.NaN()
		if p.found >= 0 && !truth.halves[i].clipped && !truth.halves[i].hidden() {
			if f, ok := tray.Halves[p.found].Stained(); ok {
				out[i] = f
			}
		}
	}
	return out, nil
}

// scaled is the truth of the photo made so many times as large.
func (t trayTruth) scaled(factor float64) trayTruth {
	t.width, t.height = int(math.Round(float64(t.width)*factor)), int(math.Round(float64(t.height)*factor))
	t.halves = slices.Clone(t.halves)
	for i := range t.halves {
		outline := slices.Clone(t.halves[i].outline)
		for k := range outline {
			outline[k].X, outline[k].Y = outline[k].X*factor, outline[k].Y*factor
		}
		t.halves[i].outline = outline
	}
	return t
}
