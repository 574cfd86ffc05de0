package vision

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib"
	"trimscribe/calib/lsq"
)

// Profiles are the luminance along rays across a traced edge, to which a model of
// the edge is fitted: a rim's, an opening's or a body's.
type profiles struct {
	px   float64 // mm of one pixel at the edge
	rays []profiledRay
}

// A profiledRay is the luminance along one ray.
type profiledRay struct {
	calib.Station // where it starts and which way it goes
	light         []float64
	noise         float64 // what a residual is measured in: noise grows with light
}

// The stretch of each ray that is fitted, in pixels from the traced edge.
const (
	profileIn      = 7.0
	profileOut     = 5.0
	profileSpacing = 0.5
	profileSamples = (profileIn+profileOut)/profileSpacing + 1
)

// profiles samples each ray between two distances from where it starts, by so many lines.
func (s rays) profiles(px, low, high float64, lines int) profiles {
	out := profiles{px, make([]profiledRay, s.n)}
	for k := range out.rays {
		ray := profiledRay{Station: s.ray(float64(k)), light: make([]float64, profileSamples)}
		s.profile(k, low, high, lines, ray.light)
		sum := 0.0
		for _, v := range ray.light {
			sum += v / profileSamples
		}
		ray.noise = 0.01 * (sum + 0.02)
		out.rays[k] = ray
	}
	return out
}

// few is the same with about so many rays: no more than a guess needs.
func (p profiles) few(rays int) profiles {
	few := profiles{px: p.px}
	for k := 0; k < len(p.rays); k += max(1, len(p.rays)/rays) {
		few.rays = append(few.rays, p.rays[k])
	}
	return few
}

// samples is how many values all rays have.
func (p profiles) samples() int { return len(p.rays) * p.perRay() }

// perRay is how many each has: profileSamples, or fewer where the rays were ended (endAt).
func (p profiles) perRay() int { return len(p.rays[0].light) }

// A profileModel is what the profiles are taken for.
type profileModel interface {
	samples() int
	priors() int
	steps() []float64         // in which each parameter is varied
	eval(x, r []float64)      // the residuals: the samples', then the priors'
	left(x []float64) float64 // how much of the profiles a guess leaves unexplained
}

// fitModel fits a model from a guess, in at most the given rounds; 0 for as many
// as it takes.
func fitModel(m profileModel, x0 []float64, rounds int) (*lsq.Result, error) {
	problem := lsq.Problem{
		Data: m.samples(), Priors: m.priors(), Eval: m.eval,
		Alike: 1 / profileSpacing, Floor: 0.2, Rounds: rounds,
	}
	if m, ok := m.(interface{ slopes([]float64, *mat.Dense) }); ok {
		problem.Jacobian = m.slopes
	}
	return problem.Solve(x0, m.steps())
}

// unexplained is the sum of what a guess leaves of the profiles. What is far off
// counts no more than what is off.
func unexplained(m profileModel, x []float64) float64 {
	r := make([]float64, m.samples()+m.priors())
	m.eval(x, r)
	sum := 0.0
	for _, v := range r[:m.samples()] {
		sum += math.Min(math.Abs(v), 30)
	}
	return sum
}

// A try is a guess, and how much of the profiles it leaves unexplained.
type try struct {
	x    []float64
	left float64
}

// sortTries puts the likeliest first.
func sortTries(tries []try) {
	slices.SortStableFunc(tries, func(a, b try) int { return cmp.Compare(a.left, b.left) })
}

// bestOf returns the best of the guesses and of fits from the likeliest few.
func bestOf(m profileModel, tries []try, fits int) []float64 {
	sortTries(tries)
	best := tries[0]
	for _, t := range tries[:fits] {
		if fit, err := fitModel(m, t.x, 0); err == nil {
			if left := m.left(fit.X); left < best.left {
				best = try{fit.X, left}
			}
		}
	}
	return best.x
}

// A fit is believed when it has stayed near the trace and is not blurred away.
const (
	farthest = 6.0 // px from the trace; what is farther is another edge
	mostBlur = 4.0 // sigma, px
)

// plausibleBlur is the standard deviation of what is plausible of the blur's
// logarithm.
const plausibleBlur = 0.7

// covOf picks the covariance of three parameters of a fit.
func covOf(fit *lsq.Result, which [3]int) (cov [3][3]float64) {
	for a, i := range which {
		for b, j := range which {
			cov[a][b] = fit.Cov.At(i, j)
		}
	}
	return cov
}

// traceCov is the covariance of what only a trace tells: u, mm, each way
// and in the radius.
func traceCov(u float64) [3][3]float64 {
	return [3][3]float64{{u * u}, {0, u * u}, {0, 0, u * u}}
}

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

// crossingOf is how far from a point inside it a ray meets a circle.
func crossingOf(ray calib.Station, c calib.Circle) float64 {
	d := ray.At.Sub(c.Centre)
	b := d.Dot(ray.Out)
	return -b + math.Sqrt(math.Max(0, b*b-d.Dot(d)+c.R*c.R))
}
