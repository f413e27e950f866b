package stain

// normal gathers the normal equations of a plane z = a + b*u + c*v.
type normal struct {
	n, u, v, uu, uv, vv, z, uz, vz float64
}

// add takes a point with weight w.
func (a *normal) add(u, v, z, w float64) {
	a.n += w
	a.u += w * u
	a.v += w * v
	a.uu += w * u * u
	a.uv += w * u * v
	a.vv += w * v * v
	a.z += w * z
	a.uz += w * u * z
	a.vz += w * v * z
}

// hold pulls the slopes towards (b, c) with the weight of so many points at
// one unit's distance (ridge regression about a given value).
func (a *normal) hold(weight, b, c float64) {
	a.uu += weight
	a.vv += weight
	a.uz += weight * b
	a.vz += weight * c
}

// solve gives the least-squares plane. One point or more and a hold on the
// slopes make it unique.
func (a *normal) solve() (level, slopeU, slopeV float64) {
	// Centred on the mean of the points, the two slopes stand alone.
	mu, mv, mz := a.u/a.n, a.v/a.n, a.z/a.n
	uu, uv, vv := a.uu-a.n*mu*mu, a.uv-a.n*mu*mv, a.vv-a.n*mv*mv
	uz, vz := a.uz-a.n*mu*mz, a.vz-a.n*mv*mz
	det := uu*vv - uv*uv
	slopeU = (uz*vv - vz*uv) / det
	slopeV = (vz*uu - uz*uv) / det
	return mz - slopeU*mu - slopeV*mv, slopeU, slopeV
}
