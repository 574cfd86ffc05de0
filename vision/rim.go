package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// A Rim is a circle traced on the full-size photo, in the plane at height Z.
type Rim struct {
	calib.Circle               // mm
	Z            float64       // height of its plane, mm
	Points       []calib.Point // sub-pixel points on it, px
	Fitted       bool          // the circle is by its profiles, not by the points
	Cov          [3][3]float64 // of (x, y, R), mm^2, when it is
	Coverage     float64       // share of its circumference that shows an edge, 0 to 1
	Contrast     float64       // middle over the circumference of (outside - inside) / (outside + inside) luminance; negative: lighter inside
	Agreement    float64       // share of the circumference whose contrast has that sign and is plain
	Core         float64       // contrast of the middle of the circle with what is outside, likewise
	Open         float64       // share of the circumference beyond which it looks as inside: a slot's end
	Collar       bool          // it stands round another circle about as plain
	Inside       float64       // the odds of the likeliest collar that it lies in
}

// The polar search about a guess, as shares of its radius.
const (
	searchIn     = 0.80 // from
	searchOut    = 1.20 // to
	searchCentre = 0.12 // how far the centre may lie from the guess
	searchStep   = 0.02
)

// onRim is how far, in pixels, an edge may lie from a circle to be on it.
// What light does to a hole's edge is larger: so the wall, its shadow and the
// far side's rim, which lie a pixel or two inside the mouth, stay off it.
const onRim = 0.8

// A crossing is an edge that one ray from the middle meets.
type crossing struct {
	ray    int
	at     calib.Point // mm
	weight float64     // 0.5 to 1: how far it stands out from the grain
}

// traceRim finds the circle near a guess that most rays from its middle meet
// an edge on, and traces it to sub-pixel points. ok is false when fewer than
// the least share of rays agree.
func traceRim(p *Photo, cam calib.Camera, z float64, g calib.Circle, least float64) (Rim, bool) {
	px := 1 / cam.PxPerMM(g.Centre, z)
	look := closeLook(cam, z, g)
	look.rays, look.side = min(look.rays, coarseRays), 0
	look.spacing = math.Max(look.spacing, 0.01*g.R)
	look.sigma = math.Max(look.sigma, look.spacing)
	grain := faceGrain(p, cam, z, g, look)
	look.grain = grain
	coarse := vote{bin: math.Max(searchStep*g.R, px/2), low: searchIn * g.R, high: searchOut * g.R, reach: searchCentre * g.R, prefer: 1}
	circle, share := coarse.consensus(outer(crossings(p, cam, z, g, coarse, look)), g.Centre, look.rays)
	if share < 0.6*least {
		return Rim{}, false
	}
	return traceNear(p, cam, z, circle, 2*coarse.bin, grain, least)
}

// traceNear is traceRim where the circle is known to about the given slack, mm.
func traceNear(p *Photo, cam calib.Camera, z float64, g calib.Circle, slack, grain, least float64) (Rim, bool) {
	px := 1 / cam.PxPerMM(g.Centre, z)
	look := closeLook(cam, z, g)
	look.grain = grain
	fine := vote{bin: 0.75 * px, low: g.R - slack - 3*px, high: g.R + slack + 3*px, reach: slack, prefer: outermost}
	circle, share := fine.consensus(outer(crossings(p, cam, z, g, fine, look)), g.Centre, look.rays)
	if share < 0.7*least {
		return Rim{}, false
	}
	var rim Rim
	for range 2 {
		near := vote{low: circle.R - 3*px, high: circle.R + 3*px}
		all := crossings(p, cam, z, circle, near, look)
		var ok bool
		rim.Points, circle, ok = follow(all, circle, onRim*px)
		if !ok || !p.seesAll(cam, circle, z) {
			return Rim{}, false
		}
		rim.Coverage = float64(len(rim.Points)) / float64(look.rays)
	}
	if rim.Coverage < least {
		return Rim{}, false
	}
	rim.Circle, rim.Z = circle, z
	for i, q := range rim.Points {
		rim.Points[i] = cam.Project(calib.Vec3{X: q.X, Y: q.Y, Z: z})
	}
	rim.compare(p, cam)
	return rim, true
}

// seesAll tells whether the photo holds the whole circle.
func (p *Photo) seesAll(cam calib.Camera, c calib.Circle, z float64) bool {
	for i := range 16 {
		s, co := math.Sincos(2 * math.Pi * float64(i) / 16)
		if !p.inside(cam.Project(calib.Vec3{X: c.Centre.X + c.R*co, Y: c.Centre.Y + c.R*s, Z: z}), 2) {
			return false
		}
	}
	return true
}

// A look is how finely rays sample the photo.
type look struct {
	rays    int
	side    float64 // besides each ray, one on either side this far off (share of the sector) is averaged in: less noise
	spacing float64 // between samples, mm
	sigma   float64 // of the step filter, mm
	grain   float64 // the least step that counts, as a share of the brighter side
}

// coarseRays is enough to tell whether a guess is worth a close look.
const coarseRays = 72

// closeLook samples a circle as finely as the photo shows it: a ray in every
// pixel and a half of its circumference, a sample every half pixel.
func closeLook(cam calib.Camera, z float64, c calib.Circle) look {
	scale := cam.PxPerMM(c.Centre, z)
	rays := int(math.Max(48, math.Min(2*math.Pi*c.R*scale/1.5, 360)))
	return look{rays, 0.3, 0.5 / scale, 1 / scale, leastJump}
}

// crossings samples rays from the middle of a circle, between the vote's radii,
// and returns every edge they meet that stands out from the grain.
func crossings(p *Photo, cam calib.Camera, z float64, c calib.Circle, v vote, l look) []crossing {
	f := newStepFilter(l.sigma, l.spacing)
	from := v.low - float64(f.margin())*l.spacing
	n := int((v.high-v.low)/l.spacing) + 2*f.margin() + 1
	sector := 2 * math.Pi / float64(l.rays)
	sides := []float64{0}
	if l.side > 0 {
		sides = []float64{-l.side, 0, l.side}
	}

	var all []crossing
	profile, response := make([]float64, n), make([]float64, n)
	for k := range l.rays {
		angle := float64(k) * sector
		clear(profile)
		for _, side := range sides {
			s, co := math.Sincos(angle + side*sector)
			sight := newSightline(cam, c.Centre, calib.Point{X: co, Y: s}, z, from, from+float64(n-1)*l.spacing)
			for i := range profile {
				profile[i] += p.At(sight.at(float64(i) / float64(n-1)))
			}
		}
		for i := range profile {
			profile[i] /= float64(len(sides))
		}
		s, co := math.Sincos(angle)
		f.respondInto(response, profile)
		for i := f.margin() + 1; i < n-f.margin()-1; i++ {
			v := math.Abs(response[i])
			jump := response[i] / brightest(profile, i, f.margin())
			if v < math.Abs(response[i-1]) || v <= math.Abs(response[i+1]) || math.Abs(jump) < l.grain {
				continue
			}
			rho := from + peak(response, i)*l.spacing
			at := calib.Point{X: c.Centre.X + rho*co, Y: c.Centre.Y + rho*s}
			all = append(all, crossing{k, at, weigh(jump, l.grain)})
		}
	}
	return all
}

// behind is what an edge's weight is worth for each edge that lies outside it
// on the same ray. Walking in from the face, a mouth's edge comes first, or
// right after a shadow or a scratch; the wall, the far side's rim and a mesh
// come behind it, often with more contrast.
var behind = [...]float64{1, 0.4, 0.25}

// outer keeps each ray's outermost edges, the first with the most weight.
func outer(all []crossing) []crossing {
	var kept []crossing
	for i := len(all) - 1; i >= 0; {
		ray := all[i].ray
		for rank := 0; i >= 0 && all[i].ray == ray; rank, i = rank+1, i-1 {
			if rank < len(behind) {
				c := all[i]
				c.weight *= behind[rank]
				kept = append(kept, c)
			}
		}
	}
	return kept
}

// weigh says how far a step stands out from the grain, 0.5 (just) to 1.
func weigh(jump, grain float64) float64 {
	u := jump / grain
	return u * u / (1 + u*u)
}

// faceGrain is the least step that stands out from the grain of the face
// round a circle: noise of the photo, texture of the plastic.
func faceGrain(p *Photo, cam calib.Camera, z float64, c calib.Circle, l look) float64 {
	f := newStepFilter(l.sigma, l.spacing)
	n := 4*f.margin() + 1
	low := 1.1*c.R + 2*l.sigma
	high := low + float64(n-1)*l.spacing
	const rays = 48
	var jumps []float64
	profile := make([]float64, n)
	for k := range rays {
		s, co := math.Sincos(2 * math.Pi * float64(k) / rays)
		sight := newSightline(cam, c.Centre, calib.Point{X: co, Y: s}, z, low, high)
		for i := range profile {
			profile[i] = p.At(sight.at(float64(i) / float64(n-1)))
		}
		for i, v := range f.respond(profile) {
			if i >= f.margin() && i < n-f.margin() {
				jumps = append(jumps, math.Abs(v)/brightest(profile, i, f.margin()))
			}
		}
	}
	return math.Max(leastJump, 3*median(jumps))
}

// A sightline is where the photo shows a straight stretch of a plane, by the
// parabola through its ends and its middle: over the stretches used here that
// is right to a thousandth of a pixel, and much quicker than the camera.
type sightline struct{ from, slope, bend calib.Point }

func newSightline(cam calib.Camera, centre, dir calib.Point, z, low, high float64) sightline {
	see := func(rho float64) calib.Point {
		return cam.Project(calib.Vec3{X: centre.X + rho*dir.X, Y: centre.Y + rho*dir.Y, Z: z})
	}
	a, m, b := see(low), see((low+high)/2), see(high)
	bend := a.Add(b).Sub(m.Mul(2)).Mul(2)
	return sightline{a, b.Sub(a).Sub(bend), bend}
}

// at returns the pixel a share t of the way.
func (l sightline) at(t float64) calib.Point {
	return calib.Point{
		X: l.from.X + t*(l.slope.X+t*l.bend.X),
		Y: l.from.Y + t*(l.slope.Y+t*l.bend.Y),
	}
}

// leastJump is the least step that counts, as a share of the brighter side:
// the lit wall of a hole is often nearly as bright as the face.
const leastJump = 0.05

// brightest is the greatest luminance within reach samples of i, kept above
// the noise of black.
func brightest(profile []float64, i, reach int) float64 {
	return math.Max(0.02, slices.Max(profile[max(0, i-reach):min(len(profile), i+reach+1)]))
}

// A vote finds the circle that the most rays cross an edge on.
type vote struct {
	bin       float64 // step of centre and radius, mm
	low, high float64 // radii tried, mm
	reach     float64 // how far from the middle centres are tried, mm
	prefer    float64 // share of the best circle's votes that a larger one needs to be preferred
}

// outermost is what a close look prefers by. A hole's mouth is the outermost of the edges that go
// round together: walls, shadows and the far side's rim all show inside it,
// often with more contrast.
const outermost = 0.9

// consensus returns the circle with the most rays that cross an edge on it,
// or a larger one with nearly as many; share is the part of all rays that do.
func (v vote) consensus(all []crossing, middle calib.Point, rays int) (c calib.Circle, share float64) {
	n := int(math.Ceil(v.reach / v.bin))
	bins := int((v.high-v.low)/v.bin) + 1
	type tally struct {
		votes, rayBest float64
		ray            int // the last ray counted, plus one
	}
	count := make([]tally, bins)
	type top struct {
		circle calib.Circle
		votes  float64
	}
	best := make([]top, bins) // for each radius
	most, perBin := 0.0, 1/v.bin
	for iy := -n; iy <= n; iy++ {
		for ix := -n; ix <= n; ix++ {
			if ix*ix+iy*iy > n*n {
				continue
			}
			centre := middle.Add(calib.Point{X: float64(ix), Y: float64(iy)}.Mul(v.bin))
			clear(count)
			for _, c := range all {
				// Bin b reaches from b to b + 2, so that bins overlap by half and
				// none splits a circle's votes. A ray counts once in each, by the
				// plainest of its edges there.
				dx, dy := c.at.X-centre.X, c.at.Y-centre.Y
				at := int((math.Sqrt(dx*dx+dy*dy)-v.low)*perBin + 1)
				for b := max(0, at-2); b <= min(at-1, bins-1); b++ {
					t := &count[b]
					if t.ray != c.ray+1 {
						t.ray, t.rayBest = c.ray+1, 0
					}
					if c.weight > t.rayBest {
						t.votes += c.weight - t.rayBest
						t.rayBest = c.weight
					}
				}
			}
			for b, t := range count {
				if t.votes > best[b].votes {
					best[b] = top{calib.Circle{Centre: centre, R: v.low + float64(b)*v.bin}, t.votes}
					most = max(most, t.votes)
				}
			}
		}
	}
	for b := bins - 1; b >= 0; b-- {
		if best[b].votes > 0 && best[b].votes >= v.prefer*most {
			return best[b].circle, best[b].votes / float64(rays)
		}
	}
	return calib.Circle{Centre: middle}, 0
}

// follow picks the crossing of each ray that lies nearest the circle, within
// the tolerance (mm), and fits the circle anew.
func follow(all []crossing, c calib.Circle, tolerance float64) ([]calib.Point, calib.Circle, bool) {
	var pts []calib.Point
	for range 5 {
		pts = pts[:0]
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
		fit, err := calib.FitCircleRobust(pts, tolerance/8)
		if err != nil || fit.Centre.Dist(c.Centre) > 0.3*c.R {
			return nil, c, false
		}
		c = fit.Circle
	}
	return pts, c, len(pts) > 8
}

// compare sets Contrast, Agreement, Core and Open: the luminance just outside
// the rim against that just inside, all round, and against the middle's.
func (rim *Rim) compare(p *Photo, cam calib.Camera) {
	scale := cam.PxPerMM(rim.Centre, rim.Z)
	near := 2 / scale
	far := near + math.Max(2/scale, 0.15*rim.R)
	const rays = 180
	all, outside, inmost := make([]float64, rays), make([]float64, rays), make([]float64, rays)
	for k := range all {
		s, co := math.Sincos(2 * math.Pi * float64(k) / float64(rays))
		at := func(rho float64) float64 {
			return p.At(cam.Project(calib.Vec3{X: rim.Centre.X + rho*co, Y: rim.Centre.Y + rho*s, Z: rim.Z}))
		}
		const n = 5
		var in float64
		for i := range n {
			d := near + (far-near)*float64(i)/(n-1)
			in += at(math.Max(0, rim.R-d)) / n
			outside[k] += at(rim.R+d) / n
			inmost[k] += at(0.6*rim.R*math.Sqrt((float64(i)+0.5)/n)) / n
		}
		all[k] = ratio(outside[k], in)
	}
	rim.Contrast = median(all)
	face, core := median(outside), median(inmost)
	rim.Core = ratio(face, core)
	for k, v := range all {
		if v*rim.Contrast > 0 && math.Abs(v) > 0.08 {
			rim.Agreement += 1.0 / rays
		}
		if math.Abs(ratio(face, outside[k])) > math.Abs(ratio(outside[k], core)) {
			rim.Open += 1.0 / rays
		}
	}
}

// ratio is the contrast of two luminances, -1 to 1; what is nearly black
// counts as black.
func ratio(outside, inside float64) float64 {
	return (outside - inside) / math.Max(outside+inside, 0.01)
}

func median(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	return s[len(s)/2]
}
