package main

import (
	"math"
	"slices"

	"trimscribe/calib"
	"trimscribe/vision"
)

// shapes is what was found beside the round holes and grilles: openings that
// are not round, and where a tweeter's body may sit.
type shapes struct {
	openings []vision.Opening
	bodies   []vision.Rim
}

// How many openings of each kind are measured and listed.
const (
	mostSlots    = 16
	mostOutlines = 3
)

// findShapes looks for openings that are not round, and for the body of a
// tweeter when its diameter is given. The circles are those found before.
func findShapes(p *vision.Photo, cam calib.Camera, f *photoFlags, search vision.Search, circles []vision.Rim) shapes {
	slots := vision.FindSlots(p, cam, search, circles)
	outlines := vision.FindGrilleOutlines(p, cam, search, circles)
	s := shapes{openings: slices.Concat(slots[:min(len(slots), mostSlots)], outlines[:min(len(outlines), mostOutlines)])}
	if f.tweeterDiameter.given {
		s.bodies = vision.FindBodies(p, cam, search, f.tweeterDiameter.mm, f.tweeterHeight.mm, circles)
		s.openings = slices.DeleteFunc(s.openings, func(o vision.Opening) bool {
			return s.onBody(cam, f.tweeterDiameter.mm, o.Round(), o.Z)
		})
	}
	return s
}

// onBody tells whether a circle is a part of the likeliest body.
func (s shapes) onBody(cam calib.Camera, diameter float64, c calib.Circle, z float64) bool {
	return len(s.bodies) > 0 && s.bodies[0].Hides(cam, diameter, c, z)
}

// without drops the circles that are only a part of an opening, or of the body.
func (s shapes) without(circles []vision.Rim, cam calib.Camera, diameter float64) []vision.Rim {
	return slices.DeleteFunc(circles, func(r vision.Rim) bool {
		return s.onBody(cam, diameter, r.Circle, r.Z) || slices.ContainsFunc(s.openings, func(o vision.Opening) bool { return o.Replaces(r) })
	})
}

// besideBody fits the rims of grilles anew that the likeliest body hides a part of, and drops
// those of which it leaves too little.
func (s shapes) besideBody(p *vision.Photo, cam calib.Camera, circles []vision.Rim, diameter float64) []vision.Rim {
	if len(s.bodies) == 0 || !s.bodies[0].IsBody(diameter) {
		return circles
	}
	var out []vision.Rim
	for _, r := range circles {
		ok := true
		if kindOf(r.Circle) == calib.KindGrille && r.Centre.Dist(s.bodies[0].Centre) < r.R {
			r, ok = r.Beside(p, cam, s.bodies[0])
		}
		if ok {
			out = append(out, r)
		}
	}
	return out
}

// addTo hands the shapes to the measuring, each as the circle that stands for
// it: first the openings, then the bodies.
func (s shapes) addTo(m *measuredRims, cam calib.Camera, f *photoFlags) {
	for _, o := range s.openings {
		cov := o.Cov
		circle := o.Round()
		h, reading := f.heightOf(circle)
		m.add(calib.Traced{Points: cam.Around(circle, o.Z), Z: o.Z, Fitted: &cov}, h, reading)
	}
	for _, b := range s.bodies {
		m.add(tracedOf(b, cam, vision.Edges{}), f.tweeterHeight, readingTweeter)
	}
}

// candidates are the shapes in the terms of the choice; they are measured from
// index first on.
func (s shapes) candidates(f *photoFlags, m *calib.Measured, first int) []calib.Candidate {
	var out []calib.Candidate
	for i, o := range s.openings {
		outline := o.Outline
		circle := m.Circles[first+i].Circle
		out = append(out, calib.Candidate{
			Circle: circle, Kind: kindOf(circle), Quality: o.Odds(), AsFace: o.AsFace(), Inside: o.Core, Why: o.Words(),
			Outline: &outline, HalfU: [2]float64{o.LongU, math.Sqrt(o.Cov[2][2])},
		})
	}
	for i, b := range s.bodies {
		out = append(out, calib.Candidate{
			Circle: m.Circles[first+len(s.openings)+i].Circle, Kind: calib.KindTweeter,
			Quality: b.BodyOdds(f.tweeterDiameter.mm), Why: b.Words(),
		})
	}
	return out
}
