package main

import (
	"math"

	"trimscribe/calib"
	"trimscribe/vision"
)

const (
	nearReach = 5.0 // mm from a circle's rim that still point at it
	nearSame  = 1.5 // mm within which two centres are pointed at alike
)

// nearest returns the candidate whose centre is nearest to a place in the
// overlay picture; of circles about one centre the likeliest, which stands
// first. The error is a sentence for the user.
func nearest(p *vision.Photo, cam calib.Camera, cands []calib.Candidate, heights []calib.HeightFound, at calib.Point) (int, error) {
	shrink := overlayShrink(p)
	away := make([]float64, len(cands)) // mm
	best := 0
	for i, c := range cands {
		px := overlayAt(cam, shrink, c.Centre.X, c.Centre.Y, heights[i].MM)
		away[i] = px.Dist(at) / (shrink * cam.PxPerMM(c.Centre, heights[i].MM))
		if away[i] < away[best] {
			best = i
		}
	}
	for i := range cands {
		if away[i] < away[best]+nearSame && away[i] < math.Max(cands[i].R, nearSame)+nearReach {
			return i, nil
		}
	}
	px := overlayAt(cam, shrink, cands[best].Centre.X, cands[best].Centre.Y, heights[best].MM)
	return 0, usagef("%s has no circle near %.0f,%.0f of its overlay picture; the nearest is circle %d, at %.0f,%.0f", p.File, at.X, at.Y, best+1, px.X, px.Y)
}
