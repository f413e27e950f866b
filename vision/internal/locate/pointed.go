package locate

import "slices"

// Disc is a place that somebody pointed out on the working picture, px.
type Disc struct{ X, Y, Radius float64 }

// withPointed adds the faces that somebody pointed to, in place of what was found
// there: a person sees that something is a half, the program where its edge lies.
func withPointed(p *picture, fs []face, pointed []Disc) []face {
	for _, d := range pointed {
		g, _ := roughRing(p, candidate{x: d.X, y: d.Y, r: d.Radius})
		f := weigh(p, g)
		f.evidence[DoubtLikeness] = max(0, sure-f.alone())
		fs = slices.DeleteFunc(fs, func(o face) bool { return !apart(f, []face{o}) })
		fs = append(fs, f)
	}
	return fs
}
