package calib

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib/lsq"
)

// Group is an input of the measurement, by which its uncertainty is told.
type Group string

// The inputs of a pose. GroupEdges is the photo's own noise; each other one is
// known before the photo is measured, as a prior.
const (
	GroupEdges      Group = "edges"      // of the squares, as found in the photo
	GroupSize       Group = "size"       // of the squares as printed and measured
	GroupFlat       Group = "flatness"   // of the squares' paper
	GroupBloom      Group = "bloom"      // ink spread, blur and light over the edges
	GroupFocal      Group = "focal"      // length
	GroupCentre     Group = "centre"     // the principal point
	GroupDistortion Group = "distortion" // of the lens
)

// prior is what is known of one parameter before the photo is measured: it is
// 0, with standard uncertainty u.
//
// A shy one is for what most photos have none of and some have much, such as
// distortion. Solved for freely it would only pass the edges' noise on, so it
// is held to 0 more tightly than u says, unless the photo shows it clearly: far
// from 0 it is hardly held at all (a Cauchy distribution).
type prior struct {
	param int
	u     float64
	group Group
	shy   bool
}

// shyness is how much more tightly than its uncertainty says a shy prior holds
// near 0.
const shyness = 5

// residual is the prior's pull on a parameter's value.
func (p prior) residual(v float64) float64 {
	v /= p.u
	if !p.shy {
		return v
	}
	v *= shyness
	return math.Copysign(math.Sqrt(2*math.Log1p(v*v/2)), v)
}

// weight is how much the prior adds to the normal equations at a parameter's
// value.
func (p prior) weight(v float64) float64 {
	h := 1e-3 * p.u / shyness
	slope := (p.residual(v+h) - p.residual(v-h)) / (2 * h)
	return slope * slope
}

// variance is what the prior's own uncertainty contributes to the normal
// equations: its weight, and more where it was held more tightly than known.
func (p prior) variance(v float64) float64 {
	w := p.weight(v)
	return math.Max(w, w*w*p.u*p.u)
}

// contributions returns what each input contributes to the covariance of the
// solution; together they are the covariance. The solution is linear in the
// edges' errors and the priors', so with the normal equations' inverse C and
// an input's own part S of them, that is C S C (JCGM 100:2008, 5.1.3, with the
// sensitivities of weighted least squares).
func contributions(res *lsq.Result, known []prior) map[Group]*mat.SymDense {
	parts := map[Group]*mat.SymDense{}
	part := func(g Group) *mat.SymDense {
		if parts[g] == nil {
			parts[g] = mat.NewSymDense(len(res.X), nil)
		}
		return parts[g]
	}
	edges := part(GroupEdges) // what the priors do not contribute: C - C P C
	edges.CopySym(res.Cov)
	for _, p := range known {
		row := mat.NewVecDense(len(res.X), nil)
		for i := range res.X {
			row.SetVec(i, res.Cov.At(i, p.param))
		}
		v := res.X[p.param]
		edges.SymRankOne(edges, -p.weight(v), row)
		prior := part(p.group)
		prior.SymRankOne(prior, p.variance(v), row)
	}
	return parts
}

// sumOf adds covariances up, in one order, so that a run repeats to the last
// digit.
func sumOf(parts map[Group]*mat.SymDense) *mat.SymDense {
	var sum *mat.SymDense
	for _, g := range Groups {
		switch p := parts[g]; {
		case p == nil:
		case sum == nil:
			sum = mat.NewSymDense(p.SymmetricDim(), nil)
			sum.CopySym(p)
		default:
			sum.AddSym(sum, p)
		}
	}
	return sum
}
