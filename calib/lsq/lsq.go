// Package lsq solves robust non-linear least-squares problems: the pose, and
// the rims' profiles. Its methods are the textbooks': Levenberg-Marquardt steps
// inside iteratively re-weighted least squares with Tukey's biweight
// (P. J. Huber and E. M. Ronchetti, Robust Statistics, 2nd ed., 4.8 and 7.8).
package lsq

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Problem is a robust non-linear least-squares problem. Residuals come in two
// parts: data (in any one unit; their scale is estimated from the data
// itself) and priors (already divided by their standard deviation, never
// treated as outliers).
type Problem struct {
	Data   int // number of data residuals
	Priors int // number of prior residuals, after the data
	// Eval fills r (data, then priors) at x.
	Eval func(x, r []float64)
	// Jacobian fills jac with the derivatives of r at x; nil for differences of Eval.
	Jacobian func(x []float64, jac *mat.Dense)
	// Alike is how many data residuals carry one independent error; 1 when all
	// are independent. The data's weight is reduced by it.
	Alike float64
	// Floor is the smallest data scale believed, in the data's unit.
	Floor float64
	// Rounds is the most steps tried; 0 stands for 100.
	Rounds int
}

// Result is the solution of a Problem.
type Result struct {
	X         []float64
	Cov       *mat.SymDense // of X
	Scale     float64       // robust standard deviation of the data residuals
	Weights   []float64     // of the data residuals at the end: 0 (outlier) to 1
	Residuals []float64     // data only
}

// ErrNoSolution says that the data do not settle every parameter.
var ErrNoSolution = errors.New("the equations have no stable solution")

// mostDamping is where a step is too short to matter: it stands at a kink.
const mostDamping = 1e3

// tukey is the biweight's tuning constant: 95 % efficient on normal data
// (Huber and Ronchetti, Robust Statistics, 2nd ed., 4.8).
const tukey = 4.685

// Solve runs Levenberg-Marquardt steps inside iteratively re-weighted least
// squares with Tukey's biweight. steps gives the finite-difference step and so
// the natural size of each parameter.
func (p Problem) Solve(x0, steps []float64) (*Result, error) {
	n, m := p.Data+p.Priors, len(x0)
	x := slices.Clone(x0)
	r := make([]float64, n)
	w := make([]float64, n)
	jac := mat.NewDense(n, m, nil)
	scale := math.Inf(1)
	for i := range w {
		w[i] = 1
	}
	lambda := 0.0 // plain Gauss-Newton as long as it helps
	p.Eval(x, r)
	rounds := p.Rounds
	if rounds == 0 {
		rounds = 100
	}
	for range rounds {
		previous := scale
		scale = math.Max(p.Floor, MAD(r[:p.Data]))
		for i := range p.Data {
			w[i] = Biweight(r[i]/scale) / (scale * scale * p.Alike)
		}
		p.jacobian(x, steps, jac)
		normal, rhs := normalEquations(jac, w, r)
		step, ok := dampedStep(normal, rhs, lambda)
		if !ok {
			return nil, ErrNoSolution
		}
		trial := make([]float64, m)
		for i := range x {
			trial[i] = x[i] + step[i]
		}
		tr := make([]float64, n)
		p.Eval(trial, tr)
		// A damped step is short wherever the data say little, so only a plain
		// step that is short tells that the solution is reached.
		reached := lambda == 0 && small(step, steps) && math.Abs(scale-previous) < 1e-4*scale
		// Rounding alone may raise the cost by this much at the solution.
		if cost(tr, w) > cost(r, w)*(1+1e-9)+1e-12 {
			if lambda = math.Max(10*lambda, 1e-6); reached || lambda > mostDamping {
				break
			}
			continue
		}
		x, r = trial, tr
		if reached {
			break
		}
		if lambda /= 10; lambda < 1e-7 {
			lambda = 0
		}
	}
	scale = math.Max(p.Floor, MAD(r[:p.Data]))
	for i := range p.Data {
		w[i] = Biweight(r[i]/scale) / (scale * scale * p.Alike)
	}
	p.jacobian(x, steps, jac)
	normal, _ := normalEquations(jac, w, r)
	var chol mat.Cholesky
	if !chol.Factorize(normal) {
		return nil, ErrNoSolution
	}
	cov := mat.NewSymDense(m, nil)
	if err := chol.InverseTo(cov); err != nil {
		return nil, ErrNoSolution
	}
	for i := range w {
		w[i] *= scale * scale * p.Alike
	}
	return &Result{X: x, Cov: cov, Scale: scale, Weights: w[:p.Data], Residuals: r[:p.Data]}, nil
}

// jacobian fills jac, by central differences if the problem has none of its own.
func (p Problem) jacobian(x, steps []float64, jac *mat.Dense) {
	if p.Jacobian != nil {
		p.Jacobian(x, jac)
		return
	}
	n := p.Data + p.Priors
	lo, hi := make([]float64, n), make([]float64, n)
	y := slices.Clone(x)
	for j := range x {
		y[j] = x[j] + steps[j]
		p.Eval(y, hi)
		y[j] = x[j] - steps[j]
		p.Eval(y, lo)
		y[j] = x[j]
		for i := range n {
			jac.Set(i, j, (hi[i]-lo[i])/(2*steps[j]))
		}
	}
}

func normalEquations(jac *mat.Dense, w, r []float64) (*mat.SymDense, []float64) {
	n, m := jac.Dims()
	a := mat.NewSymDense(m, nil)
	b := make([]float64, m)
	raw := make([]float64, m*m)
	for i := range n {
		if w[i] == 0 {
			continue
		}
		row := jac.RawRowView(i)
		for j, v := range row {
			wv := w[i] * v
			b[j] -= wv * r[i]
			for k := j; k < m; k++ {
				raw[j*m+k] += wv * row[k]
			}
		}
	}
	for j := range m {
		for k := j; k < m; k++ {
			a.SetSym(j, k, raw[j*m+k])
		}
	}
	return a, b
}

func dampedStep(normal *mat.SymDense, rhs []float64, lambda float64) ([]float64, bool) {
	m := len(rhs)
	damped := mat.NewSymDense(m, nil)
	damped.CopySym(normal)
	for i := range m {
		damped.SetSym(i, i, normal.At(i, i)*(1+lambda))
	}
	var chol mat.Cholesky
	if !chol.Factorize(damped) {
		return nil, false
	}
	var s mat.VecDense
	if err := chol.SolveVecTo(&s, mat.NewVecDense(m, rhs)); err != nil {
		return nil, false
	}
	return s.RawVector().Data, true
}

func cost(r, w []float64) float64 {
	sum := 0.0
	for i, v := range r {
		sum += w[i] * v * v
	}
	return sum
}

func small(step, steps []float64) bool {
	for i := range step {
		if math.Abs(step[i]) > 0.1*steps[i] {
			return false
		}
	}
	return true
}

// Biweight is Tukey's weight for a residual in units of the scale.
func Biweight(u float64) float64 {
	u /= tukey
	if math.Abs(u) >= 1 {
		return 0
	}
	v := 1 - u*u
	return v * v
}

// MAD is the median absolute value scaled to a normal standard deviation.
func MAD(r []float64) float64 {
	if len(r) == 0 {
		return 0
	}
	a := make([]float64, len(r))
	for i, v := range r {
		a[i] = math.Abs(v)
	}
	slices.Sort(a)
	return 1.4826 * a[len(a)/2]
}
