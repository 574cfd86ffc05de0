package calib

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Traced is a circle's edge as seen in a photo.
type Traced struct {
	Points []Point // sub-pixel points on the circle's edge, px
	Z      float64 // height of the circle's plane, mm

	// HeightU is the standard uncertainty of that height, mm. Heights with the
	// same number (not 0) are one reading, and err together.
	HeightU       float64
	HeightReading int

	// Fitted says that the points were laid on a circle that was fitted in
	// another way, and what covariance of (x, y, R) that left, mm^2; nil when
	// the points are measurements themselves.
	Fitted *[3][3]float64

	// TraceU is how far what the points lie on may be from the edge that is meant,
	// mm: a standard uncertainty each of x, y and R.
	TraceU float64
}

// Measured is a set of circles in the panel's frame with their joint
// covariance, kept apart by the inputs that it comes from.
type Measured struct {
	Circles []CircleFit
	parts   map[Group]*mat.SymDense // of x, y, R of each circle in turn, mm^2
}

// newMeasured returns circles without any uncertainty yet; addPart adds it.
func newMeasured(circles []CircleFit) *Measured {
	return &Measured{Circles: circles, parts: map[Group]*mat.SymDense{}}
}

// Measure fits each traced circle in its own plane and carries every
// uncertainty to the joint covariance of all the circles (JCGM 100:2008,
// 5.2): that of the camera, of the sheet's lie and of the heights, which
// circles share, and then what is each rim's own.
func Measure(s *Solution, traced []Traced) (*Measured, error) {
	var fits []CircleFit
	for _, t := range traced {
		fit, err := fitTraced(s.Camera, t)
		if err != nil {
			return nil, err
		}
		fits = append(fits, fit)
	}
	m := newMeasured(fits)
	if len(traced) == 0 {
		return m, nil
	}
	m.addPose(s, traced)
	m.addHeights(s, traced)
	for i, t := range traced {
		m.addRim(s.Camera, t, i)
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
	n, k := 3*len(traced), iOwn // what is the squares' own moves no circle
	jac := mat.NewDense(n, k, nil)
	x := slices.Clone(s.x)
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
	for g, part := range s.parts {
		m.addPart(g, propagate(jac, part.SliceSym(0, k)))
	}
}

// addHeights adds what the heights leave open: each circle's own above the
// face that the squares lie on, and that face's, for a sheet does not lie quite
// flat on it.
func (m *Measured) addHeights(s *Solution, traced []Traced) {
	n := len(traced)
	jac := mat.NewDense(3*n, n, nil) // a height moves its own circle only
	for i, t := range traced {
		for c, v := range heightEffect(s.Camera, t, m.Circles[i]) {
			jac.Set(3*i+c, i, v)
		}
	}
	given, face := mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	lie := lieOf(s.Squares)
	for i, t := range traced {
		for j := i; j < n; j++ {
			if o := traced[j]; i == j || t.HeightReading != 0 && t.HeightReading == o.HeightReading {
				given.SetSym(i, j, t.HeightU*o.HeightU)
			}
			face.SetSym(i, j, lie.cov(m.Circles[i].Centre, m.Circles[j].Centre))
		}
	}
	m.addPart(GroupHeight, propagate(jac, given))
	m.addPart(GroupFlat, propagate(jac, face))
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

// What a rim's place leaves open whatever its fit says (standard uncertainties): by what its
// light does, mm, for a broken or rounded edge is bright towards the lamp and dark away from
// it, and no fit of the picture tells that from a shift (as found on rendered holes with edges
// rounded by 0.05 mm); and by what else of a real edge no model has, px: fitted with the true
// camera, the holes of the second renderer (see DEVELOPERS.md) lay about so much farther off
// than their fits had it.
const (
	lightU = 0.01
	modelU = 0.15
)

// rimU is both together, mm, where a millimetre is so many pixels.
func rimU(pxPerMM float64) float64 { return math.Hypot(lightU, modelU/pxPerMM) }

// addRim adds what the circle's own edge leaves open: the fit's covariance,
// and the slow waves round the rim that light and wear put there.
func (m *Measured) addRim(cam Camera, t Traced, i int) {
	fit := m.Circles[i]
	if t.Fitted != nil {
		fit.Cov = *t.Fitted
	}
	wave := slowWaves(onPlane(cam, t), fit)
	light := rimU(cam.PxPerMM(fit.Centre, t.Z))
	for a := range 3 {
		m.add(GroupLight, 3*i+a, 3*i+a, light*light)
		m.add(GroupRim, 3*i+a, 3*i+a, wave*wave+t.TraceU*t.TraceU)
		for b := a; b < 3; b++ {
			m.add(GroupRim, 3*i+a, 3*i+b, fit.Cov[a][b])
		}
	}
}

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
