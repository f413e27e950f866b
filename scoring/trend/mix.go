package trend

import "math"

// negligible is the weight from which a branch counts, as a part of the weightiest.
const negligible = 2e-3

// branchOut finds the posterior under every supposition and keeps those whose
// weight is at least least of the weightiest.
func (t *Trend) branchOut(suppositions []supposition, readings []reading, least float64) {
	n := len(readings)
	cov := make([]float64, n*n)
	for i := range readings {
		for j := range readings {
			cov[i*n+j] = t.drift.together(readings[i].x, readings[j].x)
		}
	}
	var all []branch
	best := math.Inf(-1)
	for _, s := range suppositions {
		one := newBranch(s, readings, cov)
		best = math.Max(best, one.weight)
		all = append(all, one)
	}
	sum, left := 0.0, 0.0
	for _, one := range all {
		one.weight = math.Exp(one.weight - best)
		sum += one.weight
		if one.weight >= least {
			t.branches = append(t.branches, one)
			left += one.weight
		}
	}
	for i := range t.branches {
		t.branches[i].weight /= left
	}
	t.evidence = best + math.Log(sum)
}

// moment is a branch's age on one day.
type moment struct{ mean, sd float64 }

// moments are those of all branches on a day. Windows of several markets ask for
// the same days, so they are kept.
func (t *Trend) moments(x float64) []moment {
	t.mu.Lock()
	defer t.mu.Unlock()
	if m, ok := t.known[x]; ok {
		return m
	}
	out := make([]moment, len(t.branches))
	cov := make([]float64, len(t.Samples)+1)
	for i, s := range t.Samples {
		cov[i] = t.drift.together(x, t.days(s.Day))
	}
	cov[len(t.Samples)] = t.drift.strayed(x)
	for i := range t.branches {
		if t.held {
			out[i] = t.branches[i].heldAt(x)
		} else {
			out[i] = t.branches[i].age(x, cov)
		}
	}
	t.known[x] = out
	return out
}

// Nodes and weights of Gauss and Hermite's rule for the error that all samples
// share.
//
// Source: M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions, 1964,
// table 25.10, for the normal density: the zeros of x³ - 3x.
var (
	sharedNodes   = [3]float64{-math.Sqrt(3), 0, math.Sqrt(3)}
	sharedWeights = [3]float64{1. / 6, 2. / 3, 1. / 6}
)

// goal is a target as each shape sees it: the age there, moved by the error that
// all samples share.
type goal struct {
	always, never bool // before all, and only neared
	ages          [links][3]float64
}

func (t *Trend) goal(progress float64) goal {
	var g goal
	if t.measure.course.curved() && !t.held {
		g.always, g.never = progress <= 0, progress >= 1
	}
	for l := range links {
		for k, z := range sharedNodes {
			g.ages[l][k] = l.ageInside(progress + t.common*z)
		}
	}
	return g
}

// beyond is the chance that the block has reached the goal on day x.
func (t *Trend) beyond(x float64, g goal) float64 {
	switch {
	case g.always:
		return 1
	case g.never:
		return 0
	}
	sum := 0.0
	for i, m := range t.moments(x) {
		b := &t.branches[i]
		ages := g.ages[b.link]
		if t.common == 0 {
			sum += b.weight * normal((m.mean-ages[1])/m.sd)
			continue
		}
		for k, weight := range sharedWeights {
			sum += b.weight * weight * normal((m.mean-ages[k])/m.sd)
		}
	}
	return sum
}

// normal is the distribution function of the normal distribution.
func normal(z float64) float64 {
	if z < -9 || z > 9 {
		if z > 0 {
			return 1
		}
		return 0
	}
	return math.Erfc(-z/math.Sqrt2) / 2
}
