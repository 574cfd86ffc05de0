package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
	"trimscribe/calib/lsq"
)

// A rimFit is a fitted rim.
type rimFit struct {
	rimProfile
	*lsq.Result
	forms []rimFit // with either lip, as far as there may be one
	plain float64  // by how much its lip is worth more than it must be; 0 for none
	other []shift  // standard deviations for its form's sake, each along a line
	bare  *rimFit  // the fit without a lip, if it has one
	near  *rimFit  // the fit from near that one from afar stands for; nil if it is from near itself
}

// A shift is by how much two mouths differ: in x, y and the radius, mm.
type shift [3]float64

// fitProfile refines a traced rim, in profiles of the given unit, mm. ok is false
// when they do not tell more than the trace did.
func fitProfile(p *Photo, cam calib.Camera, rim Rim, unit float64) (f rimFit, ok bool) {
	most := rim.mostR()
	f, next, ok := fitBand(newRimProfile(p, cam, rim, unit), rim)
	if ok && f.lip == sharp && f.circle().R > most {
		return f, false
	}
	for bands := 1; next != nil && bands < mostBands; bands++ {
		rim.Circle = *next
		g, after, seen := fitBand(newRimProfile(p, cam, rim, unit), rim)
		if !seen || g.lip == sharp && g.circle().R > most {
			break
		}
		if ok {
			g = f.orIn(g)
		}
		f, next, ok = g, after, true
	}
	return f, ok
}

// orIn is the fit as it is in another's band, or that other, whichever is the likelier there.
func (f rimFit) orIn(o rimFit) rimFit {
	here, ok := f.in(o.rimProfile)
	if !ok {
		return o
	}
	here.other = f.other
	if over := here.over(o); over > 0 && !here.strays(here.X) {
		return here.orMaybe(o, mistake(over))
	}
	return here.or(o, 0)
}

// fitBand is the fit of a traced rim in the band about it, and what another band that is to be
// looked at is about, as the mouth seems to lie there; nil when there is none.
func fitBand(m rimProfile, rim Rim) (f rimFit, next *calib.Circle, ok bool) {
	start := make([]float64, m.params())
	start[pDepth] = rim.wall
	bare, err := fitModel(m, start, 0)
	if err != nil {
		return rimFit{}, nil, false
	}
	f = rimFit{rimProfile: m, Result: bare}
	sharpest := m.left(bare.X)
	if walls, err := fitModel(m, m.shortFits(m.tries(0, 1, 2, 3.5, 5), 20), 0); err == nil && m.shows(walls.X) {
		worth := wallWorth
		if m.plainWall(rim.wall, bare.X) || rim.isBackLit() {
			worth = 0
		}
		if m.mouth(walls.X).R < rim.mostR() && !m.hidesFace(walls.X) {
			f = f.or(rimFit{rimProfile: m, Result: walls}, worth)
			sharpest = math.Min(sharpest, m.left(walls.X))
		}
	}
	// A lip must be worth more than what a wall explains, though that be too little to be
	// believed.
	worth := lipWorth + (f.left(f.X)-sharpest)/float64(len(f.rays))
	lips := []lipFit{f.lipTries(chamfer), f.lipTries(fillet)}
	for i := range lips {
		lips[i].fit()
	}
	if rim.next() == 0 { // whose edge is out there else
		next = f.towards(lips)
	}
	f = f.orLip(worth, lips...)
	if c := f.circle(); next == nil && f.moved(f.X) > 0.5*farthest*m.px {
		next = &c
	}
	return f, next, !f.strays(f.X)
}

// mostR is the radius from which on a fit without a lip is rather of the circle round the rim, mm, the edge
// of the boss or insert that a hole stands in, or a collar's: an insert's ring looks like a wall all round.
func (r Rim) mostR() float64 {
	if next := r.next(); next > 0 {
		return (r.R + next) / 2
	}
	return math.Inf(1)
}

// mostBands is how many bands are looked at, at most.
const mostBands = 4

// towards is halfway to the likeliest lip out of the band about the trace, which may have followed a
// plainer edge far within; nil when no lip there is worth another look.
func (f rimFit) towards(lips []lipFit) (next *calib.Circle) {
	least := -strayWorth
	for _, l := range lips {
		if l.Result == nil || !l.strays(l.X) {
			continue
		}
		o := rimFit{rimProfile: l.rimProfile, Result: l.Result}
		if over := f.over(o); over < least && o.mayBeLip() {
			c := midway(f.circle(), o.circle())
			least, next = over, &c
		}
	}
	return next
}

// mayBeLip tells whether a fit with a lip is not blurred away. How it is lit out there is
// for another band to tell, but what is plainly lighter than the face is an insert's ring.
func (f rimFit) mayBeLip() bool {
	return math.Exp(f.X[pBlur]) < mostBlur && f.X[pLit] < strayLit*meanLit[f.lip]
}

// midway is the circle between two.
func midway(a, b calib.Circle) calib.Circle {
	return calib.Circle{Centre: a.Centre.Add(b.Centre).Mul(0.5), R: (a.R + b.R) / 2}
}

// strayWorth is by how much, for each ray, a lip out of the band must be the likelier for
// another band to be looked at.
const strayWorth = 4.0

// strayLit is how light such a lip may seem to be, as a share of what a lip can be.
const strayLit = 1.25

// or is the fit, or one of another form if that is worth so much more for each
// ray. The one that is not taken may be the true one: by how much the two differ is
// uncertainty, as much as it is likely.
func (f rimFit) or(o rimFit, worth float64) rimFit {
	over := -f.over(o) - worth
	if over < 0 {
		return f.orMaybe(o, mistake(over))
	}
	o.other = f.other
	o = o.orMaybe(f, mistake(over))
	if o.lip != sharp {
		o.plain = over
	}
	return o
}

// orMaybe is the fit, and u how uncertain it is by the other's being the true one.
func (f rimFit) orMaybe(o rimFit, u float64) rimFit {
	a, b := f.circle(), o.circle()
	f.other = append(slices.Clone(f.other), shift{u * (b.Centre.X - a.Centre.X), u * (b.Centre.Y - a.Centre.Y), u * (b.R - a.R)})
	return f
}

// mistake is the standard deviation of what is 1 with the probability that the form not
// taken is the true one, and else 0. Of 132 rendered rims that two forms put more than 0.4
// px apart, the form not taken was the nearer one in 17 of 38 where it was worth up to 4 a
// ray less, in 29 of 72 to 8, in 4 of 18 to 12, in none of 4 above: none of the forms is
// quite what is there.
func mistake(over float64) float64 {
	p := 0.5 * math.Exp(-over*over/(tellingWorth*tellingWorth))
	return math.Sqrt(p * (1 - p))
}

// tellingWorth is by how much, for each ray, one form must be worth more than another to be
// plainly the right one.
const tellingWorth = 10.0

// isHole tells whether there is a fit, and of a hole.
func (f rimFit) isHole() bool { return f.Result != nil && 2*f.start.R <= MaxHole }

// plainWall tells whether a wall that the trace has is seen wider than a blurred
// edge is: then the photo shows it, whatever form explains it.
func (m rimProfile) plainWall(depth float64, x []float64) bool {
	return depth*m.sink.Norm() > 2*math.Exp(x[pBlur])*m.px
}

// circle is the mouth found, and its covariance as Rim.Cov has it.
func (f rimFit) circle() calib.Circle { return f.mouth(f.X) }

func (f rimFit) cov() (cov [3][3]float64) {
	cov = covOf(f.Result, [3]int{pX, pY, pR})
	for _, u := range f.other {
		for i := range 3 {
			for j := range 3 {
				cov[i][j] += u[i] * u[j]
			}
		}
	}
	return cov
}

// strays tells whether a fit has gone to another edge, or is no fit.
func (m rimProfile) strays(x []float64) bool {
	return m.moved(x) > farthest*m.px || m.hidesFace(x) || math.Exp(x[pBlur]) > mostBlur
}

// moved is how far a fit lies from the circle that its band is about, mm.
func (m rimProfile) moved(x []float64) float64 {
	return math.Hypot(x[pX], x[pY]) + math.Abs(x[pR])
}

// shows tells whether the mouth's edge, or its lip's, is plain on enough rays. On
// the near side there is no wall to be seen, so what is found there first is
// the inside or a shadow: without that, the mouth could be anything round them.
func (m rimProfile) shows(x []float64) bool {
	plain := 0
	edges := make([]float64, 0, mostEdges)
	for _, ray := range m.rays {
		fit := m.fitRay(ray, x, edges)
		most, mouth := 0.0, -1.0
		for k := 1; k < fit.n; k++ {
			if k < fit.n-1 && fit.stretches[k-1].end-fit.stretches[k].end < leastBand {
				continue // what is so narrow is not there
			}
			jump := math.Abs(fit.light(k) - fit.light(0))
			most = math.Max(most, jump)
			if mouth < 0 && k > len(lipFacets[m.lip]) {
				mouth = jump
			}
		}
		if mouth > plainEdge*most {
			plain++
		}
	}
	return float64(plain) > leastMouth*float64(len(m.rays))
}

// plainEdge is how plain an edge must be, as a share of the plainest on its ray.
const plainEdge = 0.3

// wallWorth is by how much, for each ray, a wall and a shadow must make a fit the
// likelier (in left's unit) to be believed against the trace alone. The grain,
// the gleam on a broken edge and the camera's sharpening are worth some; walls
// and shadows, where there are any, are mostly worth much more.
const wallWorth = 7.0

// tries looks about the trace for the mouth, the wall's end and the shadow, the
// likeliest first, each with another mouth. The trace is the mouth, or it mixes
// edges: on one side it may have followed the wall's end, and on another the
// shadow, and then the mouth is wider and lies elsewhere.
func (m rimProfile) tries(widths ...float64) []try {
	few := m.few(18)
	var out []try
	for _, wider := range widths { // px
		for _, off := range around(12, 0, 1.2, 2.5, 4) {
			if off.Norm() > wider+2 {
				continue
			}
			x := make([]float64, m.params())
			x[pX], x[pY], x[pR] = off.X*m.px, off.Y*m.px, wider*m.px
			best := try{x, few.left(x)}
			consider := func(x []float64) {
				if left := few.left(x); left < best.left {
					best = try{x, left}
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
	sortTries(out)
	return out
}

// mostDepth is the most depth that a wall is tried with, mm.
const mostDepth = 8.0

// shortFits returns the best of short fits from the likeliest guesses: a few
// steps from n, more from the best of these.
func (m rimProfile) shortFits(tries []try, n int) []float64 {
	few := m.few(36)
	for _, stage := range []struct{ fits, rounds int }{{n, 6}, {n / 4, 12}} {
		var fits []try
		for _, t := range tries[:min(stage.fits, len(tries))] {
			fits = append(fits, try{t.x, few.left(t.x)})
			if fit, err := fitModel(few, t.x, stage.rounds); err == nil {
				fits = append(fits, try{fit.X, few.left(fit.X)})
			}
		}
		sortTries(fits)
		tries = fits
	}
	return tries[0].x
}
