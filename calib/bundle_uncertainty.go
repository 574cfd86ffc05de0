package calib

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib/lsq"
)

// contributions is what each input contributes to the covariance of x, y, R
// and z of each circle in turn (see contributions of a pose): that of a prior is
// its own, that of the rims is their sightings' part of the normal equations,
// and the rest is the squares' edges'.
func (m *bundleModel) contributions(res *lsq.Result) map[Group]*mat.SymDense {
	n := 4 * len(m.tracks)
	if n == 0 {
		return nil
	}
	gain := func(gradient []float64) *mat.VecDense { // C times a gradient, in the circles' rows
		out := mat.NewVecDense(n, nil)
		for j, v := range gradient {
			if v == 0 {
				continue
			}
			for i := range n {
				out.SetVec(i, out.AtVec(i)+res.Cov.At(m.first+i, j)*v)
			}
		}
		return out
	}
	parts := map[Group]*mat.SymDense{}
	edges := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			edges.SetSym(i, j, res.Cov.At(m.first+i, m.first+j))
		}
	}
	add := func(g Group, weight, variance float64, moves *mat.VecDense) {
		if parts[g] == nil {
			parts[g] = mat.NewSymDense(n, nil)
		}
		parts[g].SymRankOne(parts[g], variance, moves)
		edges.SymRankOne(edges, -weight, moves)
	}
	for _, p := range m.known {
		gradient := make([]float64, len(res.X))
		gradient[p.param] = 1
		v := res.X[p.param] - p.about
		add(p.group, p.weight(v), p.variance(v), gain(gradient))
	}
	for i, gradient := range m.sightingGradients(res.X) {
		if w := res.Weights[m.edges+i] / (res.Scale * res.Scale); w > 0 {
			add(GroupRim, w, w, gain(gradient))
		}
	}
	parts[GroupEdges] = edges
	return parts
}

// covariance is that of all parameters: the solver's, and what it leaves out
// of priors that were held more tightly than they are known.
func (m *bundleModel) covariance(res *lsq.Result) *mat.SymDense {
	n := len(res.X)
	cov := mat.NewSymDense(n, nil)
	cov.CopySym(res.Cov)
	for _, p := range m.known {
		v := res.X[p.param] - p.about
		if more := p.variance(v) - p.weight(v); more > 0 {
			row := mat.NewVecDense(n, nil)
			for i := range n {
				row.SetVec(i, res.Cov.At(i, p.param))
			}
			cov.SymRankOne(cov, more, row)
		}
	}
	return cov
}

// sightingGradients is how each of the sightings' residuals changes with the
// parameters.
func (m *bundleModel) sightingGradients(x []float64) [][]float64 {
	jac := make([][]float64, m.data-m.edges)
	for i := range jac {
		jac[i] = make([]float64, len(x))
	}
	lo, hi := make([]float64, m.data+m.priors), make([]float64, m.data+m.priors)
	y := slices.Clone(x)
	for j := range x {
		y[j] = x[j] + m.steps[j]
		m.eval(y, hi)
		y[j] = x[j] - m.steps[j]
		m.eval(y, lo)
		y[j] = x[j]
		for i := range jac {
			jac[i][j] = (hi[m.edges+i] - lo[m.edges+i]) / (2 * m.steps[j])
		}
	}
	return jac
}

// birge is how much larger the sightings' misses are than their noise as it
// was first taken.
func (m *bundleModel) birge(res *lsq.Result) float64 {
	sum, n := 0.0, 0.0
	for i := m.edges; i < m.data; i++ {
		if w := res.Weights[i]; w > 0 {
			sum += w * res.Residuals[i] * res.Residuals[i]
			n += w
		}
	}
	free := n - 4*float64(len(m.tracks))
	if free < 3 {
		return m.rimScale
	}
	return math.Max(1, m.rimScale*math.Sqrt(sum/free))
}
