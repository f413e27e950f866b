package vision

import (
	"fmt"

	"traystage/vision/internal/stain"
)

// Constant is one number that measuring takes as known.
type Constant struct {
	Name    string
	Meaning string // with its unit
	Value   float64
}

// Constants lists what the model of a face takes as known: light, flesh, stain and camera.
func Constants() []Constant {
	var out []Constant
	m := stain.Default()
	for _, c := range stain.Constants() {
		out = append(out, Constant{c.Name, c.Meaning, *c.Of(&m)})
	}
	return out
}

// Varied gives options that measure with one constant times a factor, to see how much rests on
// it. The error says that there is no constant of that name.
func (o Options) Varied(name string, factor float64) (Options, error) {
	o = o.withDefaults()
	m := *o.model
	for _, c := range stain.Constants() {
		if c.Name == name {
			*c.Of(&m) *= factor
			o.model = &m
			return o, nil
		}
	}
	return o, fmt.Errorf("no constant %q: see Constants", name)
}
