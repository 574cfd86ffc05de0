package calib

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// rimSighting is a circle in a photo: points on it, and what is known of its
// place and size through them.
type rimSighting struct {
	view   int
	points [sightingPoints]Point // px, evenly round the rim
	whiten Mat3                  // lower triangle that turns (dx, dy, dR) into units of their noise
}

// sightingPoints is how many points stand for a rim; more would tell no more
// of a circle.
const sightingPoints = 12

func newRimSighting(cam Camera, s Sighting) (rimSighting, error) {
	fit, err := fitTraced(cam, s.Traced)
	if err != nil {
		return rimSighting{}, err
	}
	cov := fit.Cov
	if s.Fitted != nil {
		cov = *s.Fitted
	}
	wave := slowWaves(onPlane(cam, s.Traced), fit)
	light := rimU(cam.PxPerMM(fit.Centre, s.Z))
	for i := range 3 {
		cov[i][i] += light*light + wave*wave + s.TraceU*s.TraceU
	}
	whiten, ok := whitening(cov)
	if !ok {
		return rimSighting{}, errNoCircle
	}
	r := rimSighting{view: s.View, whiten: whiten}
	for k := range sightingPoints {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / sightingPoints)
		r.points[k] = cam.Project(Vec3{fit.Centre.X + fit.R*cos, fit.Centre.Y + fit.R*sin, s.Z})
	}
	return r, nil
}

// whitening is the inverse of the Cholesky factor of a covariance.
func whitening(cov [3][3]float64) (w Mat3, ok bool) {
	var chol mat.Cholesky
	if !chol.Factorize(mat.NewSymDense(3, []float64{
		cov[0][0], cov[0][1], cov[0][2], cov[0][1], cov[1][1], cov[1][2], cov[0][2], cov[1][2], cov[2][2]})) {
		return w, false
	}
	var l, inv mat.TriDense
	chol.LTo(&l)
	if err := inv.InverseTri(&l); err != nil {
		return w, false
	}
	for i := range 3 {
		for j := range i + 1 {
			w[i][j] = inv.At(i, j)
		}
	}
	return w, true
}

// miss is how far the circle that the photo shows lies off a circle in the
// plane at z: in x, y and radius, mm. The rim's points lie evenly, so that
// their mean is its centre.
func (r rimSighting) miss(cam Camera, c Circle, z float64) (dx, dy, dr float64) {
	var at [sightingPoints]Point
	var middle Point
	for i, px := range r.points {
		at[i] = cam.ToPlane(px, z)
		middle = middle.Add(at[i].Mul(1.0 / sightingPoints))
	}
	radius := 0.0
	for _, p := range at {
		radius += p.Dist(middle) / sightingPoints
	}
	return middle.X - c.Centre.X, middle.Y - c.Centre.Y, radius - c.R
}
