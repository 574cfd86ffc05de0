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
// here are for the centre alone.

// bodyU is the standard uncertainty of half the diameter as the callipers say
// it, mm: half of +-0.15 on the diameter, for a moulded rim is not quite round.
const bodyU = 0.075

const (
	bodyGuesses  = 24   // places looked at closely
	bodyScale    = 3.0  // px per mm of the view in which they are looked for
	leastBody    = 0.40 // least coverage: putty, shadow and glare hide much
	bodiesApart  = 0.2  // mm: nearer centres are one
	mostBodies   = 3
	bodySecondU  = 2.0 // how far the wall's foot or the shadow may plausibly lie off the rim, mm
	bodyNeighbor = 0.25
)

// FindBodies returns the circles of the diameter given, mm, that the photo
// shows in the plane at height z, the likeliest first: at most three, each where
// a tweeter's body may sit. Their Coverage is the share that shows an edge.
func FindBodies(p *Photo, cam calib.Camera, diameter, z, reach float64) []Rim {
	if reach == 0 {
		reach = 320
	}
	r := diameter / 2
	seen := cam.Carry(calib.Circle{R: 1}, z, 0).R // about by how much less it is at the face's height
	view := flattenAt(p, cam, reach, bodyScale)
	guesses := guessCircles(view, 0.93*r/seen, 1.07*r/seen)
	guesses = guesses[:min(len(guesses), bodyGuesses)]
	rims := make([]Rim, len(guesses))
	ok := make([]bool, len(guesses))
	parallel(len(guesses), func(i int) {
		at := cam.Carry(guesses[i].Circle, 0, z).Centre
		rims[i], ok[i] = traceBody(p, cam, z, calib.Circle{Centre: at, R: r})
	})
	var out []Rim
	for i, rim := range rims {
		if ok[i] {
			out = append(out, rim)
		}
	}
	slices.SortStableFunc(out, func(a, b Rim) int { return cmp.Compare(b.BodyOdds(diameter), a.BodyOdds(diameter)) })
	var distinct []Rim
	for _, rim := range out {
		if len(distinct) < mostBodies && !slices.ContainsFunc(distinct, func(o Rim) bool { return o.Centre.Dist(rim.Centre) < bodiesApart }) {
			distinct = append(distinct, rim)
		}
	}
	return distinct
}

// BodyOdds is the log odds that a circle is the rim of the body whose diameter
// was given.
func (r Rim) BodyOdds(diameter float64) float64 {
	off := (r.R - diameter/2) / (2 * bodyU)
	return clamp(16*(r.Coverage-0.42)-off*off/2, -5, 6)
}

// traceBody looks for a circle of known radius about a guess, and fits it.
func traceBody(p *Photo, cam calib.Camera, z float64, g calib.Circle) (Rim, bool) {
	px := 1 / cam.PxPerMM(g.Centre, z)
	look := closeLook(cam, z, g)
	grain := faceGrain(p, cam, z, g, look)
	r := g.R
	for _, step := range []struct{ bin, reach float64 }{
		{math.Max(0.02*r, 2*px), 0.14 * r}, {math.Max(0.006*r, px), 0.05 * r}, {0.6 * px, math.Max(0.016*r, 3*px)},
	} {
		near := vote{bin: step.bin, low: r - step.bin, high: r + step.bin, reach: step.reach, prefer: 1}
		if step.reach > 0.1*r {
			look.rays, look.side = coarseRays, 0
		} else {
			look = closeLook(cam, z, g)
		}
		look.spacing, look.sigma = math.Max(0.5*px, step.bin/6), math.Max(px, step.bin/3)
		look.grain = grain
		around := near
		around.low, around.high = r-step.reach-step.bin, r+step.reach+step.bin
		c, share := near.consensus(crossings(p, cam, z, g, around, look), g.Centre, look.rays)
		if share < 0.5*leastBody {
			return Rim{}, false
		}
		g = calib.Circle{Centre: c.Centre, R: r}
	}
	look = closeLook(cam, z, g)
	look.grain = grain
	rim := Rim{Z: z}
	for range 3 {
		all := crossings(p, cam, z, g, vote{low: r - 4*px, high: r + 4*px}, look)
		pts := onCircle(all, g, math.Max(onRim*px, bodyNeighbor*px))
		fit, ok := knownCircle(pts, g, r, px)
		if !ok || !p.seesAll(cam, fit, z) {
			return Rim{}, false
		}
		g = fit
		rim.Points, rim.Coverage = pts, float64(len(pts))/float64(look.rays)
	}
	if rim.Coverage < leastBody {
		return Rim{}, false
	}
	rim.Circle = g
	for i, q := range rim.Points {
		rim.Points[i] = cam.Project(calib.Vec3{X: q.X, Y: q.Y, Z: z})
	}
	rim.compare(p, cam)
	m := newBodyProfile(p, cam, rim, r)
	rim.Cov = [3][3]float64{{px * px / 9}, {0, px * px / 9}, {0, 0, px * px / 9}}
	if c, cov, ok := m.fit(); ok {
		rim.Circle, rim.Cov = c, cov
	}
	rim.Fitted = true
	return rim, true
}

// onCircle picks the crossing of each ray nearest to the circle, within the
// tolerance, mm.
func onCircle(all []crossing, c calib.Circle, tolerance float64) []calib.Point {
	var pts []calib.Point
	for i := 0; i < len(all); {
		ray := all[i].ray
		best, at := tolerance, calib.Point{}
		for ; i < len(all) && all[i].ray == ray; i++ {
			if d := math.Abs(all[i].at.Dist(c.Centre) - c.R); d < best {
				best, at = d, all[i].at
			}
		}
		if best < tolerance {
			pts = append(pts, at)
		}
	}
	return pts
}

// knownCircle fits a circle to points, its radius known to bodyU.
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
			res[len(pts)] = (x[2] - r) / bodyU
		},
	}.Solve([]float64{c.Centre.X, c.Centre.Y, c.R}, []float64{1e-3, 1e-3, 1e-3})
	if err != nil {
		return c, false
	}
	return calib.Circle{Centre: calib.Point{X: fit.X[0], Y: fit.X[1]}, R: fit.X[2]}, math.Abs(fit.X[2]-r) < 5*bodyU
}

// bodyProfile fits a body's rim as rimProfile fits a mouth, turned inside out:
// going outwards along each ray the photo shows the body's back, a band and what
// lies beyond. The band is the body's own wall where the camera sees it, the
// shadow, or the gap to the opening; its far end is a circle too, moved to one side
// and a little wider or narrower.
type bodyProfile struct {
	rimProfile
	known float64 // radius, mm
}

// The parameters beyond the centre and the radius: the far circle's place
// against the rim's, the blur, and how much wider it is.
const (
	bU     = pR + 1 + iota // of the far circle's centre, mm from the rim's
	bV                     //
	bBlur                  // sigma, px, as a logarithm
	bWider                 // mm
	bCount
)

func newBodyProfile(p *Photo, cam calib.Camera, rim Rim, known float64) bodyProfile {
	m := bodyProfile{known: known}
	m.start = rim.Circle
	m.px = 1 / cam.PxPerMM(rim.Centre, rim.Z)
	m.samples = int((profileIn+profileOut)/profileSpacing) + 1
	n := min(closeLook(cam, rim.Z, rim.Circle).rays, 150)
	sector := 2 * math.Pi / float64(n)
	// From outside inwards, for threeLevels goes from the inside out.
	low, high := rim.R+profileIn*m.px, rim.R-profileOut*m.px
	for k := range n {
		s, c := math.Sincos(float64(k) * sector)
		ray := profiledRay{dir: calib.Point{X: c, Y: s}, light: make([]float64, m.samples)}
		sum := 0.0
		for _, side := range []float64{-0.3, 0, 0.3} {
			s, c := math.Sincos((float64(k) + side) * sector)
			sight := newSightline(cam, rim.Centre, calib.Point{X: c, Y: s}, rim.Z, low, high)
			for i := range ray.light {
				v := p.At(sight.at(float64(i) / float64(m.samples-1)))
				ray.light[i] += v / 3
				sum += v / 3 / float64(m.samples)
			}
		}
		ray.noise = 0.01 * (sum + 0.02)
		m.rays = append(m.rays, ray)
	}
	return m
}

// fit refines the circle. ok is false when the profiles do not tell more than
// the trace did.
func (m bodyProfile) fit() (calib.Circle, [3][3]float64, bool) {
	var cov [3][3]float64
	few := m
	few.rays = nil
	for k := 0; k < len(m.rays); k += max(1, len(m.rays)/50) {
		few.rays = append(few.rays, m.rays[k])
	}
	type try struct {
		x    []float64
		left float64
	}
	var tries []try
	for _, band := range []float64{0, 2, 4} { // px
		for k := range 8 {
			s, c := math.Sincos(2 * math.Pi * float64(k) / 8)
			for _, wider := range []float64{0, 2.5} {
				x := make([]float64, bCount)
				x[bU], x[bV], x[bWider] = band*m.px*c, band*m.px*s, wider*m.px
				tries = append(tries, try{x, few.left(x)})
			}
			if band == 0 {
				break
			}
		}
	}
	slices.SortStableFunc(tries, func(a, b try) int { return cmp.Compare(a.left, b.left) })
	best := tries[0]
	for _, t := range tries[:3] {
		if fit, err := few.solve(t.x); err == nil {
			if left := few.left(fit.X); left < best.left {
				best = try{fit.X, left}
			}
		}
	}
	got, err := m.solve(best.x)
	if err != nil || math.Hypot(got.X[pX], got.X[pY]) > 0.5*farthest*m.px || math.Exp(got.X[bBlur]) > 4 {
		return calib.Circle{}, cov, false
	}
	for i := range 3 {
		for j := range 3 {
			cov[i][j] = got.Cov.At(i, j)
		}
	}
	return m.mouth(got.X), cov, true
}

const bodyPriors = 5

func (m bodyProfile) solve(x0 []float64) (*lsq.Result, error) {
	h := 0.02 * m.px
	return lsq.Problem{
		Data: len(m.rays) * m.samples, Priors: bodyPriors, Eval: m.eval,
		Alike: 1 / profileSpacing, Floor: 0.2,
	}.Solve(x0, []float64{h, h, h, h, h, 0.01, h})
}

func (m bodyProfile) left(x []float64) float64 {
	n := len(m.rays) * m.samples
	r := make([]float64, n+bodyPriors)
	m.eval(x, r)
	sum := 0.0
	for _, v := range r[:n] {
		sum += math.Min(math.Abs(v), 30)
	}
	return sum
}

// eval compares the profiles with the model (lsq's residuals).
func (m bodyProfile) eval(x, r []float64) {
	rim := m.mouth(x)
	second := calib.Circle{Centre: rim.Centre.Add(calib.Point{X: x[bU], Y: x[bV]}), R: rim.R + x[bWider]}
	blur := math.Exp(x[bBlur])
	high := m.start.R + profileIn*m.px
	k := 0
	for _, ray := range m.rays {
		at := (high - crossingOf(m.start.Centre, ray.dir, rim)) / m.px
		far := (high - crossingOf(m.start.Centre, ray.dir, second)) / m.px
		threeLevels(ray, at, math.Min(far, at), blur, r[k:k+m.samples])
		k += m.samples
	}
	r[k], r[k+1], r[k+2] = x[bU]/bodySecondU, x[bV]/bodySecondU, x[bWider]/bodySecondU
	r[k+3] = x[bBlur] / 0.7
	r[k+4] = (rim.R - m.known) / bodyU
}

// plainBody is the log odds from which a body is one, and what lies on it is a
// part of it.
const plainBody = 2.0

// Hides tells whether a circle seen in another plane is a part of the body: it
// lies on it, or is its rim, which in another plane seems a little wider.
func (r Rim) Hides(cam calib.Camera, diameter float64, c calib.Circle, z float64) bool {
	if r.BodyOdds(diameter) < plainBody {
		return false
	}
	c = cam.Carry(c, z, r.Z)
	apart := c.Centre.Dist(r.Centre)
	return apart+c.R < 1.05*r.R || apart < sameRim && math.Abs(c.R-r.R) < sameRim
}

// sameRim is within how much, mm, two circles are one rim, seen once where it is
// and once by its foot.
const sameRim = 0.35
