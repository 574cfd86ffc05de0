package vision

import "math"

// mostEdges is how many edges a ray may meet.
const mostEdges = 4

// fitLevels fits one luminance to each stretch between a ray's edges, leaves
// what remains in r, and returns them from the face inwards. The first band may
// be a lip's, whose light follows from the face's; then it has no level, or if
// it is to be found, the first. A band is never darker than black nor much
// lighter than both the face and the inside: without that, a narrow one could
// be anything.
func fitLevels(ray profiledRay, edges []float64, first lipBand, soft softStep, r []float64) [mostEdges + 1]float64 {
	n := len(edges) + 1 // levels: the face, the bands, the inside
	var share [profileSamples][mostEdges + 1]float64
	var eq levelEquations
	for i := range ray.light {
		sh := &share[i]
		below := 1.0
		for k, at := range edges {
			s := soft.at(float64(i)*profileSpacing - at)
			sh[k] = s - (1 - below) // the first: below is 1
			below = 1 - s
		}
		sh[n-1] = below
		if first.lip == fillet {
			sh[0], sh[1] = soft.overFillet(float64(i)*profileSpacing, edges[0], edges[1])
		}
		if first.lip != sharp && !first.free {
			sh[0] += first.lit * sh[1]
			copy(sh[1:], sh[2:n])
		}
	}
	if first.lip != sharp && !first.free {
		n--
	}
	for i, y := range ray.light {
		sh := &share[i]
		for a := range n {
			for b := a; b < n; b++ {
				eq.a[a][b] += sh[a] * sh[b]
			}
			eq.b[a] += sh[a] * y
		}
	}
	level := eq.solve(n, first)
	for i, y := range ray.light {
		for a := range n {
			y -= share[i][a] * level[a]
		}
		r[i] = y / ray.noise
	}
	return level
}

// threeLevels is fitLevels for one band at most, without a halo: the mouth's edge
// and the band's end, in pixels from the first sample.
func threeLevels(ray profiledRay, mouth, end, blur float64, r []float64) {
	edges := [mostEdges]float64{mouth, end}
	n := 1
	if mouth-end > leastBand {
		n = 2
	}
	fitLevels(ray, edges[:n], lipBand{}, softStep{blur: 1 / blur}, r)
}

// levelEquations are the normal equations of a ray's levels; the upper half.
type levelEquations struct {
	a [mostEdges + 1][mostEdges + 1]float64
	b [mostEdges + 1]float64
}

// solve returns n levels. Bands out of their bounds are held there, and the
// others found anew.
func (q levelEquations) solve(n int, first lipBand) [mostEdges + 1]float64 {
	level := q.free(n)
	lightest := math.Max(0, 1.1*math.Max(level[0], level[n-1]))
	for k := 1; k < n-1; k++ {
		least, most := 0.0, lightest
		if k == 1 && first.free {
			least, most = first.bounds()
			least, most = least*math.Max(0, level[0]), most*math.Max(0, level[0])
		}
		if held := clamp(level[k], least, most); held != level[k] {
			q.hold(k, held, n)
			level = q.free(n)
		}
	}
	return level
}

// hold fixes a level: the others' equations take it as known.
func (q *levelEquations) hold(k int, level float64, n int) {
	for i := range n {
		if i == k {
			continue
		}
		lo, hi := min(i, k), max(i, k)
		q.b[i] -= q.a[lo][hi] * level
		q.a[lo][hi] = 0
	}
	q.b[k] = q.a[k][k] * level
}

// free solves the equations without bounds, by Cholesky's decomposition; what
// no sample sees comes out as nought.
func (q levelEquations) free(n int) (level [mostEdges + 1]float64) {
	const tiny = 1e-9
	a := &q.a
	for i := range n {
		for j := range i {
			a[i][i] -= a[j][i] * a[j][i]
		}
		a[i][i] = math.Sqrt(math.Max(a[i][i]+tiny, tiny))
		for k := i + 1; k < n; k++ {
			for j := range i {
				a[i][k] -= a[j][i] * a[j][k]
			}
			a[i][k] /= a[i][i]
		}
	}
	for i := range n {
		level[i] = q.b[i]
		for j := range i {
			level[i] -= a[j][i] * level[j]
		}
		level[i] /= a[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			level[i] -= a[i][k] * level[k]
		}
		level[i] /= a[i][i]
	}
	return level
}

// A softStep is a step as the camera shows it: blurred, and sharpened again by
// taking away a share of a wider blur, which leaves a halo on either side.
type softStep struct{ blur, wide, halo float64 } // the blurs inverted

// haloWidth is the sigma, px, of the wider blur's part that phones commonly
// sharpen by.
const haloWidth = 1.5

func newSoftStep(blur, halo float64) softStep {
	return softStep{1 / blur, 1 / math.Hypot(blur, haloWidth), halo}
}

// at returns the step at u pixels from it: 0 far below, 1 far above.
func (s softStep) at(u float64) float64 {
	if s.halo == 0 {
		return step(u * s.blur)
	}
	return (1+s.halo)*step(u*s.blur) - s.halo*step(u*s.wide)
}

// overFillet is how much a sample shows of the face and of a fillet's wall, where
// the fillet reaches from the mouth in to the opening.
func (s softStep) overFillet(at, mouth, opening float64) (face, wall float64) {
	outside := s.at(at - mouth)
	face = outside
	for _, f := range filletFacets {
		upTo := s.at(at - mouth - f.end*(opening-mouth))
		face += f.face * (upTo - outside)
		wall += f.wall * (upTo - outside)
		outside = upTo
	}
	return face, wall
}

// stepTable holds the normal distribution function, to steepTo deviations on
// either side: it is asked for some ten million times a photo.
var stepTable = func() (t [2*steepTo*stepsPer + 2]float64) {
	for i := range t {
		t[i] = 0.5 * (1 + math.Erf((float64(i)/stepsPer-steepTo)/math.Sqrt2))
	}
	return t
}()

const (
	steepTo  = 5
	stepsPer = 64
)

// step is a blurred step: the normal distribution function.
func step(u float64) float64 {
	at := (u + steepTo) * stepsPer
	switch {
	case at <= 0:
		return 0
	case at >= 2*steepTo*stepsPer:
		return 1
	}
	i := int(at)
	return stepTable[i] + (at-float64(i))*(stepTable[i+1]-stepTable[i])
}
