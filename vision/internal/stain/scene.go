package stain

import "traystage/vision/internal/parallel"

// scene is what is seen of a tray.
type scene struct {
	faces   []Face
	patches []*patch
	samples [][]sample // flesh of each face
	rings   [][]sample // ground around each
	curve   *curve

	// Where a shadow ends on it alone, see inSmall.
	reliefs []*relief
	flanks  []*flanks
	radius  float64 // the middle of the faces', px
}

// sceneOf takes a tray out of the picture. mixedRim is as in Model.
func sceneOf(p Picture, faces []Face, mixedRim float64, c *curve) scene {
	s := scene{faces: faces, patches: make([]*patch, len(faces)), samples: make([][]sample, len(faces)), curve: c}
	parallel.Each(len(faces), func(i int) {
		s.patches[i] = cut(p, faces[i], mixedRim)
		s.samples[i] = s.patches[i].samples(c)
	})
	s.rings = groundAround(p, faces, c)
	return s
}

// inSmall is the scene with every face in small.
func (s scene) inSmall() scene {
	s.reliefs, s.flanks = make([]*relief, len(s.patches)), make([]*flanks, len(s.patches))
	parallel.Each(len(s.patches), func(i int) {
		s.reliefs[i] = s.patches[i].relief(s.curve)
		s.flanks[i] = s.reliefs[i].flanks()
	})
	radii := make([]float64, len(s.faces))
	for i, f := range s.faces {
		radii[i] = f.Radius
	}
	s.radius = quantile(radii, 0.5)
	return s
}
