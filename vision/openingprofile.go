package vision

import (
	"cmp"
	"math"
	"slices"

	"trimscribe/calib"
	"trimscribe/calib/lsq"
)

// outlineProfile fits a traced outline as a wall's mouth with a second edge
// inside, as rimProfile does a circle: the same three levels across it at every
// station, the second edge being the mouth moved to one side.
type outlineProfile struct {
	start    calib.Outline
	x0       []float64 // of start
	steps    []float64
	px       float64
	stations []calib.Station
	rays     []profiledRay
	samples  int
}

// fit refines a traced outline by its profiles. ok is false when they do not
// tell more than the trace did.
func (t outlineTrace) fit(o *Opening) bool {
	m := t.newProfile(o.Outline)
	best, err := m.solve(m.guess())
	if err != nil {
		return false
	}
	n := len(m.x0)
	got := m.start.With(best.X[:n])
	for _, s := range m.stations {
		if math.Abs(got.Distance(s.At)) > farthest*m.px {
			return false
		}
	}
	if math.Exp(best.X[n+2]) > 4 {
		return false
	}
	// The half widths' variances, long and short, and the centre's.
	long, short := 3, 4
	if got.Half[1] > got.Half[0] && o.Shape != calib.ShapeD {
		long, short = short, long
	}
	which := [3]int{0, 1, short}
	for a, i := range which {
		for b, j := range which {
			o.Cov[a][b] = best.Cov.At(i, j)
		}
	}
	if o.Shape == calib.ShapeD { // its short width is the sum of its halves
		o.Cov[2][2] = (best.Cov.At(3, 3) + best.Cov.At(4, 4) + 2*best.Cov.At(3, 4)) / 4
		for a, i := range which[:2] {
			o.Cov[a][2] = (best.Cov.At(i, 3) + best.Cov.At(i, 4)) / 2
			o.Cov[2][a] = o.Cov[a][2]
		}
	}
	o.LongU = math.Sqrt(best.Cov.At(long, long))
	o.Outline = got.Upright()
	return true
}

func (t outlineTrace) newProfile(o calib.Outline) outlineProfile {
	m := outlineProfile{start: o, px: t.px, stations: o.Stations(t.count(o, 1.5, 110))}
	m.x0, m.steps = o.Vector()
	m.samples = int((profileIn+profileOut)/profileSpacing) + 1
	low := -profileIn * t.px
	high := low + float64(m.samples-1)*profileSpacing*t.px
	for k := range m.stations {
		ray := profiledRay{light: make([]float64, m.samples)}
		t.profile(m.stations, k, low, high, ray.light)
		sum := 0.0
		for _, v := range ray.light {
			sum += v / float64(m.samples)
		}
		ray.noise = 0.01 * (sum + 0.02)
		m.rays = append(m.rays, ray)
	}
	return m
}

// The parameters are the outline's, then the second edge's place against the
// mouth (x and y, mm) and the blur's sigma (px, as a logarithm).
func (m outlineProfile) solve(x0 []float64) (*lsq.Result, error) {
	h := 0.02 * m.px
	return lsq.Problem{
		Data: len(m.rays) * m.samples, Priors: len(m.x0) + 3, Eval: m.eval,
		Alike: 1 / profileSpacing, Floor: 0.2,
	}.Solve(x0, append(slices.Clone(m.steps), h, h, 0.01))
}

// guess is the best of a few fits from the likeliest places of the second edge.
func (m outlineProfile) guess() []float64 {
	few := m
	few.rays, few.stations = nil, nil
	for k := 0; k < len(m.rays); k += max(1, len(m.rays)/36) {
		few.rays, few.stations = append(few.rays, m.rays[k]), append(few.stations, m.stations[k])
	}
	type try struct {
		x    []float64
		left float64
	}
	var tries []try
	add := func(u, v, moved, grown float64) {
		o := m.start.Grown(grown)
		o.Centre = o.Centre.Sub(calib.Point{X: u, Y: v}.Mul(moved))
		x, _ := o.Vector()
		x = append(x, u, v, 0)
		tries = append(tries, try{x, few.left(x)})
	}
	add(0, 0, 0, 0)
	for _, band := range []float64{2, 5} { // px
		for k := range 8 {
			s, c := math.Sincos(2 * math.Pi * float64(k) / 8)
			for _, mixed := range []float64{0, 0.5} {
				add(band*m.px*c, band*m.px*s, mixed, mixed*band*m.px)
			}
		}
	}
	slices.SortFunc(tries, func(a, b try) int { return cmp.Compare(a.left, b.left) })
	best := tries[0]
	for _, t := range tries[:2] {
		if fit, err := few.solve(t.x); err == nil {
			if left := few.left(fit.X); left < best.left {
				best = try{fit.X, left}
			}
		}
	}
	return best.x
}

// left is how much a guess leaves unexplained, as rimProfile's.
func (m outlineProfile) left(x []float64) float64 {
	n := len(m.rays) * m.samples
	r := make([]float64, n+len(m.x0)+3)
	m.eval(x, r)
	sum := 0.0
	for _, v := range r[:n] {
		sum += math.Min(math.Abs(v), 30)
	}
	return sum
}

// eval compares the profiles with the model (lsq's residuals). Near the
// outline, a station lies as far inside it along its own normal as its distance
// says.
func (m outlineProfile) eval(x, r []float64) {
	n := len(m.x0)
	o := m.start.With(x[:n])
	second := calib.Point{X: x[n], Y: x[n+1]}
	blur := math.Exp(x[n+2])
	k := 0
	for i, ray := range m.rays {
		at := profileIn - o.Distance(m.stations[i].At)/m.px
		far := profileIn - o.Distance(m.stations[i].At.Sub(second))/m.px
		threeLevels(ray, at, math.Min(far, at), blur, r[k:k+m.samples])
		k += m.samples
	}
	m.start.Priors(x[:n], r[k:k+n])
	k += n
	r[k], r[k+1], r[k+2] = second.X/plausible[pU], second.Y/plausible[pV], x[n+2]/0.7
}
