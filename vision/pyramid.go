package vision

import (
	"math"
	"slices"

	"gocv.io/x/gocv"

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
		p = p.half()
		cam.Lens = cam.Scaled(p.Width, p.Height)
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
	full, err := gocv.NewMatFromBytes(p.Height, p.Width, gocv.MatTypeCV32F, floatBytes(p.Lin))
	if err != nil {
		panic(err) // the sizes are ours
	}
	defer full.Close()
	small := gocv.NewMat()
	defer small.Close()
	h := &Photo{File: p.File, Width: p.Width / 2, Height: p.Height / 2}
	gocv.Resize(full, &small, gocvSize(h.Width, h.Height), 0, 0, gocv.InterpolationArea)
	lin, _ := small.DataPtrFloat32()
	h.Lin = slices.Clone(lin)
	return h
}

// leastAcross is the least radius, px, that a hole has in a photo made smaller.
const leastAcross = 5.0

// traceHole traces a hole's rim as traceRim does and, where it is not plain at
// the photo's own size, at half and at a quarter of it.
func (y pyramid) traceHole(z float64, g calib.Circle, least float64) (Rim, bool) {
	return y.trace(z, g, least, 1)
}

// traceGrille is traceHole for a grille, about which more edges go round than one.
func (y pyramid) traceGrille(z float64, g calib.Circle, least float64) (Rim, bool) {
	const rings = 3
	return y.trace(z, g, least, rings)
}

// trace traces a rim as traceRings does, at the sizes that it takes.
func (y pyramid) trace(z float64, g calib.Circle, least float64, rings int) (Rim, bool) {
	best, ok := traceRings(y[0].photo, y[0].cam, z, g, least, rings)
	for _, level := range y[1:] {
		px := 1 / level.cam.PxPerMM(g.Centre, z)
		if ok && best.Coverage >= plainCoverage || g.R < leastAcross*px {
			break
		}
		r, traced := traceRings(level.photo, level.cam, z, g, least, rings)
		switch {
		case !traced || ok && r.Coverage <= best.Coverage:
		case ok && math.Max(r.Centre.Dist(best.Centre), math.Abs(r.R-best.R)) < 1.5*px:
			best.Appearance = r.Appearance // the larger photo tells better where it is
		default:
			for k, q := range r.Points {
				r.Points[k] = level.cam.ToPlane(q, z)
			}
			r.Points = project(y[0].cam, r.Points, z)
			best, ok = r, true
		}
	}
	return best, ok
}
