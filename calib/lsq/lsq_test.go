package lsq

import (
	"math"
	"math/rand/v2"
	"testing"
)

// NIST's Statistical Reference Datasets, Misra1a (dental research, monomolecular
// adsorption): y = b1 (1 - exp(-b2 x)), certified b1 = 238.94212918,
// b2 = 5.5015643181E-04 (data and values from memory).
var misraX = []float64{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0}
var misraY = []float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78}

func TestSolveAgainstNIST(t *testing.T) {
	p := Problem{
		Data: len(misraX), Alike: 1,
		Floor: 100, // so wide that no point loses any of its say: plain least squares
		Eval: func(b, r []float64) {
			for i, x := range misraX {
				r[i] = b[0]*(1-math.Exp(-b[1]*x)) - misraY[i]
			}
		},
	}
	got, err := p.Solve([]float64{250, 5e-4}, []float64{1e-3, 1e-9})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{238.94212918, 5.5015643181e-4} {
		if math.Abs(got.X[i]/want-1) > 1e-4 {
			t.Errorf("b%d = %.10g, want %.10g", i+1, got.X[i], want)
		}
	}
}

// One point in five far off does not move a line; a prior holds what the data
// leave open, and its uncertainty is then the prior's own.
func TestOutliersAndPriors(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	y := make([]float64, 100)
	for i := range y {
		y[i] = 2 + 0.03*float64(i) + 0.1*rnd.NormFloat64()
		if i%5 == 0 {
			y[i] += 3 + 5*rnd.Float64()
		}
	}
	p := Problem{Data: len(y), Priors: 1, Alike: 1, Floor: 1e-3, Eval: func(b, r []float64) {
		for i := range y {
			r[i] = b[0] + b[1]*float64(i) - y[i]
		}
		r[len(y)] = (b[2] - 7) / 0.5
	}}
	got, err := p.Solve([]float64{0, 0, 0}, []float64{1e-3, 1e-4, 1e-3})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.X[0]-2) > 0.1 || math.Abs(got.X[1]-0.03) > 0.002 || math.Abs(got.X[2]-7) > 1e-6 {
		t.Errorf("got %v", got.X)
	}
	if u := math.Sqrt(got.Cov.At(2, 2)); math.Abs(u-0.5) > 1e-6 {
		t.Errorf("the open parameter's uncertainty is %g", u)
	}
}
