package vision

import (
	"cmp"
	"math"
	"slices"

	"trimscribe/calib"
	"trimscribe/calib/lsq"
)

// Beside a mouth there are often more edges, a pixel or five inside it: the far
// end of the wall, where the camera looks along it; the edge of the mouth's own
// shadow on what lies behind, where the lamp does; the inner edge of a chamfer,
// all round. An edge filter that sees two at once puts each in the wrong place,
// and a different one first on every side. So a rim that has been traced is
// fitted once more, as what it is. The wall's end and the shadow are circles as
// wide as the opening, deeper and so seen moved to one side; along each ray the photo should
// show the face, a band or two, and what lies behind, each of one level, blurred
// together. The levels are free on every ray; the circles and the blur are the
// same all round.
type rimProfile struct {
	lip     lip
	start   calib.Circle
	px      float64     // mm of one pixel at the rim
	sink    calib.Point // where a circle's centre seems to go per mm that it lies deeper, mm
	shrink  float64     // by what share its radius does
	rays    []profiledRay
	samples int // on each ray
}

// A profiledRay is the luminance along one ray, at the rim.
type profiledRay struct {
	dir   calib.Point
	light []float64
	noise float64 // what a residual is measured in: noise grows with light
}

// The stretch of each ray that is fitted, in pixels from the traced rim.
const (
	profileIn      = 7.0
	profileOut     = 5.0
	profileSpacing = 0.5
	mostSamples    = (profileIn+profileOut)/profileSpacing + 1
)

// leastBand is the width in pixels below which a band cannot be told
// from its neighbours.
const leastBand = 0.5

// farthest is how far, in pixels, the fit may leave the traced rim before it is
// taken for another edge.
const farthest = 6.0

// The parameters of the fit.
const (
	pX      = iota // of the mouth's centre, mm from the start
	pY             //
	pR             // radius, mm more than at the start
	pBlur          // sigma, px, as a logarithm
	pHalo          // strength of the camera's sharpening
	pDepth         // of the wall, mm
	pU             // of the shadow's centre, mm from the opening's
	pV             //
	pNarrow        // how much narrower the opening is than the mouth, mm; only with a lip
)

// Standard deviations of what is plausible: of the blur's logarithm, the halo,
// the depth, the shadow's place and the lip (mm).
var plausible = [...]float64{pBlur: 0.7, pHalo: 0.5, pDepth: 4, pU: 1.5, pV: 1.5, pNarrow: 0.4}

func (m rimProfile) params() int {
	if m.lip != sharp {
		return pNarrow + 1
	}
	return pNarrow
}

// priors is one for every parameter but the mouth's place and size.
func (m rimProfile) priors() int { return m.params() - pBlur }

// A rimFit is a fitted rim.
type rimFit struct {
	rimProfile
	*lsq.Result
	plain float64     // how much a lip's gain is of its worth; 0 for none
	other calib.Point // standard deviation of the centre for its form's sake, along a line, mm
}

// fitProfile refines a traced rim. ok is false when the profiles do not tell
// more than the trace did.
func fitProfile(p *Photo, cam calib.Camera, rim Rim) (f rimFit, ok bool) {
	m := newRimProfile(p, cam, rim)
	best, err := m.solve(make([]float64, m.params()), 0)
	if err != nil {
		return rimFit{}, false
	}
	found, err := m.solve(m.shortFits(m.tries(), 20), 0)
	if err == nil && m.left(found.X) < m.left(best.X)-wallWorth*float64(len(m.rays)) {
		best = found
	}
	f = rimFit{rimProfile: m, Result: best}
	f = f.orLip(f.lipTries(), lipWorth, chamfer, fillet)
	return f, !f.strays(f.X)
}

// circle is the mouth found, and its covariance as Rim.Cov has it.
func (f rimFit) circle() calib.Circle { return f.mouth(f.X) }

func (f rimFit) cov() (cov [3][3]float64) {
	form := [3]float64{f.other.X, f.other.Y}
	for i := range 3 {
		for j := range 3 {
			cov[i][j] = f.Cov.At(i, j) + form[i]*form[j]
		}
	}
	return cov
}

// strays tells whether a fit has gone to another edge, or is no fit.
func (m rimProfile) strays(x []float64) bool {
	moved := math.Hypot(x[pX], x[pY]) + math.Abs(x[pR])
	return moved > farthest*m.px || math.Exp(x[pBlur]) > 4
}

// wallWorth is by how much, for each ray, a wall and a shadow must make a fit the
// likelier (in left's unit) to be believed against the trace alone. The grain,
// the gleam on a broken edge and the camera's sharpening are worth some; walls
// and shadows, where there are any, are mostly worth much more.
const wallWorth = 7.0

// levelCost is what a further level on a ray must explain to count: more than any
// number would (G. Schwarz, Annals of Statistics 6 (1978) 461, for the dozen
// independent samples of a ray).
const levelCost = 2.5

func newRimProfile(p *Photo, cam calib.Camera, rim Rim) rimProfile {
	px := 1 / cam.PxPerMM(rim.Centre, rim.Z)
	line, perMM := parallax(cam, rim)
	m := rimProfile{start: rim.Circle, px: px, sink: line.Mul(-perMM), shrink: 1 / (cam.Eye().Z - rim.Z)}
	m.samples = mostSamples
	n := min(closeLook(cam, rim.Z, rim.Circle).rays, 180)
	sector := 2 * math.Pi / float64(n)
	low := math.Max(0, rim.R-profileIn*px)
	high := low + float64(m.samples-1)*profileSpacing*px
	for k := range n {
		s, c := math.Sincos(float64(k) * sector)
		ray := profiledRay{dir: calib.Point{X: c, Y: s}, light: make([]float64, m.samples)}
		for _, side := range []float64{-0.3, 0, 0.3} {
			s, c := math.Sincos((float64(k) + side) * sector)
			sight := newSightline(cam, rim.Centre, calib.Point{X: c, Y: s}, rim.Z, low, high)
			for i := range ray.light {
				ray.light[i] += p.At(sight.at(float64(i)/float64(m.samples-1))) / 3
			}
		}
		sum := 0.0
		for _, v := range ray.light {
			sum += v / float64(m.samples)
		}
		ray.noise = 0.01 * (sum + 0.02)
		m.rays = append(m.rays, ray)
	}
	return m
}

// solve fits the profiles, in at most the given rounds; 0 for as many as it takes.
func (m rimProfile) solve(x0 []float64, rounds int) (*lsq.Result, error) {
	steps := make([]float64, len(x0))
	for i := range steps {
		steps[i] = 0.02 * m.px
	}
	steps[pBlur], steps[pHalo], steps[pDepth] = 0.01, 0.01, 0.05
	return lsq.Problem{
		Data: len(m.rays) * m.samples, Priors: m.priors(), Eval: m.eval,
		Alike: 1 / profileSpacing, Floor: 0.2, Rounds: rounds,
	}.Solve(x0, steps)
}

// A rimTry is a guess, and how much of the profiles it leaves unexplained.
type rimTry struct {
	x    []float64
	left float64
}

// few is the same with no more rays than a guess needs.
func (m rimProfile) few(rays int) rimProfile {
	few := m
	few.rays = nil
	for k := 0; k < len(m.rays); k += max(1, len(m.rays)/rays) {
		few.rays = append(few.rays, m.rays[k])
	}
	return few
}

// tries looks about the trace for the mouth, the wall's end and the shadow, the
// likeliest first, each with another mouth. The trace is the mouth, or it mixes
// edges: on one side it may have followed the wall's end, and on another the
// shadow, and then the mouth is wider and lies elsewhere.
func (m rimProfile) tries() []rimTry {
	few := m.few(18)
	var out []rimTry
	for _, wider := range []float64{0, 1, 2, 3.5, 5} { // px
		for _, off := range around(12, 0, 1.2, 2.5, 4) {
			if off.Norm() > wider+2 {
				continue
			}
			x := make([]float64, m.params())
			x[pX], x[pY], x[pR] = off.X*m.px, off.Y*m.px, wider*m.px
			best := rimTry{x, few.left(x)}
			consider := func(x []float64) {
				if left := few.left(x); left < best.left {
					best = rimTry{x, left}
				}
			}
			for _, side := range []float64{2, 4, 7} { // px
				if depth := side * m.px / m.sink.Norm(); depth < mostDepth {
					y := slices.Clone(x)
					y[pDepth] = depth
					consider(y)
				}
			}
			bases := [][]float64{best.x}
			if best.x[pDepth] > 0 {
				bases = append(bases, x)
			}
			for _, base := range bases {
				for _, to := range around(12, 2, 3.5, 6) {
					y := slices.Clone(base)
					y[pU], y[pV] = to.X*m.px, to.Y*m.px
					consider(y)
				}
			}
			out = append(out, best)
		}
	}
	slices.SortFunc(out, func(a, b rimTry) int { return cmp.Compare(a.left, b.left) })
	return out
}

// mostDepth is the most depth that a wall is tried with, mm.
const mostDepth = 8.0

// around returns points in n directions at each of the distances.
func around(n int, distances ...float64) []calib.Point {
	var out []calib.Point
	for _, d := range distances {
		for k := range n {
			s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			out = append(out, calib.Point{X: d * c, Y: d * s})
			if d == 0 {
				break
			}
		}
	}
	return out
}

// shortFits returns the best of short fits from the likeliest guesses: a few
// steps from n, more from the best of these.
func (m rimProfile) shortFits(tries []rimTry, n int) []float64 {
	few := m.few(36)
	for _, stage := range []struct{ fits, rounds int }{{n, 6}, {n / 4, 12}} {
		var fits []rimTry
		for _, t := range tries[:min(stage.fits, len(tries))] {
			fits = append(fits, rimTry{t.x, few.left(t.x)})
			if fit, err := few.solve(t.x, stage.rounds); err == nil {
				fits = append(fits, rimTry{fit.X, few.left(fit.X)})
			}
		}
		slices.SortFunc(fits, func(a, b rimTry) int { return cmp.Compare(a.left, b.left) })
		tries = fits
	}
	return tries[0].x
}

// left is how unlikely a guess is: twice the negative log likelihood of what it
// leaves, taken for Laplace's errors of unknown scale, so that a face's grain counts for
// no more than it is, and what its levels cost. What is far off counts no more
// than what is off.
func (m rimProfile) left(x []float64) float64 {
	n := len(m.rays) * m.samples
	r := make([]float64, n+m.priors())
	m.eval(x, r)
	sum := 0.0
	for _, v := range r[:n] {
		sum += math.Min(math.Abs(v), 30)
	}
	return 2*float64(n)*profileSpacing*math.Log(quiet+sum/float64(n)) + levelCost*float64(m.levels(x))
}

// quiet is what no photo is better than, in a ray's unit of noise: below that,
// what is left tells only that the blur is not just as the model has it.
const quiet = 0.4

// levels is how many levels the rays show, each a number that is free.
func (m rimProfile) levels(x []float64) int {
	n := 0
	edges := make([]float64, 0, mostEdges)
	for _, ray := range m.rays {
		on, _ := m.edgesOn(ray, x, edges)
		n += 1 + len(on)
	}
	return n
}

func (m rimProfile) mouth(x []float64) calib.Circle {
	return calib.Circle{Centre: m.start.Centre.Add(calib.Point{X: x[pX], Y: x[pY]}), R: m.start.R + x[pR]}
}

// eval compares the profiles with the model (lsq's residuals).
func (m rimProfile) eval(x, r []float64) {
	soft := newSoftStep(math.Exp(x[pBlur]), x[pHalo])
	edges := make([]float64, 0, mostEdges)
	k := 0
	for _, ray := range m.rays {
		on, first := m.edgesOn(ray, x, edges)
		fitLevels(ray, on, first, soft, r[k:k+m.samples])
		k += m.samples
	}
	for i := pBlur; i < len(x); i++ {
		r[k] = x[i] / plausible[i]
		k++
	}
}

// edgesOn returns where a ray meets the circles, in pixels from its first
// sample, the mouth first and the rest further in; what is no further in than
// the one before it is not there. first is the lip that the first band is.
func (m rimProfile) edgesOn(ray profiledRay, x []float64, edges []float64) (on []float64, first lip) {
	low := math.Max(0, m.start.R-profileIn*m.px)
	meet := func(c calib.Circle) float64 { return (crossingOf(m.start.Centre, ray.dir, c) - low) / m.px }
	opening := m.mouth(x)
	edges = append(edges[:0], meet(opening))
	inmost := math.Inf(1)
	add := func(at float64) {
		at = math.Min(at, inmost)
		i := len(edges)
		for ; i > 1 && edges[i-1] < at; i-- {
		}
		edges = slices.Insert(edges, i, at)
	}
	if m.lip != sharp {
		opening = m.opening(x)
		add(meet(opening))
		if edges[0]-edges[1] > leastBand {
			first = m.lip
		}
		if m.lip == fillet { // it hides what is behind it
			inmost = edges[1]
		}
	}
	// The shadow lies about as deep as the wall ends, so it is seen as much smaller.
	depth := math.Max(0, x[pDepth])
	r := opening.R * (1 - depth*m.shrink)
	add(meet(calib.Circle{Centre: opening.Centre.Add(m.sink.Mul(depth)), R: r}))
	add(meet(calib.Circle{Centre: opening.Centre.Add(calib.Point{X: x[pU], Y: x[pV]}), R: r}))
	kept := edges[:1]
	for _, at := range edges[1:] {
		if kept[len(kept)-1]-at > leastBand {
			kept = append(kept, at)
		}
	}
	return kept, first
}

// crossingOf is how far from a point inside it a ray meets a circle.
func crossingOf(from, dir calib.Point, c calib.Circle) float64 {
	d := from.Sub(c.Centre)
	b := d.Dot(dir)
	return -b + math.Sqrt(math.Max(0, b*b-d.Dot(d)+c.R*c.R))
}
