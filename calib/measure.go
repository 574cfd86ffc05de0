package calib

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Traced is a circle's edge as seen in a photo.
type Traced struct {
	Points  []Point // sub-pixel points on the circle's edge, px
	Z       float64 // height of the circle's plane, mm
	HeightU float64 // standard uncertainty of that height, mm

	// Fitted says that the points were laid on a circle that was fitted in
	// another way, and what covariance of (x, y, R) that left, mm^2; nil when
	// the points are measurements themselves.
	Fitted *[3][3]float64
}

// Measured is a set of circles in the panel's frame with their joint
// covariance.
type Measured struct {
	Circles []CircleFit
	cov     *mat.SymDense // of x, y, R of each circle in turn, mm^2
}

// Measure fits each traced circle in its own plane and carries every
// uncertainty to the joint covariance of all the circles (JCGM 100:2008,
// 5.2): the edge's own noise, and through the camera that of the pose, the
// focal length and the square's size; then each height's.
func Measure(s *Solution, traced []Traced) (*Measured, error) {
	m := &Measured{cov: mat.NewSymDense(max(1, 3*len(traced)), nil)}
	for _, t := range traced {
		fit, err := fitTraced(s.Camera, t)
		if err != nil {
			return nil, err
		}
		m.Circles = append(m.Circles, fit)
	}
	if len(traced) == 0 {
		return m, nil
	}
	m.addPose(s, traced)
	for i, t := range traced {
		m.addHeight(s.Camera, t, i)
		m.addEdge(s.Camera, t, i)
	}
	return m, nil
}

// pointFloor is the least noise believed of an edge point, mm; it only keeps
// the robust fit from dividing by zero.
const pointFloor = 1e-4

func fitTraced(cam Camera, t Traced) (CircleFit, error) {
	return FitCircleRobust(onPlane(cam, t), pointFloor)
}

func onPlane(cam Camera, t Traced) []Point {
	pts := make([]Point, len(t.Points))
	for i, px := range t.Points {
		pts[i] = cam.ToPlane(px, t.Z)
	}
	return pts
}

// refit repeats a fit with another camera or height and the same weights.
func refit(cam Camera, t Traced, fit CircleFit) [3]float64 {
	pts := onPlane(cam, t)
	c := fit
	for range 3 {
		residuals := make([]float64, len(pts))
		for i, p := range pts {
			residuals[i] = p.Dist(c.Centre) - c.R
		}
		normal, rhs := circleEquations(pts, residuals, c)
		inv, ok := invert3(normal)
		if !ok {
			break
		}
		step := inv.Apply(rhs)
		c.Centre = c.Centre.Add(Point{step.X, step.Y})
		c.R += step.Z
	}
	return [3]float64{c.Centre.X, c.Centre.Y, c.R}
}

// addPose adds what the camera's uncertainty does to all circles at once.
func (m *Measured) addPose(s *Solution, traced []Traced) {
	_, steps := s.model.start()
	n, k := 3*len(traced), iBloom // the blooms and places of squares move no circle
	jac := mat.NewDense(n, k, nil)
	x := make([]float64, len(s.x))
	copy(x, s.x)
	for j := range k {
		x[j] = s.x[j] + steps[j]
		up := s.model.camera(x)
		x[j] = s.x[j] - steps[j]
		down := s.model.camera(x)
		x[j] = s.x[j]
		for i, t := range traced {
			a, b := refit(up, t, m.Circles[i]), refit(down, t, m.Circles[i])
			for c := range 3 {
				jac.Set(3*i+c, j, (a[c]-b[c])/(2*steps[j]))
			}
		}
	}
	cov := mat.NewDense(k, k, nil)
	for i := range k {
		for j := range k {
			cov.Set(i, j, s.cov.At(i, j))
		}
	}
	var half, full mat.Dense
	half.Mul(jac, cov)
	full.Mul(&half, jac.T())
	for i := range n {
		for j := i; j < n; j++ {
			m.cov.SetSym(i, j, m.cov.At(i, j)+(full.At(i, j)+full.At(j, i))/2)
		}
	}
}

// addHeight adds what an uncertain height does to its circle.
func (m *Measured) addHeight(cam Camera, t Traced, i int) {
	if t.HeightU == 0 {
		return
	}
	g := heightEffect(cam, t, m.Circles[i])
	for a := range 3 {
		for b := a; b < 3; b++ {
			m.add(3*i+a, 3*i+b, g[a]*g[b]*t.HeightU*t.HeightU)
		}
	}
}

// heightEffect is how x, y and R of a circle change per millimetre of height.
func heightEffect(cam Camera, t Traced, fit CircleFit) (g [3]float64) {
	const h = 0.05
	up, down := t, t
	up.Z += h
	down.Z -= h
	a, b := refit(cam, up, fit), refit(cam, down, fit)
	for c := range 3 {
		g[c] = (a[c] - b[c]) / (2 * h)
	}
	return g
}

// rimU is the standard uncertainty of a rim's place, mm, by what its light
// does: a broken or rounded edge is bright towards the lamp and dark away from
// it, and no fit of the picture tells that from a shift (as found on rendered
// holes with edges rounded by 0.05 mm).
const rimU = 0.01

// addEdge adds what the circle's own edge leaves open: the fit's covariance,
// and the slow waves round the rim that light and wear put there.
func (m *Measured) addEdge(cam Camera, t Traced, i int) {
	fit := m.Circles[i]
	if t.Fitted != nil {
		fit.Cov = *t.Fitted
	}
	for a := range 3 {
		m.add(3*i+a, 3*i+a, rimU*rimU)
	}
	wave := slowWaves(onPlane(cam, t), fit)
	for a := range 3 {
		m.add(3*i+a, 3*i+a, wave*wave)
		for b := a; b < 3; b++ {
			m.add(3*i+a, 3*i+b, fit.Cov[a][b])
		}
	}
}

func (m *Measured) add(i, j int, v float64) { m.cov.SetSym(i, j, m.cov.At(i, j)+v) }

// slowWaves estimates how far an error that goes once round the rim could
// move the centre. The fit hides such an error, but not its kin that go round
// twice to four times: their mean amplitude is taken for it.
func slowWaves(pts []Point, fit CircleFit) float64 {
	sum := 0.0
	for k := 2; k <= 4; k++ {
		var a, b, n float64
		for i, p := range pts {
			w := fit.Weights[i]
			if w == 0 {
				continue
			}
			d := p.Sub(fit.Centre)
			s, c := math.Sincos(float64(k) * math.Atan2(d.Y, d.X))
			r := d.Norm() - fit.R
			a += w * r * c
			b += w * r * s
			n += w
		}
		a, b = 2*a/n, 2*b/n
		sum += (a*a + b*b) / 2
	}
	return math.Sqrt(sum / 3)
}

// PlaceU95 returns the expanded uncertainty (k = 2) of circle i's centre in
// the direction where it is greatest, mm.
func (m *Measured) PlaceU95(i int) float64 {
	xx, yy, xy := m.cov.At(3*i, 3*i), m.cov.At(3*i+1, 3*i+1), m.cov.At(3*i, 3*i+1)
	mean, diff := (xx+yy)/2, (xx-yy)/2
	return 2 * math.Sqrt(mean+math.Hypot(diff, xy))
}

// DiameterU95 returns the expanded uncertainty of circle i's diameter, mm.
func (m *Measured) DiameterU95(i int) float64 {
	return 2 * 2 * math.Sqrt(m.cov.At(3*i+2, 3*i+2))
}

// Distance returns the distance between two circles' centres and its expanded
// uncertainty, mm. What both share, such as the scale, counts once.
func (m *Measured) Distance(i, j int) (mm, u95 float64) {
	return m.distance(i, Point{}, j, Point{})
}

// distance is Distance with each centre moved by an exact offset.
func (m *Measured) distance(i int, di Point, j int, dj Point) (mm, u95 float64) {
	d := m.Circles[j].Centre.Add(dj).Sub(m.Circles[i].Centre.Add(di))
	mm = d.Norm()
	if mm == 0 {
		return 0, math.Hypot(m.PlaceU95(i), m.PlaceU95(j))
	}
	at := [4]int{3 * i, 3*i + 1, 3 * j, 3*j + 1}
	g := [4]float64{-d.X / mm, -d.Y / mm, d.X / mm, d.Y / mm}
	v := 0.0
	for a := range at {
		for b := range at {
			v += g[a] * g[b] * m.cov.At(at[a], at[b])
		}
	}
	return mm, 2 * math.Sqrt(math.Max(v, 0))
}
