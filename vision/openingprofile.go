package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// outlineProfile fits a traced outline as a wall's mouth with a second edge
// inside, as rimProfile does a circle: the same three levels across it at every
// station, the second edge being the mouth moved to one side.
type outlineProfile struct {
	profiles
	start calib.Outline
	x0    []float64 // of start
	vary  []float64 // in which steps
}

// fit refines a traced outline by its profiles. ok is false when they do not
// tell more than the trace did.
func (t outlineTrace) fit(o *Opening) bool {
	m := t.newProfile(o.Outline)
	best, err := fitModel(m, m.guess(), 0)
	if err != nil {
		return false
	}
	n := len(m.x0)
	got := m.start.With(best.X[:n])
	for _, ray := range m.rays {
		if math.Abs(got.Distance(ray.At)) > farthest*m.px {
			return false
		}
	}
	if math.Exp(best.X[n+2]) > mostBlur {
		return false
	}
	// The half widths' variances, long and short, and the centre's.
	long, short := 3, 4
	if got.Half[1] > got.Half[0] && o.Shape != calib.ShapeD {
		long, short = short, long
	}
	which := [3]int{0, 1, short}
	o.Cov = covOf(best, which)
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
	m := outlineProfile{start: o}
	m.x0, m.vary = o.Vector()
	across := t.across(o.Stations(t.count(o, 1.5, 110)))
	m.profiles = across.profiles(t.px, -profileIn*t.px, profileOut*t.px, 3)
	return m
}

// guess is the best of a few fits from the likeliest places of the second edge.
func (m outlineProfile) guess() []float64 {
	few := m
	few.profiles = m.profiles.few(36)
	var tries []try
	add := func(off calib.Point, moved, grown float64) {
		o := m.start.Grown(grown)
		o.Centre = o.Centre.Sub(off.Mul(moved))
		x, _ := o.Vector()
		x = append(x, off.X, off.Y, 0)
		tries = append(tries, try{x, few.left(x)})
	}
	add(calib.Point{}, 0, 0)
	for _, band := range []float64{2, 5} { // px
		for _, off := range around(8, band*m.px) {
			add(off, 0, 0)
			add(off, 0.5, 0.5*band*m.px) // the trace has mixed the two
		}
	}
	return bestOf(few, tries, 2)
}

// The parameters are the outline's, then the second edge's place against the
// mouth (x and y, mm) and the blur's sigma (px, as a logarithm).
func (m outlineProfile) priors() int { return len(m.x0) + 3 }

func (m outlineProfile) steps() []float64 {
	h := 0.02 * m.px
	return append(slices.Clone(m.vary), h, h, 0.01)
}

func (m outlineProfile) left(x []float64) float64 { return unexplained(m, x) }

// eval compares the profiles with the model (lsq's residuals). Near the
// outline, a station lies as far inside it along its own normal as its distance
// says.
func (m outlineProfile) eval(x, r []float64) {
	n := len(m.x0)
	o := m.start.With(x[:n])
	second := calib.Point{X: x[n], Y: x[n+1]}
	blur := math.Exp(x[n+2])
	k := 0
	for _, ray := range m.rays {
		at := profileIn - o.Distance(ray.At)/m.px
		far := profileIn - o.Distance(ray.At.Sub(second))/m.px
		threeLevels(ray, at, math.Min(far, at), blur, r[k:k+profileSamples])
		k += profileSamples
	}
	m.start.Priors(x[:n], r[k:k+n])
	k += n
	r[k], r[k+1], r[k+2] = second.X/plausible[pU], second.Y/plausible[pV], x[n+2]/plausibleBlur
}
