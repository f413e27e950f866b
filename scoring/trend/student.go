package trend

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// enoughFreedom is the least number of degrees of freedom at which the quick
// form of Student's distribution is taken.
const enoughFreedom = 10

// student is the distribution function of Student's t. A forecast asks for it
// thousands of times, so with enough degrees of freedom the value is turned into
// a normal one; that is right to 1e-9, at a twentieth of the cost. Infinite
// freedom gives the normal distribution.
//
// Source: G. W. Hill, Algorithm 395: Student's t-distribution, Communications
// of the ACM 13, 1970.
func student(v, freedom float64) float64 {
	if freedom < enoughFreedom {
		return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.CDF(v)
	}
	z2 := v * v // square of the normal value with the same chance
	if !math.IsInf(z2, 1) && !math.IsInf(freedom, 1) {
		a := freedom - 0.5
		b := 48 * a * a
		y := a * math.Log1p(z2/freedom)
		more := 1 + (y+3+(((-0.4*y-3.3)*y-24)*y-85.5)/(0.8*y*y+100+b))/b
		z2 = y * more * more
	}
	return math.Erfc(-math.Copysign(math.Sqrt(z2/2), v)) / 2
}
