package vision

import (
	"math"

	"trimscribe/calib"
)

// What a traced edge must have.
const (
	leastRun     = 3.0  // mm long
	leastPiece   = 1.5  // mm, of what may be joined to more
	leastRefined = 0.6  // share of its points that the photo itself shows
	mostGradual  = 0.17 // mm: the standard deviation of its blur beyond that of a printed edge
)

// refineEdge finds a run's points in the photo itself: across the edge, where
// the light steps most. A second look takes a filter as wide as the edge is
// soft, for less noise. What is more gradual than sharp (mm) is left out: the
// edges of most shadows are, and a moulding's, rounded by some tenths of a
// millimetre, are not.
func refineEdge(p *Photo, cam calib.Camera, c chain, sharp float64) []chain {
	if length(c.points) < leastPiece {
		return nil
	}
	px := 1 / cam.PxPerMM(c.points[len(c.points)/2], 0)
	first := lookAcross(p, cam, c, 1, px)
	if float64(len(first.points)) < leastRefined*float64(len(c.points)) || median(first.jump) < leastJump {
		return nil
	}
	best := lookAcross(p, cam, first.chain, math.Max(1, math.Min(median(first.blur), mostSoft)), px)
	limit := math.Hypot(sharp, mostGradual)
	soft := rollingMedian(best.blur, int(judgedOver/px))
	var out []chain
	for _, run := range best.runs(func(i int) bool { return soft[i]*px < limit }) {
		if length(run.points) >= leastPiece {
			out = append(out, run.trimmed())
		}
	}
	return out
}

// judgedOver is how far along an edge, mm either way, its blur is judged.
const judgedOver = 2.0

// mostSoft is the widest filter of a second look, px.
const mostSoft = 4

// printedBlur is the median blur of the squares' printed edges or the card's own,
// mm: what the lens and the focus make of a sharp edge in this photo.
func printedBlur(p *Photo, cam calib.Camera, papers []Paper) float64 {
	var blurs []float64
	for _, paper := range papers {
		lighter := []float64{1} // outside: the frame is black, the paper white
		if paper.isCard() {
			lighter = []float64{1, -1} // a card may be either
		}
		corners := paper.corners(paper.Half)
		for i, a := range corners {
			b := corners[(i+1)%4]
			for _, way := range lighter {
				var side chain
				for k := range 100 {
					q := a.Add(b.Sub(a).Mul((float64(k) + 0.5) / 100))
					side.points = append(side.points, q)
					side.light = append(side.light, q.Sub(paper.Centre).Mul(way))
				}
				px := 1 / cam.PxPerMM(side.points[50], 0)
				for _, v := range lookAcross(p, cam, side, 1, px).blur {
					blurs = append(blurs, v*px)
				}
			}
		}
	}
	if len(blurs) == 0 {
		return 0
	}
	return median(blurs)
}

// rollingMedian is the median of each value and its neighbours.
func rollingMedian(v []float64, reach int) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = median(v[max(0, i-reach):min(len(v), i+reach+1)])
	}
	return out
}

// A sighted chain is one whose points the photo itself gave.
type sighted struct {
	chain
	blur []float64 // standard deviation of the step's blur at each, px
	jump []float64 // the step as a share of the brighter side
}

// lookAcross samples the photo across a chain at each of its points, with a
// filter of the given sigma, px, and takes the step that lies nearest. px is a
// pixel's size, mm.
func lookAcross(p *Photo, cam calib.Camera, c chain, sigma, px float64) sighted {
	f := newStepFilter(sigma, 0.5)
	reach := 4 + int(sigma) // samples either side in which the step may lie
	n := 2*(reach+f.margin()+2) + 1
	profile, response := make([]float64, n), make([]float64, n)
	s := sighted{chain: chain{closed: c.closed}}
	half := 0.25 * px * float64(n-1)
	for i, q := range c.points {
		normal := c.normal(i)
		sight := newSightline(cam, q, normal, 0, -half, half)
		for k := range profile {
			profile[k] = p.At(sight.at(float64(k) / float64(n-1)))
		}
		f.respondInto(response, profile)
		best := 0
		for k := n/2 - reach; k <= n/2+reach; k++ {
			if response[k] > 0 && response[k] >= response[k-1] && response[k] > response[k+1] &&
				(best == 0 || abs(k-n/2) < abs(best-n/2)) {
				best = k
			}
		}
		if best == 0 {
			continue
		}
		off := half * (2*peak(response, best)/float64(n-1) - 1)
		s.points = append(s.points, q.Add(normal.Mul(off)))
		s.light = append(s.light, normal)
		s.blur = append(s.blur, blurOf(response, best, sigma))
		s.jump = append(s.jump, response[best]/brightest(profile, best, f.margin()))
	}
	return s
}

// trimmed leaves off a few points at an open chain's ends, where the edge turns
// off or fades.
func (c chain) trimmed() chain {
	const off = 2
	if c.closed || len(c.points) < 8*off {
		return c
	}
	return chain{points: c.points[off : len(c.points)-off], light: c.light[off : len(c.light)-off]}
}

// normal is the direction across the chain at a point, towards the light, by
// the way from the points before it to those behind it.
func (c chain) normal(i int) calib.Point {
	const k = 3
	n := len(c.points)
	a, b := max(0, i-k), min(n-1, i+k)
	if c.closed {
		a, b = (i-k+n)%n, (i+k)%n
	}
	d := c.points[b].Sub(c.points[a])
	m := calib.Point{X: -d.Y, Y: d.X}
	if m.Dot(c.light[i]) < 0 {
		m = m.Mul(-1)
	}
	if m.Norm() == 0 {
		return c.light[i]
	}
	return m.Mul(1 / m.Norm())
}

// blurOf is the standard deviation, px, of the blur of a step whose response
// peaks at i. The response to it is a Gaussian of the variances' sum, so that
// two samples, a pixel, off its peak it has fallen by the factor exp(-1/2 / sum).
func blurOf(response []float64, i int, sigma float64) float64 {
	fall := math.Log(2 * response[i] / math.Max(response[i-2]+response[i+2], 1e-9))
	if fall <= 0 {
		return math.Inf(1)
	}
	return math.Sqrt(math.Max(0, 1/(2*fall)-sigma*sigma))
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}
