package vision

import (
	"math"

	"trimscribe/calib"
)

// A Rim is a circle traced on the full-size photo, in the plane at height Z.
type Rim struct {
	calib.Circle               // mm
	Z            float64       // height of its plane, mm
	Sunk, SunkU  float64       // how deep that is below the face that a user tells the height of, mm, and its standard uncertainty
	MayLie       calib.Point   // how far off it may lie besides, mm: a standard uncertainty along a line
	Points       []calib.Point // sub-pixel points on it, px
	Fitted       bool          // the circle is by its profiles, not by the points
	Cov          [3][3]float64 // of (x, y, R), mm^2, when it is
	spread       float64       // standard deviation of what blurs the edge, mm, when it is; 0 if not known
	lip          float64       // width of its lip as the fit has it, mm, when it is; 0 for none
	sizeU        float64       // standard uncertainty of the radius for its fit alone, mm
	Appearance                 // of the circle's edge
	Collar       bool          // it stands round another circle about as plain
	wall         float64       // how deep the wall is that hides part of it, mm; 0 if none is known to
	Within       bool          // it lies in a mouth
	Shared       float64       // share of its circumference that shows another's edge
	Boss         float64       // radius of the edge of the boss that it stands in, mm, one no wider than MaxHole; 0 if none is seen
	around       float64       // radius of the next circle round it about its axis, as a collar's edge, mm; 0 if none was traced
	bore         float64       // radius of the hole that it is the ring round, mm; 0 where it is none
	Told         float64       // the odds of what tells that it is the mouth: a collar round it, a bore in it; 0 for nothing
}

// tracedPx is how far a trace may be from the rim, px: it follows one edge where there are more.
// Of 189 rims of rendered photos that were fitted by their profiles then, the fit put the centre
// 1.0 px (rms) from the trace and the radius 1.0 px; of the 12 faintest, as those are that are not
// fitted, 1.5 and 2.3.
const tracedPx = 1.5

// TraceU is the standard uncertainty, mm, that a trace leaves in the centre, each way, and in
// the radius, besides what its points tell.
func (r Rim) TraceU(cam calib.Camera) float64 { return tracedPx / cam.PxPerMM(r.Centre, r.Z) }

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

// traceRim finds the circle near a guess that most rays from its middle meet
// an edge on, and traces it to sub-pixel points. ok is false when fewer than
// the least share of rays agree.
func traceRim(p *Photo, cam calib.Camera, z float64, g calib.Circle, least float64) (Rim, bool) {
	return traceRings(p, cam, z, g, least, 1)
}

// traceRings is traceRim where the circle that the most rays meet an edge on may turn out to
// be none, or hardly one, seen closely: of so many, it returns the plainest. A grille has the
// edges of its collar about it, and what shows best from afar need not from near.
func traceRings(p *Photo, cam calib.Camera, z float64, g calib.Circle, least float64, most int) (best Rim, ok bool) {
	px := 1 / cam.PxPerMM(g.Centre, z)
	look := closeLook(cam, z, g)
	if look.lines = 1; look.rays > coarseRays {
		look.rays, look.lines = coarseRays, 3
	}
	look.spacing = math.Max(look.spacing, 0.01*g.R)
	look.sigma = math.Max(look.sigma, look.spacing)
	look.grain = faceGrain(p, cam, z, g, look)
	coarse := vote{bin: math.Max(searchStep*g.R, px/2), low: searchIn * g.R, high: searchOut * g.R, reach: searchCentre * g.R, prefer: 1}
	all := outer(raysFrom(p, cam, z, g.Centre, look.rays).crossings(coarse.low, coarse.high, look))
	rings := coarse.peaks(all, g.Centre, look.rays, 0.6*least)
	for _, ring := range rings[:min(most, len(rings))] {
		// Round a small hole there may be an insert or a boss, whose own fine lines are
		// no grain: only what stands out on one line counts.
		grain := look.grain
		if close := closeLook(cam, z, ring.circle); close.lines > look.lines && 2*ring.circle.R > MaxHole {
			grain = faceGrain(p, cam, z, ring.circle, close)
		}
		if rim, traced := traceNear(p, cam, z, ring.circle, 2*coarse.bin, grain, least); traced && rim.Coverage > best.Coverage {
			best, ok = rim, true
		}
	}
	return best, ok
}

// traceNear is traceRim where the circle is known to about the given slack, mm.
func traceNear(p *Photo, cam calib.Camera, z float64, g calib.Circle, slack, grain, least float64) (Rim, bool) {
	px := 1 / cam.PxPerMM(g.Centre, z)
	look := closeLook(cam, z, g)
	look.grain = grain
	fine := vote{bin: 0.75 * px, low: g.R - slack - 3*px, high: g.R + slack + 3*px, reach: slack, prefer: outermost}
	circle, share := fine.consensus(outer(raysFrom(p, cam, z, g.Centre, look.rays).crossings(fine.low, fine.high, look)), g.Centre, look.rays)
	return traceClose(p, cam, z, circle, px, share, look, least)
}

// traceSized is traceRim where the radius is known, and the centre less well, each to a slack of its own, mm.
// Of edges beside one another, as in a countersink, the one of that size is meant.
func traceSized(p *Photo, cam calib.Camera, z float64, g calib.Circle, aside, wider, grain, least float64) (Rim, bool) {
	look := closeLook(cam, z, g)
	look.grain = grain
	px := 1 / cam.PxPerMM(g.Centre, z)
	fine := vote{bin: 0.75 * px, low: g.R - wider, high: g.R + wider, reach: aside, prefer: 1}
	all := raysFrom(p, cam, z, g.Centre, look.rays).crossings(fine.low-aside, fine.high+aside, look)
	circle, share := fine.consensus(all, g.Centre, look.rays)
	return traceClose(p, cam, z, circle, px, share, look, least)
}

// traceClose traces a circle that a share of the rays of a close look meet an edge on; px is a pixel there, mm.
func traceClose(p *Photo, cam calib.Camera, z float64, circle calib.Circle, px, share float64, look look, least float64) (Rim, bool) {
	if share < 0.7*least {
		return Rim{}, false
	}
	rim := Rim{Z: z}
	traced := true
	for range 2 {
		all := raysFrom(p, cam, z, circle.Centre, look.rays).crossings(circle.R-3*px, circle.R+3*px, look)
		if rim.Points, circle, traced = follow(all, circle, onRim*px); !traced {
			break
		}
		rim.Coverage = float64(len(rim.Points)) / float64(look.rays)
	}
	rim.Circle = circle
	middle, half, seen := circle.Centre, circle.R, stationsOn(circle, compared)
	if rim.Coverage < plainCoverage {
		if s, ok := traceShaft(p, cam, z, circle, look, rim.Coverage); ok {
			traced = true
			rim.wall = s.depth
			rim.Circle, rim.Points, rim.Coverage = s.mouth, s.mouthAt, s.coverage(look.rays)
			middle, half, seen = s.middle(), s.half(), s.visible(compared)
		}
	}
	if !traced || rim.Coverage < least || !Sees(p, cam, rim.Circle, z) {
		return Rim{}, false
	}
	rim.Points = project(cam, rim.Points, z)
	rim.Appearance.compare(p, cam, z, middle, half, seen)
	return rim, true
}

// plainCoverage is how much of a circle's edge shows when nothing is to be made of
// what does not.
const plainCoverage = 0.85

// follow fits the circle to the crossing of each ray that lies nearest it, within
// the tolerance (mm).
func follow(all []crossing, c calib.Circle, tolerance float64) ([]calib.Point, calib.Circle, bool) {
	var pts []calib.Point
	for range 5 {
		pts = nearCircle(all, c, tolerance)
		fit, err := calib.FitCircleRobust(pts, tolerance/8)
		if err != nil || fit.Centre.Dist(c.Centre) > 0.3*c.R {
			return nil, c, false
		}
		c = fit.Circle
	}
	return pts, c, len(pts) > 8
}

// project returns where the photo shows points of the plane at height z, px.
func project(cam calib.Camera, points []calib.Point, z float64) []calib.Point {
	out := make([]calib.Point, len(points))
	for i, q := range points {
		out[i] = cam.Project(calib.Vec3{X: q.X, Y: q.Y, Z: z})
	}
	return out
}

// compare sets how the rim looks, but for its coverage.
func (r *Rim) compare(p *Photo, cam calib.Camera) {
	r.Appearance.compare(p, cam, r.Z, r.Centre, r.R, stationsOn(r.Circle, compared))
}
