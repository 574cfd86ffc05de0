package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// A shaft is an opening as it is seen at a slant when its wall is as light as the
// face: the mouth's edge shows on one side only, and on the other what shows is
// the wall's far end, a circle as wide, deeper and so seen moved to that side.
// What is dark is what the two have in common, and no circle.
type shaft struct {
	mouth  calib.Circle
	depth  float64     // of the wall, mm
	sink   calib.Point // where a circle's centre seems to go per mm that it lies deeper, mm
	shrink float64     // by what share its radius does
}

// end is the wall's far end, as it is seen in the mouth's plane.
func (s shaft) end() calib.Circle {
	return calib.Circle{Centre: s.mouth.Centre.Add(s.sink.Mul(s.depth)), R: s.mouth.R * (1 - s.depth*s.shrink)}
}

// lift carries a point seen on the far end to the mouth.
func (s shaft) lift(q calib.Point) calib.Point {
	end := s.end()
	return s.mouth.Centre.Add(q.Sub(end.Centre).Mul(s.mouth.R / end.R))
}

// middle is that of what the mouth and the end have in common.
func (s shaft) middle() calib.Point { return s.mouth.Centre.Add(s.sink.Mul(s.depth / 2)) }

// half is half the least width of that.
func (s shaft) half() float64 { return s.mouth.R - s.depth*s.sink.Norm()/2 }

// visible are n stations round what shows of the opening.
func (s shaft) visible(n int) []calib.Station {
	out := make([]calib.Station, n)
	end := s.end()
	for i, from := range stationsOn(calib.Circle{Centre: s.middle()}, n) {
		edge, to := s.mouth, crossingOf(from, s.mouth)
		if far := crossingOf(from, end); far < to {
			edge, to = end, far
		}
		at := from.At.Add(from.Out.Mul(to))
		out[i] = calib.Station{At: at, Out: at.Sub(edge.Centre).Mul(1 / edge.R)}
	}
	return out
}

// A shaftTrace is a shaft and the edges that are on it.
type shaftTrace struct {
	shaft
	mouthAt []calib.Point // on the mouth
	far     int           // how many rays meet the far end
}

// coverage is the share of the rays that meet an edge on it.
func (t shaftTrace) coverage(rays int) float64 {
	return float64(len(t.mouthAt)+t.far) / float64(rays)
}

// collect finds the edges within the tolerance (mm): each ray's on the mouth, or
// else its outermost on the far end. lifted are those of the far end, carried to the mouth.
func (s shaft) collect(all []crossing, tolerance float64) (t shaftTrace, lifted []calib.Point) {
	t.shaft = s
	end := s.end()
	for i := len(all) - 1; i >= 0; {
		ray := all[i].ray
		outermost, done := true, false
		for ; i >= 0 && all[i].ray == ray; i-- {
			q := all[i].at
			off := q.Dist(s.mouth.Centre) - s.mouth.R
			switch {
			case done || off > tolerance: // on the face
			case off > -tolerance:
				t.mouthAt = append(t.mouthAt, q)
				done = true
			case outermost && math.Abs(q.Dist(end.Centre)-end.R) < tolerance:
				lifted = append(lifted, s.lift(q))
				done = true
			default:
				outermost = false
			}
		}
	}
	t.far = len(lifted)
	return t, lifted
}

// follow fits the shaft's mouth, at its depth, to the edges on both.
func (s shaft) follow(all []crossing, tolerance float64) (shaftTrace, bool) {
	for range 3 {
		t, lifted := s.collect(all, tolerance)
		fit, err := calib.FitCircleRobust(append(lifted, t.mouthAt...), tolerance/8)
		if err != nil || fit.Centre.Dist(s.mouth.Centre) > 0.3*s.mouth.R || math.Abs(fit.R/s.mouth.R-1) > 0.3 {
			return t, false
		}
		s.mouth = fit.Circle
	}
	t, _ := s.collect(all, tolerance)
	return t, true
}

// settle fits the mouth to its own edges alone, and then the depth to the far
// end's: a depth that is a little wrong would pull the mouth along.
func (t shaftTrace) settle(all []crossing, tolerance, step, most float64) shaftTrace {
	for range 4 {
		fit, err := calib.FitCircleRobust(t.mouthAt, tolerance/8)
		if err != nil {
			break
		}
		s := t.shaft
		s.mouth = fit.Circle
		t, _ = s.collect(all, tolerance)
		for s.depth = step; s.depth < most; s.depth += step {
			if deeper, _ := s.collect(all, tolerance); deeper.far+len(deeper.mouthAt) > t.far+len(t.mouthAt) {
				t = deeper
			}
		}
	}
	return t
}

// A shaft is believed when its two edges show much more than the best circle does,
// and each of them its part: they are about half of what is seen.
const (
	leastShaft = 0.8  // share of the rays that meet either: nothing but dirt hides more
	shaftWorth = 0.15 // more than the circle's
	leastMouth = 0.3  // share of the rays that meet the mouth
	leastEnd   = 0.15 // and the far end
)

// traceShaft looks for a shaft about a circle that may be its mouth, its far end
// or something between. share is what the circle shows of an edge.
func traceShaft(p *Photo, cam calib.Camera, z float64, c calib.Circle, l look, share float64) (shaftTrace, bool) {
	px := 1 / cam.PxPerMM(c.Centre, z)
	line, perMM := parallax(cam, Rim{Circle: c, Z: z})
	start := shaft{sink: line.Mul(-perMM), shrink: 1 / (cam.Eye().Z - z)}
	most := math.Min(mostDepth, 0.6*c.R/perMM)
	if most*perMM < 2*onRim*px {
		return shaftTrace{}, false // seen from straight above
	}
	all := raysFrom(p, cam, z, c.Centre, l.rays).crossings(math.Max(0, c.R-most*perMM-3*px), c.R+most*perMM+3*px, l)
	some := slices.DeleteFunc(slices.Clone(all), func(c crossing) bool { return c.ray%3 != 0 })
	var best shaftTrace
	for depth := 1.5 * px / perMM; depth <= most; depth += 2 * onRim * px / perMM {
		for _, up := range []float64{0, 0.5, 1} { // how far the circle is towards the far end
			s := start
			s.depth = depth
			s.mouth = calib.Circle{Centre: c.Centre.Sub(s.sink.Mul(up * depth)), R: c.R + (up-up*up)*depth*perMM*2}
			if t, ok := s.follow(some, 2*onRim*px); ok && t.coverage(l.rays) > best.coverage(l.rays) {
				best = t
			}
		}
	}
	if best.depth == 0 {
		return best, false
	}
	best, _ = best.collect(all, 2*onRim*px)
	best = best.settle(all, onRim*px, 0.25*px/perMM, most)
	seen, n := best.coverage(l.rays), float64(l.rays)
	ok := seen > leastShaft && seen > share+shaftWorth && float64(len(best.mouthAt)) > leastMouth*n && float64(best.far) > leastEnd*n
	return best, ok
}
