package calib

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

type bundleTrack struct {
	rims []rimSighting
	at   int // its first residual
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
