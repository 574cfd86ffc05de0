package calib

import (
	"errors"
	"math"

	"trimscribe/calib/lsq"
)

// Circle is a circle in a plane, mm.
type Circle struct {
	Centre Point
	R      float64
}

// CircleFit is a circle fitted to points, with what the points say about it.
type CircleFit struct {
	Circle
	RMS     float64       // robust standard deviation of the points about the circle
	Used    int           // points that were not outliers
	Weights []float64     // of each point, 0 (outlier) to 1
	Cov     [3][3]float64 // of (x, y, R) for independent points with that RMS
}

var errNoCircle = errors.New("the points do not lie on a circle")

// FitCircle fits a circle to points by geometric least squares: the sum of
// squared distances from the circle is least (W. Gander, G. H. Golub,
// R. Strebel, BIT 34 (1994) 558). It starts from the algebraic fit of
// I. Kåsa (IEEE Trans. Instrum. Meas. 25 (1976) 8) and takes Gauss-Newton
// steps. All points count alike.
func FitCircle(pts []Point) (CircleFit, error) { return fitCircle(pts, 0) }

// FitCircleRobust is FitCircle with Tukey's biweight, so that points off the
// circle lose their say; floor is the smallest standard deviation believed.
func FitCircleRobust(pts []Point, floor float64) (CircleFit, error) {
	return fitCircle(pts, math.Max(floor, 1e-12))
}

func fitCircle(pts []Point, floor float64) (CircleFit, error) {
	if len(pts) < 3 {
		return CircleFit{}, errNoCircle
	}
	f := CircleFit{Weights: make([]float64, len(pts))}
	for i := range f.Weights {
		f.Weights[i] = 1
	}
	var ok bool
	if f.Circle, ok = algebraicCircle(pts); !ok {
		return CircleFit{}, errNoCircle
	}
	residuals := make([]float64, len(pts))
	for range 50 {
		for i, p := range pts {
			residuals[i] = p.Dist(f.Centre) - f.R
		}
		if floor > 0 {
			f.RMS = math.Max(floor, lsq.MAD(residuals))
			for i, r := range residuals {
				f.Weights[i] = lsq.Biweight(r / f.RMS)
			}
		}
		normal, rhs := circleEquations(pts, residuals, f)
		inv, ok := invert3(normal)
		if !ok {
			return CircleFit{}, errNoCircle
		}
		step := inv.Apply(rhs)
		f.Centre = f.Centre.Add(Point{step.X, step.Y})
		f.R += step.Z
		f.Cov = inv
		if step.Norm() < 1e-9*(1+math.Abs(f.R)) {
			break
		}
	}
	if math.IsNaN(f.R) || f.R <= 0 {
		return CircleFit{}, errNoCircle
	}
	f.finish(pts)
	return f, nil
}

// finish sets the rms, the count and the covariance at the solution.
func (f *CircleFit) finish(pts []Point) {
	sum, n := 0.0, 0.0
	f.Used = 0
	for i, p := range pts {
		w := f.Weights[i]
		d := p.Dist(f.Centre) - f.R
		sum += w * d * d
		n += w
		if w > 0 {
			f.Used++
		}
	}
	f.RMS = math.Max(math.Sqrt(sum/math.Max(1, n-3)), 0)
	for i := range 3 {
		for j := range 3 {
			f.Cov[i][j] *= f.RMS * f.RMS
		}
	}
}

func circleEquations(pts []Point, residuals []float64, f CircleFit) (normal Mat3, rhs Vec3) {
	for i, p := range pts {
		d := p.Sub(f.Centre)
		n := d.Norm()
		if n == 0 || f.Weights[i] == 0 {
			continue
		}
		// How the residual changes with centre x, centre y and radius.
		g := [3]float64{-d.X / n, -d.Y / n, -1}
		for a := range 3 {
			for b := range 3 {
				normal[a][b] += f.Weights[i] * g[a] * g[b]
			}
		}
		w := -f.Weights[i] * residuals[i]
		rhs = rhs.Add(Vec3{g[0], g[1], g[2]}.Mul(w))
	}
	return normal, rhs
}

// algebraicCircle is Kåsa's linear fit, about the points' mean.
func algebraicCircle(pts []Point) (Circle, bool) {
	var mean Point
	for _, p := range pts {
		mean = mean.Add(p.Mul(1 / float64(len(pts))))
	}
	var normal Mat3
	var rhs Vec3
	for _, p := range pts {
		d := p.Sub(mean)
		g := [3]float64{d.X, d.Y, 1}
		for a := range 3 {
			for b := range 3 {
				normal[a][b] += g[a] * g[b]
			}
		}
		rhs = rhs.Add(Vec3{d.X, d.Y, 1}.Mul(d.Dot(d)))
	}
	inv, ok := invert3(normal)
	if !ok {
		return Circle{}, false
	}
	s := inv.Apply(rhs)
	centre := Point{s.X / 2, s.Y / 2}
	r2 := s.Z + centre.Dot(centre)
	if r2 <= 0 {
		return Circle{}, false
	}
	return Circle{centre.Add(mean), math.Sqrt(r2)}, true
}

func invert3(m Mat3) (Mat3, bool) {
	a, b, c := Vec3{m[0][0], m[0][1], m[0][2]}, Vec3{m[1][0], m[1][1], m[1][2]}, Vec3{m[2][0], m[2][1], m[2][2]}
	bc, ca, ab := b.Cross(c), c.Cross(a), a.Cross(b)
	det := a.Dot(bc)
	if math.Abs(det) <= 1e-12*a.Norm()*b.Norm()*c.Norm() {
		return Mat3{}, false
	}
	k := 1 / det
	return Mat3{
		{bc.X * k, ca.X * k, ab.X * k},
		{bc.Y * k, ca.Y * k, ab.Y * k},
		{bc.Z * k, ca.Z * k, ab.Z * k},
	}, true
}
