package calib

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib/lsq"
)

// bundleModel maps one vector of parameters to the residuals of all photos.
// The vector holds the views' own pose parameters (poseModel), those that
// several views share only once, and then x, y, R and z of each track. Data
// residuals are in units of their standard deviation: first the squares' edges,
// then three for each sighting.
type bundleModel struct {
	views    []bundleView
	tracks   []bundleTrack
	x0       []float64
	steps    []float64
	known    []bundlePrior
	first    int // where the tracks' parameters begin
	edges    int // residuals of squares' edges
	data     int
	priors   int
	rimScale float64 // by which the sightings' noise is taken larger

	// What eval found last. A derivative changes one parameter, and most of
	// the residuals do not hang on it.
	lastX, lastR []float64
	lastCams     []Camera
}

// bundlePrior draws one parameter to a value.
type bundlePrior struct {
	prior
	about float64
}

type bundleView struct {
	full  *Solution
	model poseModel // with normal points for edges
	sigma []float64 // of each normal point, px
	index []int     // where each of the model's parameters is in the vector
	at    int       // its first residual
}

type bundleTrack struct {
	rims []rimSighting
	at   int // its first residual
}

// rimSighting is a circle in a photo: points on it, and what is known of its
// place and size through them.
type rimSighting struct {
	view   int
	points [sightingPoints]Point // px, evenly round the rim
	whiten Mat3                  // lower triangle that turns (dx, dy, dR) into units of their noise
}

func newBundleModel(views []View, tracks []Track) (*bundleModel, error) {
	m := &bundleModel{rimScale: 1}
	where := map[string]int{} // the parameters by name
	for v, view := range views {
		if view.Solution.Squares[0].Number != views[0].Solution.Squares[0].Number {
			return nil, errNoBundle
		}
		m.addView(v, view, where)
	}
	m.first = len(m.x0)
	m.data = m.edges
	for _, t := range tracks {
		if err := m.addTrack(t); err != nil {
			return nil, err
		}
	}
	m.priors = len(m.known)
	return m, nil
}

func (m *bundleModel) addView(v int, view View, where map[string]int) {
	s := view.Solution
	thin, sigma := s.normalPoints()
	bv := bundleView{full: s, model: thin, sigma: sigma, at: m.edges}
	_, steps := s.model.start()
	lens := view.Lens
	if lens == "" {
		lens = fmt.Sprint(v)
	}
	for j, x := range s.x {
		name := s.model.sharedName(j, lens)
		if name == "" {
			name = fmt.Sprintf("view %d parameter %d", v, j)
		}
		i, known := where[name]
		if !known {
			i = len(m.x0)
			where[name] = i
			m.x0, m.steps = append(m.x0, x), append(m.steps, steps[j])
			for _, p := range s.model.known {
				if p.param == j {
					p.param = i
					m.known = append(m.known, bundlePrior{p, 0})
				}
			}
		}
		bv.index = append(bv.index, i)
	}
	m.edges += len(sigma)
	m.views = append(m.views, bv)
}

func (m *bundleModel) addTrack(t Track) error {
	bt := bundleTrack{at: m.data}
	for _, s := range t.Sightings {
		r, err := newRimSighting(m.views[s.View].full.Camera, s)
		if err != nil {
			return err
		}
		bt.rims = append(bt.rims, r)
		m.data += 3
	}
	known := unknownHeight
	if t.Known != nil {
		known = *t.Known
	}
	at := len(m.x0)
	m.x0 = append(m.x0, t.Start.Centre.X, t.Start.Centre.Y, t.Start.R, t.Z)
	m.steps = append(m.steps, 1e-3, 1e-3, 1e-3, 1e-3)
	for i := range 3 { // holds a circle that all its sightings are wrong about
		m.known = append(m.known, bundlePrior{prior{at + i, startU, GroupRim, false}, m.x0[at+i]})
	}
	m.known = append(m.known, bundlePrior{prior{at + 3, known.U, GroupHeight, false}, known.Z})
	m.tracks = append(m.tracks, bt)
	return nil
}

// startU is how far a circle may be from its start, in place or radius, mm:
// so far that it weighs nothing against a single sighting.
const startU = 10

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
	for i := range 3 {
		cov[i][i] += rimU*rimU + wave*wave
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

func (m *bundleModel) circle(x []float64, track int) (Circle, float64) {
	p := x[m.first+4*track:]
	return Circle{Point{p[0], p[1]}, p[2]}, p[3]
}

// local is one view's vector of pose parameters.
func (m *bundleModel) local(x []float64, v int) []float64 {
	out := make([]float64, len(m.views[v].index))
	for j, i := range m.views[v].index {
		out[j] = x[i]
	}
	return out
}

func (m *bundleModel) cameras(x []float64) []Camera {
	cams := make([]Camera, len(m.views))
	for v := range m.views {
		cams[v] = m.views[v].model.camera(m.local(x, v))
	}
	return cams
}

// eval is lsq's: data, then priors.
func (m *bundleModel) eval(x, r []float64) {
	fresh := m.lastX == nil
	if fresh {
		m.lastX, m.lastR = make([]float64, len(x)), make([]float64, len(r))
		m.lastCams = make([]Camera, len(m.views))
	}
	moved := make([]bool, len(m.views))
	for v, view := range m.views {
		for _, i := range view.index {
			moved[v] = moved[v] || fresh || x[i] != m.lastX[i]
		}
		if moved[v] {
			local := m.local(x, v)
			m.lastCams[v] = view.model.camera(local)
			part := m.lastR[view.at : view.at+len(view.sigma)]
			view.model.edgeResiduals(local, part)
			for k := range part {
				part[k] /= view.sigma[k]
			}
		}
	}
	for k, t := range m.tracks {
		c, z := m.circle(x, k)
		c0, z0 := m.circle(m.lastX, k)
		for i, s := range t.rims {
			if !fresh && !moved[s.view] && c == c0 && z == z0 {
				continue
			}
			dx, dy, dr := s.miss(m.lastCams[s.view], c, z)
			w := s.whiten.Apply(Vec3{dx, dy, dr})
			part := m.lastR[t.at+3*i:]
			part[0], part[1], part[2] = w.X, w.Y, w.Z
		}
	}
	copy(m.lastX, x)
	copy(r, m.lastR[:m.data])
	for i := m.edges; i < m.data; i++ {
		r[i] /= m.rimScale
	}
	for k, p := range m.known {
		r[m.data+k] = p.residual(x[p.param] - p.about)
	}
}

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

// normalPoints stands the mean of each short stretch of an edge in for its
// points, with its standard deviation, px. Neighbours err together: a mean is
// as good as Solution found it to be.
func (s *Solution) normalPoints() (thin poseModel, sigma []float64) {
	thin = s.model
	thin.squares, thin.aims, thin.points = nil, nil, 0
	k := 0
	for i, q := range s.model.squares {
		square := SquareEdges{Number: q.Number, Corners: q.Corners}
		var aims []aim
		for from := 0; from < len(q.Edges); {
			to := from
			var px, normal Point
			along, n := 0.0, 0.0
			for to < len(q.Edges) && to < from+stretch && q.Edges[to].Side == q.Edges[from].Side && q.Edges[to].Inner == q.Edges[from].Inner {
				if s.weights[k+to] > 0 {
					px = px.Add(q.Edges[to].Px)
					normal = normal.Add(s.model.aims[i][to].normal)
					along += s.model.aims[i][to].along
					n++
				}
				to++
			}
			if n > 0 {
				e := q.Edges[from]
				e.Px = px.Mul(1 / n)
				square.Edges = append(square.Edges, e)
				aims = append(aims, aim{along / n, normal.Mul(1 / normal.Norm())})
				sigma = append(sigma, s.EdgeRMS*math.Sqrt(s.alike/n))
			}
			from = to
		}
		k += len(q.Edges)
		thin.squares, thin.aims = append(thin.squares, square), append(thin.aims, aims)
		thin.points += len(square.Edges)
	}
	return thin, sigma
}

// sharedName names a pose parameter that other views have too: those of the
// lens, the squares' size, how each sheet is bent, and the further squares'
// places. It is empty for a view's own.
//
// The principal point is a view's own even where the lens is not: what keeps a
// phone's picture still moves it from photo to photo.
func (m poseModel) sharedName(j int, lens string) string {
	if j == iFocal || j == iK1 {
		return fmt.Sprintf("lens %s parameter %d", lens, j)
	}
	if j == iSize || j == iSize+1 {
		return fmt.Sprintf("size %d", j)
	}
	for i, s := range m.squares {
		if k := j - m.own(i) - ownBend; k >= 0 && k < ownCount-ownBend {
			return fmt.Sprintf("square %d bend %d", s.Number, k)
		}
		if k := j - m.iPlace(i); i > 0 && k >= 0 && k < 3 {
			return fmt.Sprintf("square %d place %d", s.Number, k)
		}
	}
	return ""
}
