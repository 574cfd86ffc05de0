package vision

import (
	"cmp"
	"math"
	"slices"

	"trimscribe/calib"
	"trimscribe/calib/lsq"
)

// A tweeter that is mocked up in the opening shows its back. Its body's rim is
// the outer edge of something raised, and so unlike a hole's mouth: what casts
// a shadow or shows its wall lies outside it, and magnet, basket and terminals
// stand inside, each with circles of their own. What tells it from them all is its
// diameter, which the callipers say to a tenth of a millimetre; so the votes
// here are for the centre, and for no radius but the known one and a little less.

// How far, mm, the circle that is seen may be from half the diameter that the callipers say,
// as standard uncertainties: half of +-0.15 on the diameter, for a moulded rim is not quite
// round; and narrower by what rounds its edge, since callipers span it at its widest, and
// where its flat back ends is often plainer.
const (
	bodyU    = 0.075
	roundedU = 0.2
	rounded  = 0.5 // at the most
)

// bodyOff is how far a radius is from the known one, in its uncertainty.
func bodyOff(r, known float64) float64 {
	if r < known {
		return (r - known) / roundedU
	}
	return (r - known) / bodyU
}

const (
	bodyGuesses = 24   // places looked at closely
	bodyScale   = 3.0  // px per mm of the view in which they are looked for
	leastBody   = 0.40 // least coverage: putty, shadow and glare hide much
	bodiesApart = 0.2  // mm: nearer centres are one
	mostBodies  = 3
)

// FindBodies returns the circles of the diameter given, mm, that the photo
// shows in the plane at height z, the likeliest first: at most three, each where
// a tweeter's body may sit. Their Coverage is the share that shows an edge. Circles found
// in the face that would be about as wide in that plane are looked at too.
func FindBodies(p *Photo, cam calib.Camera, s Search, diameter, z float64, circles []Rim) []Rim {
	r := diameter / 2
	seen := cam.Carry(calib.Circle{R: 1}, z, 0).R // about by how much less it is at the face's height
	view := flattenAt(p, cam, s.reach(), bodyScale)
	guesses := guessCircles(view, 0.93*r/seen, 1.07*r/seen)
	var places []calib.Point
	for _, g := range guesses[:min(len(guesses), bodyGuesses)] {
		places = append(places, cam.Carry(g.Circle, 0, z).Centre)
	}
	for _, o := range circles {
		if c := cam.Carry(o.Circle, o.Z, z); c.R > r-rounded && c.R < r+5*bodyU {
			places = append(places, c.Centre)
		}
	}
	out := findEach(len(places), func(i int) (Rim, bool) {
		return traceBody(p, cam, z, calib.Circle{Centre: places[i], R: r})
	})
	slices.SortStableFunc(out, func(a, b Rim) int { return cmp.Compare(b.BodyOdds(diameter), a.BodyOdds(diameter)) })
	var distinct []Rim
	for _, rim := range out { // of odds below 0 are circles of chance
		if len(distinct) < mostBodies && rim.BodyOdds(diameter) > 0 && !slices.ContainsFunc(distinct, func(o Rim) bool { return o.Centre.Dist(rim.Centre) < bodiesApart }) {
			distinct = append(distinct, rim)
		}
	}
	return distinct
}

// BodyOdds is the log odds that a circle is the rim of the body whose diameter
// was given.
func (r Rim) BodyOdds(diameter float64) float64 {
	off := bodyOff(r.R, diameter/2)
	if off > 0 {
		off /= 2 // callipers squeeze, and are held askew
	}
	return clamp(16*(r.Coverage-0.42)-off*off/2, -5, 6)
}

// offCost is how much more of a circle must show an edge for each square of bodyOff.
const offCost = 0.03

// likeliestBody is the circle that the most rays cross an edge on, against how far its
// radius is from the known one.
func likeliestBody(rings []ringVote, known float64) (best ringVote) {
	most := math.Inf(-1)
	for _, v := range rings {
		off := bodyOff(v.circle.R, known)
		if worth := v.share - offCost*off*off; v.share > 0 && worth > most {
			best, most = v, worth
		}
	}
	return best
}

// traceBody looks for a circle of known radius about a guess, and fits it.
func traceBody(p *Photo, cam calib.Camera, z float64, g calib.Circle) (Rim, bool) {
	px := 1 / cam.PxPerMM(g.Centre, z)
	look := closeLook(cam, z, g)
	grain := faceGrain(p, cam, z, g, look)
	r := g.R
	for _, step := range []struct{ bin, reach, narrower, wider float64 }{
		{math.Max(0.02*r, 2*px), 0.14 * r, 0, 0},
		{math.Max(0.006*r, px), 0.05 * r, rounded, 0},
		{0.6 * px, math.Max(0.016*r, 3*px), px, px},
	} {
		// From afar the radius is the known one, whichever of such wide bins has the most votes.
		about := r
		if step.wider > 0 {
			about = g.R
		}
		near := vote{bin: step.bin, low: about - step.narrower - step.bin, high: about + step.wider + step.bin, reach: step.reach}
		if step.reach > 0.1*r {
			look.rays, look.lines = coarseRays, 1
		} else {
			look = closeLook(cam, z, g)
		}
		look.spacing, look.sigma = math.Max(0.5*px, step.bin/6), math.Max(px, step.bin/3)
		look.grain = grain
		beyond := step.reach + step.bin
		all := raysFrom(p, cam, z, g.Centre, look.rays).crossings(near.low-beyond, near.high+beyond, look)
		body := likeliestBody(near.rings(all, g.Centre, look.rays), r)
		if body.share < 0.5*leastBody {
			return Rim{}, false
		}
		g = body.circle
	}
	look = closeLook(cam, z, g)
	look.grain = grain
	rim := Rim{Z: z}
	for range 5 {
		all := raysFrom(p, cam, z, g.Centre, look.rays).crossings(g.R-4*px, g.R+4*px, look)
		pts := nearCircle(all, g, onRim*px)
		fit, ok := knownCircle(pts, g, r, px)
		if !ok || !Sees(p, cam, fit, z) {
			return Rim{}, false
		}
		g = fit
		rim.Points, rim.Coverage = pts, float64(len(pts))/float64(look.rays)
	}
	if rim.Coverage < leastBody {
		return Rim{}, false
	}
	rim.Circle = g
	rim.Points = project(cam, rim.Points, z)
	rim.compare(p, cam)
	m := newBodyProfile(p, cam, rim, r)
	rim.Cov = traceCov(px / 3)
	if c, cov, ok := m.fit(); ok {
		rim.Circle, rim.Cov = c, cov
	}
	rim.Fitted = true
	return rim, true
}

// knownCircle fits a circle to points, its radius held near r as bodyOff has it.
func knownCircle(pts []calib.Point, c calib.Circle, r, px float64) (calib.Circle, bool) {
	if len(pts) < 8 {
		return c, false
	}
	fit, err := lsq.Problem{
		Data: len(pts), Priors: 1, Alike: 1, Floor: px / 8,
		Eval: func(x, res []float64) {
			for i, q := range pts {
				res[i] = math.Hypot(q.X-x[0], q.Y-x[1]) - x[2]
			}
			res[len(pts)] = bodyOff(x[2], r)
		},
	}.Solve([]float64{c.Centre.X, c.Centre.Y, c.R}, []float64{1e-3, 1e-3, 1e-3})
	if err != nil {
		return c, false
	}
	return calib.Circle{Centre: calib.Point{X: fit.X[0], Y: fit.X[1]}, R: fit.X[2]}, fit.X[2] > r-rounded-bodyU && fit.X[2] < r+5*bodyU
}

// plainBody is the log odds from which a body is one, and what lies on it is a
// part of it.
const plainBody = 2.0

// IsBody tells whether a circle is plainly the rim of the body whose diameter was given.
func (r Rim) IsBody(diameter float64) bool { return r.BodyOdds(diameter) >= plainBody }

// Hides tells whether a circle seen in another plane is a part of the body: it
// lies on it, or is its rim, which in another plane seems a little wider.
func (r Rim) Hides(cam calib.Camera, diameter float64, c calib.Circle, z float64) bool {
	if !r.IsBody(diameter) {
		return false
	}
	c = cam.Carry(c, z, r.Z)
	apart := c.Centre.Dist(r.Centre)
	return apart+c.R < 1.05*r.R || apart < sameRim && math.Abs(c.R-r.R) < sameRim
}

// Behind a body lies what is this near to its outline, px: there is its blur, and a gap too
// narrow to show its far edge. A rim is measured while no more than this share of it is hidden.
const (
	besideBody = 3.0
	mostHidden = 0.5
)

// Beside is a rim in the face with a body before it, traced by what that leaves in sight; the rim itself
// where that agrees with it, or all of it is seen. ok is false when too little is left.
func (r Rim) Beside(p *Photo, cam calib.Camera, body Rim) (out Rim, ok bool) {
	px := 1 / cam.PxPerMM(r.Centre, r.Z)
	look := closeLook(cam, r.Z, r.Circle)
	look.grain = faceGrain(p, cam, r.Z, r.Circle, look)
	all := raysFrom(p, cam, r.Z, r.Centre, look.rays).crossings(r.R-5*px, r.R+5*px, look)
	hidden := make([]bool, look.rays)
	n := 0
	for k, s := range stationsOn(r.Circle, look.rays) {
		if hidden[k] = body.covers(cam, s.At, r.Z, besideBody*px); hidden[k] {
			n++
		}
	}
	if n == 0 {
		return r, true
	}
	all = slices.DeleteFunc(all, func(c crossing) bool { return hidden[c.ray] })
	visible := look.rays - n
	if float64(n) > mostHidden*float64(look.rays) {
		return Rim{}, false
	}
	near := vote{bin: 0.75 * px, low: r.R - 5*px, high: r.R + 5*px, reach: 5 * px, prefer: outermost}
	c, _ := near.consensus(outer(all), r.Centre, visible)
	points, c, ok := follow(all, c, onRim*px)
	if !ok || float64(len(points)) < leastCoverage*float64(visible) {
		return Rim{}, false
	}
	if c.Centre.Dist(r.Centre)+math.Abs(c.R-r.R) > onRim*px {
		r.Circle, r.Points, r.Fitted = c, project(cam, points, r.Z), false
	}
	return r, true
}

// covers tells whether a place in the plane at height z lies behind the body, or within a margin, mm,
// of that: inside its rim's outline as it is seen in that plane, or its foot's.
func (r Rim) covers(cam calib.Camera, q calib.Point, z, margin float64) bool {
	top := cam.Carry(r.Circle, r.Z, z)
	return q.Dist(top.Centre) < top.R+margin || q.Dist(r.Centre) < r.R+margin
}

// sameRim is within how much, mm, two circles are one rim, seen once where it is
// and once by its foot.
const sameRim = 0.35
