package calib

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib/lsq"
)

// OutlineFit is an outline fitted to points.
type OutlineFit struct {
	Outline
	RMS float64 // robust standard deviation of the points about it, mm
}

var errNoOutline = errors.New("the points do not lie on the outline")

// FitOutline fits an outline of the start's shape to points on it: the squared
// distances are least, robustly (lsq). floor is the smallest standard deviation
// believed, mm. It starts from the start, which should be within a fifth of its
// width.
func FitOutline(pts []Point, start Outline, floor float64) (OutlineFit, error) {
	if start.Shape == ShapeFree {
		return fitFree(pts, start.Centre, floor)
	}
	x0, steps := start.Vector()
	if len(pts) < len(x0)+2 {
		return OutlineFit{}, errNoOutline
	}
	fit, err := lsq.Problem{
		Data: len(pts), Priors: len(x0), Alike: 1, Floor: floor,
		Eval: func(x, r []float64) {
			o := start.With(x)
			for i, p := range pts {
				r[i] = o.Distance(p)
			}
			start.Priors(x, r[len(pts):])
		},
	}.Solve(x0, steps)
	if err != nil {
		return OutlineFit{}, errNoOutline
	}
	o := start.With(fit.X)
	if !o.sound() {
		return OutlineFit{}, errNoOutline
	}
	return OutlineFit{o.Upright(), fit.Scale}, nil
}

// Vector returns the outline's parameters, for a fit, and their natural steps:
// centre x and y, turn, the two halves, and a rectangle's corner.
func (o Outline) Vector() (x, steps []float64) {
	h := 1e-3 * math.Max(o.Half[0], o.Half[1])
	x = []float64{o.Centre.X, o.Centre.Y, o.Turn, o.Half[0], o.Half[1]}
	steps = []float64{h, h, 1e-3, h, h}
	if o.hasCorner() {
		x, steps = append(x, o.Corner), append(steps, h)
	}
	return x, steps
}

func (o Outline) hasCorner() bool {
	return o.Shape == ShapeRectangle || o.Shape == ShapeRoundedSquare
}

// With returns an outline of the same shape with those parameters.
func (o Outline) With(x []float64) Outline {
	o.Centre, o.Turn = Point{x[0], x[1]}, x[2]
	o.Half = [2]float64{x[3], x[4]}
	if o.hasCorner() {
		o.Corner = x[5]
	}
	return o
}

// Priors writes how far the parameters have gone from the outline's, in what is
// hardly possible: they settle what the points do not, such as which way a
// nearly round oval lies.
func (o Outline) Priors(x, r []float64) {
	size := math.Max(o.Half[0], o.Half[1])
	from, _ := o.Vector()
	for i := range from {
		r[i] = (x[i] - from[i]) / size
	}
	r[2] = x[2] - from[2]
}

// sound tells whether an outline is of its kind at all.
func (o Outline) sound() bool {
	for _, v := range []float64{o.Centre.X, o.Centre.Y, o.Turn, o.Half[0], o.Half[1], o.Corner} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	if o.Shape == ShapeD {
		return o.Half[0] > 0 && math.Abs(o.Half[1]) < o.Half[0]
	}
	return o.Half[0] > 0 && o.Half[1] > 0
}

// Upright puts the long width first, and the turn between -90 and 90 degrees (a D's between
// -180 and 180).
func (o Outline) Upright() Outline {
	if o.Shape == ShapeD {
		o.Turn = math.Remainder(o.Turn, 2*math.Pi)
		return o
	}
	if o.Half[0] < o.Half[1] {
		o.Half[0], o.Half[1] = o.Half[1], o.Half[0]
		o.Turn += math.Pi / 2
	}
	o.Turn = math.Remainder(o.Turn, math.Pi)
	o.Corner = math.Min(math.Max(o.Corner, 0), o.Half[1])
	return o
}

// freeWaves is up to how many waves a free outline's radius has round it:
// enough for a triangle's rounded corners.
const freeWaves = 20

// wavePull is a point's error, mm, against a wave as high as the mean radius: a
// weak pull, which only a gap in the points feels.
const wavePull = 0.05

// freeRadii is how many radii tell a free outline.
const freeRadii = 180

// fitFree fits a free outline: its radius about a middle as a Fourier series,
// robustly, then told anew about the centroid of its area. Points must lie all
// round.
func fitFree(pts []Point, middle Point, floor float64) (OutlineFit, error) {
	var series []float64
	var rms float64
	for range 4 {
		var ok bool
		if series, rms, ok = fitWaves(pts, middle, floor); !ok {
			return OutlineFit{}, errNoOutline
		}
		polygon := make([]Point, 720)
		for i := range polygon {
			t := 2 * math.Pi * float64(i) / float64(len(polygon))
			s, c := math.Sincos(t)
			polygon[i] = middle.Add(Point{c, s}.Mul(wavesAt(series, t)))
		}
		_, centroid := PolygonArea(polygon)
		if centroid.Dist(middle) < 1e-4 {
			break
		}
		middle = centroid
	}
	o := Outline{Shape: ShapeFree, Centre: middle, Radii: make([]float64, freeRadii)}
	for i := range o.Radii {
		o.Radii[i] = wavesAt(series, 2*math.Pi*float64(i)/freeRadii)
	}
	return OutlineFit{o, rms}, nil
}

func wavesAt(series []float64, t float64) float64 {
	r := series[0]
	for k := 1; 2*k < len(series); k++ {
		s, c := math.Sincos(float64(k) * t)
		r += series[2*k-1]*c + series[2*k]*s
	}
	return r
}

// fitWaves fits the radius about a middle.
func fitWaves(pts []Point, middle Point, floor float64) (series []float64, rms float64, ok bool) {
	m := 2*freeWaves + 1
	if len(pts) < 2*m {
		return nil, 0, false
	}
	angle, radius := make([]float64, len(pts)), make([]float64, len(pts))
	mean := 0.0
	for i, p := range pts {
		d := p.Sub(middle)
		angle[i], radius[i] = math.Atan2(d.Y, d.X), d.Norm()
		mean += radius[i] / float64(len(pts))
	}
	rows := mat.NewDense(len(pts), m, nil)
	for i, t := range angle {
		rows.Set(i, 0, 1)
		for k := 1; 2*k < m; k++ {
			s, c := math.Sincos(float64(k) * t)
			rows.Set(i, 2*k-1, c)
			rows.Set(i, 2*k, s)
		}
	}
	weights, residuals := make([]float64, len(pts)), make([]float64, len(pts))
	for i := range weights {
		weights[i] = 1
	}
	for range 12 {
		if series, ok = weighted(rows, radius, weights, mean); !ok {
			return nil, 0, false
		}
		for i, t := range angle {
			residuals[i] = radius[i] - wavesAt(series, t)
		}
		rms = math.Max(floor, lsq.MAD(residuals))
		for i, r := range residuals {
			weights[i] = lsq.Biweight(r / rms)
		}
	}
	for i := range 72 {
		if wavesAt(series, 2*math.Pi*float64(i)/72) < 0.3*mean {
			return nil, 0, false
		}
	}
	return series, rms, true
}

// weighted solves for the series by weighted least squares. A smooth outline's
// waves are the smaller the shorter they are, so that where no point lies the
// outline does not swing.
func weighted(rows *mat.Dense, radius, weights []float64, mean float64) ([]float64, bool) {
	n, m := rows.Dims()
	normal, rhs := mat.NewSymDense(m, nil), mat.NewVecDense(m, nil)
	for i := range n {
		row := rows.RawRowView(i)
		for a, v := range row {
			rhs.SetVec(a, rhs.AtVec(a)+weights[i]*v*radius[i])
			for b := a; b < m; b++ {
				normal.SetSym(a, b, normal.At(a, b)+weights[i]*v*row[b])
			}
		}
	}
	for k := 1; k < m; k++ {
		order := float64((k + 1) / 2)
		normal.SetSym(k, k, normal.At(k, k)+math.Pow(order*order*wavePull/mean, 2))
	}
	var chol mat.Cholesky
	if !chol.Factorize(normal) {
		return nil, false
	}
	var out mat.VecDense
	if err := chol.SolveVecTo(&out, rhs); err != nil {
		return nil, false
	}
	return out.RawVector().Data, true
}
