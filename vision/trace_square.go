package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// edgeSamples is the most points traced on one edge of a frame; more add
// little, since neighbours err together.
const edgeSamples = 400

// traceSquare finds the points of a sighted square's eight edges to a
// fraction of a pixel, twice: the first pass corrects the rough outline so
// that the second can look close to the edge. ok is false when the photo's
// border or a cover leaves too little.
func traceSquare(p *Photo, s sighting) (calib.SquareEdges, bool) {
	for _, c := range outerCorners(s) {
		if !p.inside(c, 1) {
			return calib.SquareEdges{}, false
		}
	}
	var points []calib.EdgePoint
	for _, window := range []float64{0.45, 0.3} { // cells
		points = points[:0]
		for side := range 4 {
			for _, inner := range []bool{false, true} {
				points = append(points, traceEdge(p, s, side, inner, window)...)
			}
		}
		grid, ok := gridFromEdges(s, points)
		if !ok {
			return calib.SquareEdges{}, false
		}
		s.grid = grid
	}
	return calib.SquareEdges{Number: s.number, Corners: outerCorners(s), Edges: slices.Clone(points)}, true
}

func outerCorners(s sighting) [4]calib.Point {
	return [4]calib.Point{s.at(0, 0), s.at(10, 0), s.at(10, 10), s.at(0, 10)}
}

// edgeLine returns the two ends of an edge in grid cells, kept clear of the
// corners, and the direction out of the square.
func edgeLine(side int, inner bool) (from, to, out calib.Point) {
	const clear = 0.6 // cells
	depth := 0.0
	if inner {
		depth = 1
	}
	lo, hi := depth+clear, calib.SquareGrid-depth-clear
	switch side {
	case calib.Top:
		return calib.Point{X: lo, Y: depth}, calib.Point{X: hi, Y: depth}, calib.Point{Y: -1}
	case calib.Right:
		return calib.Point{X: 10 - depth, Y: lo}, calib.Point{X: 10 - depth, Y: hi}, calib.Point{X: 1}
	case calib.Bottom:
		return calib.Point{X: lo, Y: 10 - depth}, calib.Point{X: hi, Y: 10 - depth}, calib.Point{Y: 1}
	default:
		return calib.Point{X: depth, Y: lo}, calib.Point{X: depth, Y: hi}, calib.Point{X: -1}
	}
}

// traceEdge samples the photo across one edge at many places along it and
// returns the points where black turns to white. window is how far to look to
// either side, in cells.
func traceEdge(p *Photo, s sighting, side int, inner bool, window float64) []calib.EdgePoint {
	from, to, out := edgeLine(side, inner)
	if inner {
		out = out.Mul(-1) // towards the white
	}
	length := s.at(from.X, from.Y).Dist(s.at(to.X, to.Y))
	n := int(math.Min(edgeSamples, length/1.5))
	var points []calib.EdgePoint
	for i := range n {
		t := (float64(i) + 0.5) / float64(n)
		at := from.Add(to.Sub(from).Mul(t))
		here, ahead := s.at(at.X, at.Y), s.at(at.X+0.5*out.X, at.Y+0.5*out.Y)
		cell := 2 * here.Dist(ahead)
		across := normalToEdge(s, from, to, ahead.Sub(here))
		if px, ok := whiteStep(p, here, across, window*cell, cell); ok {
			points = append(points, calib.EdgePoint{Px: px, Side: side, Inner: inner})
		}
	}
	return points
}

// normalToEdge is the photo's direction at right angles to the edge, on the
// side that toward points to.
func normalToEdge(s sighting, from, to, toward calib.Point) calib.Point {
	d := s.at(to.X, to.Y).Sub(s.at(from.X, from.Y))
	n := calib.Point{X: -d.Y, Y: d.X}
	n = n.Mul(1 / n.Norm())
	if n.Dot(toward) < 0 {
		n = n.Mul(-1)
	}
	return n
}

// whiteStep looks along a line for the one step from black to white, and
// refuses a place where the white is not clearly lighter than the black.
func whiteStep(p *Photo, at, dir calib.Point, reach, cell float64) (calib.Point, bool) {
	const spacing = 0.5
	sigma := math.Max(1, math.Min(3, cell/20))
	f := newStepFilter(sigma, spacing)
	half := int(math.Ceil(reach/spacing)) + f.margin()
	profile := make([]float64, 2*half+1)
	along := calib.Point{X: -dir.Y, Y: dir.X}
	for i := range profile {
		q := at.Add(dir.Mul(float64(i-half) * spacing))
		if !p.inside(q, 1) {
			return calib.Point{}, false
		}
		for k := -1.0; k <= 1; k++ { // three lines a pixel apart: less noise
			profile[i] += p.At(q.Add(along.Mul(k))) / 3
		}
	}
	response := f.respond(profile)
	best := f.margin()
	for i, v := range response {
		if v > response[best] {
			best = i
		}
	}
	if best <= f.margin() || best >= len(profile)-1-f.margin() {
		return calib.Point{}, false
	}
	light := profile[min(best+2*f.margin()/3, len(profile)-1)]
	if response[best] < 0.35*light {
		return calib.Point{}, false
	}
	return at.Add(dir.Mul((peak(response, best) - float64(half)) * spacing)), true
}

// gridFromEdges fits a line to each side's points and returns the homography
// through their crossings. The two edges of a side err in opposite directions
// by bloom, so each side's line is the mean of both. A side with nothing to
// see keeps its old place.
func gridFromEdges(s sighting, points []calib.EdgePoint) (calib.Mat3, bool) {
	var centre [4]line // the frame's centre line
	for side := range 4 {
		from, to, out := edgeLine(side, false)
		old := lineThrough(s.at(from.X-out.X/2, from.Y-out.Y/2), s.at(to.X-out.X/2, to.Y-out.Y/2))
		outer, okOuter := fitLine(points, side, false)
		inner, okInner := fitLine(points, side, true)
		centre[side] = old
		if okOuter && okInner {
			centre[side] = meanLine(outer, inner)
		}
	}
	var corners [4]calib.Point
	for i := range corners {
		// Corner i lies between the side before it and the side after it:
		// left and top, top and right, and so on.
		c, ok := centre[(i+3)%4].crossing(centre[i])
		if !ok {
			return calib.Mat3{}, false
		}
		corners[i] = c
	}
	const lo, hi = 0.5, calib.SquareGrid - 0.5
	grid, err := calib.Homography([]calib.Point{{X: lo, Y: lo}, {X: hi, Y: lo}, {X: hi, Y: hi}, {X: lo, Y: hi}}, corners[:])
	return grid, err == nil
}
