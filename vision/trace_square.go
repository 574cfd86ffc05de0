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

// A line is the points q with normal.Dot(q) = offset.
type line struct {
	normal calib.Point
	offset float64
}

func lineThrough(a, b calib.Point) line {
	d := b.Sub(a)
	n := calib.Point{X: -d.Y, Y: d.X}
	n = n.Mul(1 / n.Norm())
	return line{n, n.Dot(a)}
}

func (l line) crossing(m line) (calib.Point, bool) {
	det := l.normal.X*m.normal.Y - l.normal.Y*m.normal.X
	if math.Abs(det) < 1e-6 {
		return calib.Point{}, false
	}
	return calib.Point{
		X: (l.offset*m.normal.Y - m.offset*l.normal.Y) / det,
		Y: (m.offset*l.normal.X - l.offset*m.normal.X) / det,
	}, true
}

func meanLine(a, b line) line {
	if a.normal.Dot(b.normal) < 0 {
		b = line{b.normal.Mul(-1), -b.offset}
	}
	n := a.normal.Add(b.normal)
	k := n.Norm()
	return line{n.Mul(1 / k), (a.offset + b.offset) / k}
}

// fitLine fits a line to the points of one edge by re-weighted total least
// squares.
func fitLine(points []calib.EdgePoint, side int, inner bool) (line, bool) {
	var pts []calib.Point
	for _, e := range points {
		if e.Side == side && e.Inner == inner {
			pts = append(pts, e.Px)
		}
	}
	if len(pts) < 10 {
		return line{}, false
	}
	w := make([]float64, len(pts))
	for i := range w {
		w[i] = 1
	}
	var l line
	residual := make([]float64, len(pts))
	for range 10 {
		l = weightedLine(pts, w)
		for i, q := range pts {
			residual[i] = math.Abs(l.normal.Dot(q) - l.offset)
		}
		sorted := slices.Clone(residual)
		slices.Sort(sorted)
		limit := 3 * math.Max(0.05, 1.4826*sorted[len(sorted)/2])
		for i, r := range residual {
			u := r / limit
			w[i] = 1 / (1 + u*u*u*u)
		}
	}
	return l, true
}

func weightedLine(pts []calib.Point, w []float64) line {
	var sum float64
	var mean calib.Point
	for i, q := range pts {
		mean = mean.Add(q.Mul(w[i]))
		sum += w[i]
	}
	mean = mean.Mul(1 / sum)
	var xx, xy, yy float64
	for i, q := range pts {
		d := q.Sub(mean)
		xx += w[i] * d.X * d.X
		xy += w[i] * d.X * d.Y
		yy += w[i] * d.Y * d.Y
	}
	angle := 0.5 * math.Atan2(2*xy, xx-yy)
	n := calib.Point{X: -math.Sin(angle), Y: math.Cos(angle)}
	return line{n, n.Dot(mean)}
}
