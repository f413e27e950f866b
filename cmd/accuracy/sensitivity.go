package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"text/tabwriter"

	"traystage/vision"
)

// tuneFactors are what each constant is multiplied with, one at a time.
var tuneFactors = []float64{0.7, 1.3}

// tunable is a model whose constants can be moved: their names, and measuring with
// one of them multiplied with a factor.
type tunable struct {
	constants []string
	measure   func(photo []byte, constant string, factor float64) (vision.Tray, error)
}

// movable are the constants of vision that can be moved.
func movable() tunable {
	var names []string
	for _, c := range vision.Constants() {
		names = append(names, c.Name)
	}
	return tunable{names, func(photo []byte, constant string, factor float64) (vision.Tray, error) {
		opt := vision.Options{Printed: true}
		if constant != "" {
			var err error
			if opt, err = opt.Varied(constant, factor); err != nil {
				return vision.Tray{}, err
			}
		}
		return vision.Measure(photo, opt)
	}}
}

// sensitivity prints by how much the mean error of the stained fraction changes, by
// world, when a constant is 30 % smaller or larger, and the halves that are then found more
// or less. A constant that changes nothing anywhere earns nothing.
func sensitivity(w io.Writer, groups []group, model tunable) error {
	if len(model.constants) == 0 {
		fmt.Fprintln(w, "note: no constants can be moved: no table of sensitivity")
		return nil
	}
	worlds, photos := photosByWorld(groups)
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(tw, "mean error of the stained fraction\t")
	for _, world := range worlds {
		fmt.Fprintf(tw, "%s\t", world)
	}
	fmt.Fprintln(tw)
	var base []score
	fmt.Fprint(tw, "as it is\t")
	for _, world := range worlds {
		s, err := model.score(photos[world], "", 1)
		if err != nil {
			return err
		}
		base = append(base, s)
		v, _ := meanAbs(s.all())
		fmt.Fprintf(tw, "%.4f\t", v)
	}
	fmt.Fprintln(tw)
	for _, name := range model.constants {
		for _, factor := range tuneFactors {
			fmt.Fprintf(tw, "%s x %.1f\t", name, factor)
			for i, world := range worlds {
				s, err := model.score(photos[world], name, factor)
				if err != nil {
					return err
				}
				fmt.Fprintf(tw, "%s\t", moved(base[i], s))
			}
			fmt.Fprintln(tw)
		}
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w)
	return nil
}

// moved is the change of the mean error, with the change of halves found where there is one.
func moved(base, s score) string {
	a, _ := meanAbs(base.all())
	b, _ := meanAbs(s.all())
	text := fmt.Sprintf("%+.4f", b-a)
	if math.Abs(b-a) < 5e-5 {
		text = "0"
	}
	if d := s.found - s.falses - base.found + base.falses; d != 0 {
		text += fmt.Sprintf(" (%+d)", d)
	}
	return text
}

// all are the errors of all stained fractions, of hidden halves too.
func (s score) all() []float64 { return slices.Concat(s.stained, s.hidden) }

// score measures photos with one constant moved.
func (m tunable) score(photos []photo, constant string, factor float64) (score, error) {
	j := judge{measure: func(photo []byte, _ vision.Options) (vision.Tray, error) { return m.measure(photo, constant, factor) }}
	outcomes, err := j.run(photos, false)
	var s score
	for _, o := range outcomes {
		s.add(o)
	}
	return s, err
}

// photosByWorld are the photos with halves, each once, and those without that could
// be taken for some.
func photosByWorld(groups []group) (worlds []string, photos map[string][]photo) {
	photos = map[string][]photo{}
	for _, p := range callable(groups) {
		if !slices.Contains(worlds, p.world) {
			worlds = append(worlds, p.world)
		}
		photos[p.world] = append(photos[p.world], p)
	}
	return worlds, photos
}
