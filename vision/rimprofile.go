package vision

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib"
)

// Beside a mouth there are often more edges, a pixel or five inside it: the far
// end of the wall, where the camera looks along it; the edge of the mouth's own
// shadow on what lies behind, where the lamp does; the inner edge of a chamfer,
// all round. An edge filter that sees two at once puts each in the wrong place,
// and a different one first on every side. So a rim that has been traced is
// fitted once more, as what it is. The wall's end and the shadow are circles as
// wide as the opening, deeper and so seen moved to one side; along each ray the photo should
// show the face, a band or two, and what lies behind, each of one level, blurred
// together. The levels are free on every ray; the circles are the same all round,
// and so is the blur, but for a hand's motion, and how a lip's light goes round.
type rimProfile struct {
	profiles
	lip    lip
	start  calib.Circle
	sink   calib.Point // where a circle's centre seems to go per mm that it lies deeper, mm
	shrink float64     // by what share its radius does
	held   float64     // radius that it is held near, mm; 0 for none
	widest float64     // radius that a mouth may have, for some of the face to show before the next edge, mm; 0 for any
}

// leastBand is the width in pixels below which a band cannot be told
// from its neighbours.
const leastBand = 0.5

// The parameters of the fit.
const (
	pX       = iota // of the mouth's centre, mm from the start
	pY              //
	pR              // radius, mm more than at the start
	pBlur           // sigma, px, as a logarithm
	pHalo           // strength of the camera's sharpening
	pStreak         // how the blur's logarithm goes with twice the direction: cosine
	pStreak2        // and sine; a hand's motion blurs one way
	pDepth          // of the wall, mm
	pU              // of the shadow's centre, mm from the opening's
	pV              //
	pNarrow         // how much narrower the opening is than the mouth, mm; only with a lip
	pLit            // how light that is against the face: lipTerms numbers
)

// Standard deviations of what is plausible: of the blur's logarithm, the halo, the streak,
// the depth, the shadow's place, the lip (mm) and its light.
var plausible = [...]float64{pBlur: plausibleBlur, pHalo: 0.5, pStreak: 0.2, pStreak2: 0.2, pDepth: 4, pU: 1.5, pV: 1.5, pNarrow: 0.4, pLit: 1, 1, 1, 0.5, 0.5}

// newRimProfile samples the profiles about a rim. Their unit is a photo's pixel, or more
// where more of the rim's neighbourhood is to be seen.
func newRimProfile(p *Photo, cam calib.Camera, rim Rim, unit float64) rimProfile {
	line, perMM := parallax(cam, rim)
	m := rimProfile{start: rim.Circle, sink: line.Mul(-perMM), shrink: 1 / (cam.Eye().Z - rim.Z)}
	look := closeLook(cam, rim.Z, rim.Circle)
	low := m.innermost(unit)
	m.profiles = raysFrom(p, cam, rim.Z, rim.Centre, look.rays).profiles(unit, low, low+(profileIn+profileOut)*unit, look.lines)
	return m
}

// innermost is how far from the middle the profiles begin, mm.
func (m rimProfile) innermost(px float64) float64 { return math.Max(0, m.start.R-profileIn*px) }

// few is the same with about so many rays.
func (m rimProfile) few(rays int) rimProfile {
	m.profiles = m.profiles.few(rays)
	return m
}

func (m rimProfile) params() int {
	if m.lip != sharp {
		return pLit + lipTerms
	}
	return pNarrow
}

// priors is one for every parameter but the mouth's place and size.
func (m rimProfile) priors() int {
	n := m.params() - pBlur
	if m.held > 0 {
		n++
	}
	return n
}

func (m rimProfile) steps() []float64 {
	steps := make([]float64, m.params())
	for i := range steps {
		steps[i] = 0.02 * m.px
	}
	steps[pBlur], steps[pHalo], steps[pStreak], steps[pStreak2], steps[pDepth] = 0.01, 0.01, 0.01, 0.01, 0.05
	for i := pLit; i < len(steps); i++ {
		steps[i] = 0.01
	}
	return steps
}

// left is how unlikely a guess is: twice the negative log likelihood of what it
// leaves, taken for Laplace's errors of unknown scale, so that a face's grain counts for
// no more than it is, and what its levels cost.
func (m rimProfile) left(x []float64) float64 {
	n := float64(m.samples())
	return 2*n*profileSpacing*math.Log(quiet+unexplained(m, x)/n) + levelCost*float64(m.levels(x))
}

// levelCost is what a further level on a ray must explain to count: more than any
// number would (G. Schwarz, Annals of Statistics 6 (1978) 461, for the dozen
// independent samples of a ray).
const levelCost = 2.5

// quiet is what no photo is better than, in a ray's unit of noise: below that,
// what is left tells only that the blur is not just as the model has it.
const quiet = 0.4

// levels is how many levels the rays plainly show, each a number that is free. A lip
// has none: its light follows from the face's.
func (m rimProfile) levels(x []float64) int {
	n := 0
	edges := make([]float64, 0, mostEdges)
	for _, ray := range m.rays {
		on := m.edgesOn(ray, x, edges)
		if m.lip != sharp {
			on = on[1:]
		}
		n += 2
		for k := range len(on) - 1 {
			if on[k]-on[k+1] > leastBand {
				n++
			}
		}
	}
	return n
}

func (m rimProfile) mouth(x []float64) calib.Circle {
	return calib.Circle{Centre: m.start.Centre.Add(calib.Point{X: x[pX], Y: x[pY]}), R: m.start.R + x[pR]}
}

// soft is how a sharp edge looks across a ray.
func (m rimProfile) soft(ray profiledRay, x []float64) softStep {
	cos2, sin2 := twice(ray.Out)
	return newSoftStep(math.Exp(x[pBlur]+x[pStreak]*cos2+x[pStreak2]*sin2), x[pHalo])
}

// twice is the cosine and sine of twice a direction.
func twice(dir calib.Point) (cos, sin float64) {
	return dir.X*dir.X - dir.Y*dir.Y, 2 * dir.X * dir.Y
}

// eval compares the profiles with the model (lsq's residuals).
func (m rimProfile) eval(x, r []float64) {
	edges := make([]float64, 0, mostEdges)
	for k, ray := range m.rays {
		fit := m.fitRay(ray, x, edges)
		fit.residuals(r[k*m.perRay():])
	}
	for i := pBlur; i < len(x); i++ {
		r[m.samples()+i-pBlur] = x[i] / plausible[i]
	}
	if m.held > 0 {
		r[m.samples()+len(x)-pBlur] = (m.start.R + x[pR] - m.held) / heldU
	}
}

func (m rimProfile) fitRay(ray profiledRay, x, edges []float64) levelFit {
	return fitRay(ray, modelRay(m.edgesOn(ray, x, edges), m.band(ray, x), m.soft(ray, x)))
}

// slopes differentiates eval: each ray's own parameters follow from the rim's.
func (m rimProfile) slopes(x []float64, jac *mat.Dense) {
	jac.Zero()
	edges := make([]float64, 0, mostEdges)
	for k, ray := range m.rays {
		fit := m.fitRay(ray, x, edges)
		byRay := fit.slopes()
		for p, by := range m.raySlopes(ray, x) {
			for own, slope := range by {
				if slope == 0 {
					continue
				}
				for i, v := range byRay[own][:m.perRay()] {
					row := jac.RawRowView(k*m.perRay() + i)
					row[p] += slope * v
				}
			}
		}
	}
	for i := pBlur; i < len(x); i++ {
		jac.Set(m.samples()+i-pBlur, i, 1/plausible[i])
	}
	if m.held > 0 {
		jac.Set(m.samples()+len(x)-pBlur, pR, 1/heldU)
	}
}

// raySlopes differentiates a ray's own parameters by each of the rim's.
func (m rimProfile) raySlopes(ray profiledRay, x []float64) [][rayParams]float64 {
	out := make([][rayParams]float64, len(x))
	out[pBlur][ofBlur], out[pHalo][ofHalo] = 1, 1
	out[pStreak][ofBlur], out[pStreak2][ofBlur] = twice(ray.Out)
	if m.lip != sharp && !m.band(ray, x).bound {
		for k, v := range lipSeries(ray.Out) {
			out[pLit+k][ofLit] = v
		}
	}
	y := slices.Clone(x)
	steps := m.steps()
	above, below := make([]float64, 0, mostEdges), make([]float64, 0, mostEdges)
	for _, p := range m.shape() {
		h := 0.01 * steps[p] // so short that it seldom meets where an edge goes behind another
		y[p] = x[p] + h
		above = m.edgesOn(ray, y, above)
		y[p] = x[p] - h
		below = m.edgesOn(ray, y, below)
		y[p] = x[p]
		for e := range above {
			out[p][e] = (above[e] - below[e]) / (2 * h)
		}
	}
	return out
}

// shape lists the parameters that tell where the edges are.
func (m rimProfile) shape() []int {
	shape := []int{pX, pY, pR, pDepth, pU, pV, pNarrow}
	if m.lip == sharp {
		return shape[:6]
	}
	return shape
}

// edgesOn returns where a ray meets the circles, in pixels from its first
// sample, the mouth first and the rest further in; what is no further in than
// the one before it is where that is, so that nothing comes or goes by leaps. With
// a lip, the first band is that.
func (m rimProfile) edgesOn(ray profiledRay, x []float64, edges []float64) []float64 {
	low := m.innermost(m.px)
	meet := func(c calib.Circle) float64 { return (crossingOf(ray.Station, c) - low) / m.px }
	opening := m.mouth(x)
	edges = append(edges[:0], meet(opening))
	if m.lip != sharp { // it hides what is behind it
		opening = m.opening(x)
		edges = append(edges, math.Min(edges[0], meet(opening)))
	}
	// The shadow lies about as deep as the wall ends, so it is seen as much smaller.
	depth := math.Max(0, x[pDepth])
	r := opening.R * (1 - depth*m.shrink)
	wall := meet(calib.Circle{Centre: opening.Centre.Add(m.sink.Mul(depth)), R: r})
	shadow := meet(calib.Circle{Centre: opening.Centre.Add(calib.Point{X: x[pU], Y: x[pV]}), R: r})
	for _, at := range [2]float64{math.Max(wall, shadow), math.Min(wall, shadow)} {
		edges = append(edges, math.Min(edges[len(edges)-1], at))
	}
	return edges
}
