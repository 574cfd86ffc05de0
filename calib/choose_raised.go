package calib

import (
	"fmt"
	"math"
	"slices"
)

// A grille's edge that stands above the face, as a collar's does, is seen slid away from
// the camera. What lies about the same axis on the face tells by how much.
const (
	raisedMost   = 15.0 // mm; no collar stands higher
	raisedAcross = 0.33 // most distance from the line it slides along, as a share of that along it
	raisedFoot   = 0.3  // least slide that a circle round it tells, mm
	raisedHoles  = 1.0  // the same of evenly placed holes: their middle is not that of the grille to better, mm
	evenReach    = 0.02 // most by which evenly placed holes differ in distance from their middle, as a share of it
	evenTurn     = 0.06 // and in angle, radians
)

// raisedDoubt says when the grille chosen seems to be an edge high above the face: a circle
// round it, or the holes if they are placed evenly, lie about where its centre would
// then be.
func raisedDoubt(cands []Candidate, h Hints, best Choice) string {
	if best.Grille < 0 || h.GrilleHeight || h.GrilleDiameter > 0 || slices.Contains(h.Pick, best.Grille) || len(best.Holes) < 2 {
		return ""
	}
	g := cands[best.Grille]
	middle, even := middleOf(cands, best.Holes)
	mm, reason := 0.0, ""
	if up, ok := g.raisedOver(middle, raisedHoles); ok && even {
		mm, reason = up, "the holes lie evenly about where its centre would then be"
	}
	for i, c := range cands {
		if c.Kind != KindGrille || c.R < g.R+collarWall || slices.Contains(h.Drop, i) || c.Centre.Dist(middle) > g.Centre.Dist(middle)/2 {
			continue
		}
		if up, ok := g.raisedOver(c.Centre, raisedFoot); ok {
			mm, reason = up, fmt.Sprintf("circle %d lies about where its centre would then be, and so do the holes", i+1)
		}
	}
	if reason == "" {
		return ""
	}
	return fmt.Sprintf("the grille's circle may be an edge that stands about %.0f mm above the face: %s; say how high it is with --grille-height (0 if it is in the face), or which circle is meant with --pick or --grille-diameter", mm, reason)
}

// raisedOver is how high the circle would have to stand for its axis to pass a point
// of the face, mm, and whether a height would do: not where it would be too high, or is seen
// less than so far beside.
func (c Candidate) raisedOver(p Point, least float64) (float64, bool) {
	mm, along, across := c.slideTo(p)
	return mm, along > least && across < raisedAcross*along && mm < raisedMost
}

// slideTo tells how many mm of height make a circle's centre slide to a point, or to beside
// it, as the camera sees it: how far it slides then, and how far beside the point is left,
// mm. All are zero where a height moves nothing.
func (c Candidate) slideTo(p Point) (height, along, across float64) {
	slide, off := Point{c.Shift.X, c.Shift.Y}, p.Sub(c.Centre)
	rate := slide.Norm()
	if rate == 0 {
		return 0, 0, 0
	}
	along = off.Dot(slide) / rate
	return along / rate, along, math.Abs(off.X*slide.Y-off.Y*slide.X) / rate
}

// middleOf is the middle of the holes' circle, or between two. even tells whether
// three or more lie about it as the corners of an even-sided figure.
func middleOf(cands []Candidate, holes []int) (middle Point, even bool) {
	at := make([]Point, len(holes))
	for k, i := range holes {
		at[k] = cands[i].Centre
		middle = middle.Add(at[k].Mul(1 / float64(len(holes))))
	}
	circle, ok := algebraicCircle(at)
	if len(holes) < 3 || !ok {
		return middle, false
	}
	middle = circle.Centre
	angle := make([]float64, len(at))
	for k, p := range at {
		d := p.Sub(middle)
		angle[k] = math.Atan2(d.Y, d.X)
		if math.Abs(d.Norm()/circle.R-1) > evenReach {
			return middle, false
		}
	}
	off := evenness(angle)
	return middle, slices.Max(off)-slices.Min(off) < 2*evenTurn
}
