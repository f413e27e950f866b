package trend

import "math"

// supposition is what is taken for granted of one branch: the shape, how far the
// readings of a day stray together, and the rate. All of them are summed over.
type supposition struct {
	link link
	day  float64 // standard deviation of the error that all fruit of a day share, of progress
	rate float64 // progress a day at the usual pace
	log  float64 // logarithm of its weight before the samples

	// vague is the standard deviation of the age on the last day before there are
	// samples: more than a whole course either way.
	vague float64
}

// branch is the block's age under one supposition: a Gaussian process about a
// straight line in time, seen through link and cut. The posterior is Laplace's,
// with the curvature of Gauss and Newton.
//
// Source: C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine
// Learning, 2006, algorithms 3.1 and 3.2, whose names are kept here.
type branch struct {
	supposition
	weight float64 // of all together 1

	x     []float64 // days of the samples
	start float64   // age on day 0 before the samples, with a standard deviation of vague
	a     []float64 // K⁻¹(f-m)
	sqrtW []float64
	chol  []float64 // lower triangle of B = I + √W·K·√W, by rows
}

func (b *branch) expected(x float64) float64 { return b.start + b.rate*x }

// newBranch finds the posterior under a supposition. cov holds the drift's
// covariances between the samples.
func newBranch(s supposition, readings []reading, cov []float64) branch {
	n := len(readings)
	b := branch{supposition: s, a: make([]float64, n), sqrtW: make([]float64, n), chol: make([]float64, n*(n+1)/2)}
	l := laplace{branch: &b, readings: readings, cov: cov, f: make([]float64, n)}
	for _, r := range readings {
		b.x = append(b.x, r.x)
	}
	b.start = s.link.ageInside(readings[n-1].inside)
	b.weight = s.log + l.find()
	return b
}

// age gives the block's age on a day; together holds the drift's covariances of
// the day with those of the samples, and last with itself.
func (b *branch) age(x float64, together []float64) moment {
	n := len(b.x)
	var room [16]float64
	k := append(room[:0], b.x...)
	rate2 := b.rate * b.rate
	level := b.vague * b.vague
	mean, variance := b.expected(x), level+rate2*together[n]
	row := 0
	for i := range n {
		c := level + rate2*together[i]
		mean += c * b.a[i]
		v := b.sqrtW[i] * c
		for j := range i {
			v -= b.chol[row+j] * k[j]
		}
		v /= b.chol[row+i]
		row += i + 1
		k[i] = v
		variance -= v * v
	}
	return moment{mean, math.Sqrt(max(variance, tiny*tiny))}
}

// laplace looks for the ages that samples and drift make most likely.
type laplace struct {
	*branch
	readings []reading
	cov      []float64
	f        []float64 // ages on the days of the samples
}

// mostSteps ends the search; five are usual.
const mostSteps = 25

// find goes to the mode by Gauss and Newton's method and gives the logarithm of
// how likely the samples are, up to a constant.
func (l *laplace) find() float64 {
	for i, r := range l.readings {
		l.f[i] = l.link.ageInside(r.inside)
	}
	l.solve()
	cost := l.cost(l.f, l.a)
	for range mostSteps {
		f, a := append([]float64(nil), l.f...), append([]float64(nil), l.a...)
		l.solve()
		lower := l.cost(l.f, l.a)
		for half := 0; lower > cost && half < 8; half++ {
			for i := range l.f {
				l.f[i], l.a[i] = (l.f[i]+f[i])/2, (l.a[i]+a[i])/2
			}
			lower = l.cost(l.f, l.a)
		}
		if cost-lower < 1e-4 {
			break
		}
		cost = lower
	}
	likely := -l.cost(l.f, l.a)
	at := 0
	for i, r := range l.readings {
		likely -= math.Log(l.chol[at+i]) + math.Log(l.noise(r))/2
		at += i + 1
	}
	return likely
}

// noise is the variance of a reading about the curve.
func (l *laplace) noise(r reading) float64 {
	return r.variance + r.growth*r.growth*l.day*l.day
}

// seen is what is read at an age, and how fast that grows.
func (l *laplace) seen(age float64, r reading) (progress, growth float64) {
	p, g := l.link.at(age)
	read, c := cut(p, r.spread)
	return read, g * c
}

// cost is minus the logarithm of the posterior at ages f = m + K·a.
func (l *laplace) cost(f, a []float64) float64 {
	sum := 0.0
	for i, r := range l.readings {
		p, _ := l.seen(f[i], r)
		sum += a[i]*(f[i]-l.expected(r.x)) + (r.progress-p)*(r.progress-p)/l.noise(r)
	}
	return sum / 2
}

// solve takes one full step: it sets W, the factor of B, a and f.
func (l *laplace) solve() {
	n := len(l.readings)
	b := make([]float64, n) // W(f-m) + slope of the likelihood
	for i, r := range l.readings {
		p, g := l.seen(l.f[i], r)
		w := g * g / l.noise(r)
		l.sqrtW[i] = math.Sqrt(w)
		b[i] = w*(l.f[i]-l.expected(r.x)) + g*(r.progress-p)/l.noise(r)
	}
	l.factor()
	kb := l.times(b)
	for i := range kb {
		kb[i] *= l.sqrtW[i]
	}
	l.back(kb)
	for i := range b {
		l.a[i] = b[i] - l.sqrtW[i]*kb[i]
	}
	for i, v := range l.times(l.a) {
		l.f[i] = l.expected(l.readings[i].x) + v
	}
}

func (l *laplace) k(i, j int) float64 {
	return l.vague*l.vague + l.rate*l.rate*l.cov[i*len(l.readings)+j]
}

func (l *laplace) times(v []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		for j := range v {
			out[i] += l.k(i, j) * v[j]
		}
	}
	return out
}

// factor is Cholesky's of B.
func (l *laplace) factor() {
	row := 0
	for i := range l.readings {
		other := 0
		for j := 0; j <= i; j++ {
			v := l.sqrtW[i] * l.k(i, j) * l.sqrtW[j]
			for k := range j {
				v -= l.chol[row+k] * l.chol[other+k]
			}
			if i == j {
				l.chol[row+j] = math.Sqrt(1 + v)
			} else {
				l.chol[row+j] = v / l.chol[other+j]
			}
			other += j + 1
		}
		row += i + 1
	}
}

// back solves B·x = v in place.
func (l *laplace) back(v []float64) {
	row := 0
	for i := range v {
		for j := range i {
			v[i] -= l.chol[row+j] * v[j]
		}
		v[i] /= l.chol[row+i]
		row += i + 1
	}
	for i := len(v) - 1; i >= 0; i-- {
		row -= i + 1
		v[i] /= l.chol[row+i]
		for j := range i {
			v[j] -= l.chol[row+j] * v[i]
		}
	}
}
