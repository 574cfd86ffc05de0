package calib

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib/lsq"
)

// View is one photo's part in a Bundle.
type View struct {
	Solution *Solution
	// Lens names the lens: views of one name share focal length and
	// distortion. Views without a name have each their own.
	Lens string
}

// Sighting is a circle as one photo shows it: in the view's camera as it is
// now.
type Sighting struct {
	View int // index
	Traced
}

// Track is one circle of the panel as several photos show it.
type Track struct {
	Sightings []Sighting
	Start     Circle  // roughly where it is
	Z         float64 // roughly its height, mm
	Known     *Height // what is known of its height before; nil when nothing is
}

// Height is a height above the first square's face with its standard
// uncertainty, mm.
type Height struct{ Z, U float64 }

// unknownHeight is what is taken for a height that nobody told: trim parts
// stand a few centimetres off their face at most (common practice). It only
// keeps a height finite that the photos leave open.
var unknownHeight = Height{0, 20}

// Bundle is what several photos of one panel say together.
type Bundle struct {
	Solutions []*Solution // of each view
	Circles   []Circle    // of each track, in the plane at its height
	Heights   []Height
	Misses    [][]float64 // of each track's sightings: how far off their centres are, mm
	Wider     [][]float64 // and by how much their radii differ from the track's

	parts map[Group]*mat.SymDense // what each input contributes to x, y, R, z of each circle in turn, mm^2
}

var errNoBundle = errors.New("the photos do not settle where the circles lie")

// SolveBundle adjusts the poses of all views, the focal lengths, the squares'
// size and every circle's x, y, R and height to all that the photos show, in
// one robust least-squares problem: a bundle adjustment (B. Triggs et al.,
// Bundle Adjustment - A Modern Synthesis, LNCS 1883 (2000) 298). The first
// square of every view must be the same one, and gives the panel's frame.
//
// An edge of a square comes in as the means of short stretches (normal
// points), and a circle as the three numbers that its fit left, each with its
// covariance, so that the problem stays small.
func SolveBundle(views []View, tracks []Track) (*Bundle, error) {
	m, err := newBundleModel(views, tracks)
	if err != nil {
		return nil, err
	}
	problem := lsq.Problem{Data: m.data, Priors: m.priors, Eval: m.eval, Alike: 1, Floor: 1}
	// A start may be a millimetre off, a hundred times what a sighting is good
	// for: so the sightings are believed little at first, and none loses its say
	// before the others have shown where the circle lies.
	var res *lsq.Result
	x := m.x0
	for _, m.rimScale = range []float64{50, 7, 1} {
		if res, err = problem.Solve(x, m.steps); err != nil {
			return nil, errNoBundle
		}
		x = res.X
	}
	// Light errs at a rim by more than its fit can know. The sightings of one
	// circle tell by how much, and are believed no better (R. T. Birge, Phys.
	// Rev. 40 (1932) 207).
	for range 2 {
		if m.rimScale = m.birge(res); m.rimScale <= 1.05 {
			break
		}
		if res, err = problem.Solve(res.X, m.steps); err != nil {
			return nil, errNoBundle
		}
	}
	return m.bundle(res), nil
}

// Measured hands the circles on as Measure does for a single photo.
func (b *Bundle) Measured() *Measured {
	fits := make([]CircleFit, len(b.Circles))
	for i, c := range b.Circles {
		fits[i].Circle = c
	}
	m := newMeasured(fits)
	n := 3 * len(fits)
	for g, part := range b.parts {
		flat := mat.NewSymDense(n, nil) // without z
		for i := range n {
			for j := i; j < n; j++ {
				flat.SetSym(i, j, part.At(4*(i/3)+i%3, 4*(j/3)+j%3))
			}
		}
		m.addPart(g, flat)
	}
	for i, c := range b.Circles {
		light := 0.0 // what it does to a rim, it does in every photo
		for _, s := range b.Solutions {
			light += rimU(s.Camera.PxPerMM(c.Centre, b.Heights[i].Z)) / float64(len(b.Solutions))
		}
		for a := range 3 {
			m.add(GroupLight, 3*i+a, 3*i+a, light*light)
		}
	}
	return m
}

// HeightU95 is the expanded uncertainty (k = 2) of circle i's height, mm.
func (b *Bundle) HeightU95(i int) float64 { return 2 * b.Heights[i].U }

// bundle reads the solution.
func (m *bundleModel) bundle(res *lsq.Result) *Bundle {
	b := &Bundle{}
	b.parts = m.contributions(res)
	cov := sumOf(b.parts)
	for k := range m.tracks {
		c, z := m.circle(res.X, k)
		b.Circles = append(b.Circles, c)
		b.Heights = append(b.Heights, Height{z, math.Sqrt(cov.At(4*k+3, 4*k+3))})
	}
	joint := m.covariance(res)
	for v := range m.views {
		b.Solutions = append(b.Solutions, m.solution(res.X, joint, v))
	}
	cams := m.cameras(res.X)
	for k, t := range m.tracks {
		var misses, wider []float64
		for _, s := range t.rims {
			dx, dy, dr := s.miss(cams[s.view], b.Circles[k], b.Heights[k].Z)
			misses, wider = append(misses, math.Hypot(dx, dy)), append(wider, math.Abs(dr))
		}
		b.Misses, b.Wider = append(b.Misses, misses), append(b.Wider, wider)
	}
	return b
}

// solution is one view's part as a single photo's Solution.
func (m *bundleModel) solution(x []float64, joint *mat.SymDense, v int) *Solution {
	view := m.views[v]
	s := *view.full
	s.x = m.local(x, v)
	s.Camera = s.model.camera(s.x)
	s.cov = mat.NewSymDense(len(s.x), nil)
	for i, gi := range view.index {
		for j := i; j < len(view.index); j++ {
			s.cov.SetSym(i, j, joint.At(gi, view.index[j]))
		}
	}
	s.parts = nil // what is measured with it has its own, by the bundle
	s.Squares = nil
	for i, q := range view.full.Squares {
		q.Centre, q.Turn = s.model.whereabouts(s.x, i)
		q.Size = s.model.size(s.x)
		s.Squares = append(s.Squares, q)
	}
	return &s
}
