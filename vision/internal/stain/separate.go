package stain

// separation tells how much of two stains lies over a pixel: colour deconvolution. By the law of
// Beer and Lambert the densities of stains add, so the density in three bands is a sum of
// the stains' absorbances times their amounts, and the amounts are had by the inverse
// of the matrix of absorbances. The third row stands square on the two stains and takes what they do not explain.
//
// Source: Ruifrok and Johnston, Quantification of histochemical staining by color
// deconvolution, Analytical and Quantitative Cytology and Histology 23, 2001.
type separation [3][3]float64

func newSeparation(first, second [3]float64) separation {
	return inverse([3][3]float64{first, second, cross(first, second)})
}

// of gives the amounts of the two stains and of the rest for densities in red, green and blue.
func (s *separation) of(d [3]float64) (amounts [3]float64) {
	for band, v := range d {
		for k := range amounts {
			amounts[k] += v * s[band][k]
		}
	}
	return amounts
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// inverse of a matrix given by its rows, by cofactors. The rows must not lie in a plane.
func inverse(m [3][3]float64) (out [3][3]float64) {
	var columns [3][3]float64
	for i := range m {
		columns[i] = cross(m[(i+1)%3], m[(i+2)%3])
	}
	det := m[0][0]*columns[0][0] + m[0][1]*columns[0][1] + m[0][2]*columns[0][2]
	for i := range out {
		for j := range out[i] {
			out[i][j] = columns[j][i] / det
		}
	}
	return out
}
