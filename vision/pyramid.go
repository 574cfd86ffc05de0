package vision

import (
	"math"

	"trimscribe/calib"
)

// A pyramid is a photo at its own size, at half of it and at a quarter, each with
// its camera. What breaks up a circle's edge, the grain of the plastic, dust, a
// hand's motion, is averaged away in the smaller ones, where the whole circle still
// shows (scale space; T. Lindeberg, International Journal of Computer Vision 30
// (1998) 79: an edge is to be looked for at the scale at which it is one).
type pyramid [3]pyramidLevel

type pyramidLevel struct {
	photo *Photo
	cam   calib.Camera
}

// newPyramid makes the smaller ones only if they are wanted.
func newPyramid(p *Photo, cam calib.Camera, wanted bool) pyramid {
	y := pyramid{{p, cam}}
	for i := 1; wanted && i < len(y); i++ {
		half := p.half()
		cam.Width, cam.Height = 2*half.Width, 2*half.Height // an odd row or column is left out
		p, cam.Lens = half, cam.Scaled(half.Width, half.Height)
		y[i] = pyramidLevel{p, cam}
	}
	return y
}

// traceRim traces a rim at the photo's own size.
func (y pyramid) traceRim(z float64, g calib.Circle, least float64) (Rim, bool) {
	return traceRim(y[0].photo, y[0].cam, z, g, least)
}

// half is the photo at half its size, to look for edges in.
func (p *Photo) half() *Photo {
	h := &Photo{File: p.File, Width: p.Width / 2, Height: p.Height / 2}
	h.Lin = make([]float32, h.Width*h.Height)
	Parallel(h.Height, func(y int) {
		top, low := p.Lin[2*y*p.Width:], p.Lin[(2*y+1)*p.Width:]
		for x := range h.Width {
			h.Lin[y*h.Width+x] = (top[2*x] + top[2*x+1] + low[2*x] + low[2*x+1]) / 4
		}
	})
	return h
}

// leastAcross is the least radius, px, that a hole has in a photo made smaller.
const leastAcross = 5.0

// traceHole traces a hole's rim as traceRim does and, where it is not plain at
// the photo's own size, at half and at a quarter of it.
func (y pyramid) traceHole(z float64, g calib.Circle, least float64) (Rim, bool) {
	best, ok := y.traceRim(z, g, least)
	for i, level := range y[1:] {
		px := 1 / level.cam.PxPerMM(g.Centre, z)
		if ok && best.Coverage >= plainCoverage || g.R < leastAcross*px {
			break
		}
		r, traced := traceRim(level.photo, level.cam, z, g, least)
		switch {
		case !traced || ok && r.Coverage <= best.Coverage:
		case ok && math.Max(r.Centre.Dist(best.Centre), math.Abs(r.R-best.R)) < 1.5*px:
			best.Appearance = r.Appearance // the larger photo tells better where it is
		default:
			for k, q := range r.Points {
				r.Points[k] = fullSize(q, i+1)
			}
			best, ok = r, true
		}
	}
	return best, ok
}

// fullSize is where a pixel of a level is in the photo at its own size.
func fullSize(q calib.Point, level int) calib.Point {
	k := math.Exp2(float64(level))
	return calib.Point{X: (q.X+0.5)*k - 0.5, Y: (q.Y+0.5)*k - 0.5}
}
