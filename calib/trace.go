package calib

import (
	"math"
	"slices"
)

// How a trace is drawn, mm.
const (
	traceTolerance = 0.03 // how far it may run from its smoothed points for having fewer: less than a pen's width;
	mostTolerance  = 0.1  // more where the points are less even than that, and at most this
	leastSmooth    = 0.5  // how far along the line, either way, it is smoothed at least
	mostSmooth     = 1.5  // and at most: with more, small circles would shrink
	cornerReach    = 0.8  // how far before and behind a place the line is looked at for a corner
)

// cornerTurn is the least turn, radians, that is a corner. A circle of 2 mm
// turns by less within the reach.
const cornerTurn = 50 * math.Pi / 180

// NewTrace makes a trace of an edge's points in a photo, px, in order. They
// are taken to lie on the panel's face, z = 0. The line is smoothed as their
// noise asks for, corners kept, and then thinned.
func NewTrace(cam Camera, px []Point, closed bool) Trace {
	points := make([]Point, len(px))
	for i, q := range px {
		points[i] = cam.ToPlane(q, 0)
	}
	line := smoothLine(points, closed)
	t := Trace{Closed: closed}
	for i, q := range line {
		t.Points = append(t.Points, [2]float64{q.X, q.Y})
		if i > 0 {
			t.Length += q.Dist(line[i-1])
		}
	}
	if closed && len(line) > 0 {
		t.Length += line[len(line)-1].Dist(line[0])
	}
	return t
}

// smoothLine returns a line of few points through many noisy ones. A closed
// line's last point leads to its first.
func smoothLine(points []Point, closed bool) []Point {
	n := len(points)
	if n < 5 {
		return points
	}
	noise := pointNoise(points)
	reach := smoothReach(points, noise)
	tolerance := math.Max(traceTolerance, math.Min(2*noise, mostTolerance))
	if closed { // goes on beyond its ends, so that it has none
		lap := min(n-1, int(3*mostSmooth/spacing(points))+1)
		points = slices.Concat(points[n-lap:], points, points[:lap])
		line := smoothPieces(points, reach)[lap : lap+n]
		far := farthestFrom(line, line[0])
		ring := append(thin(line, 0, far, tolerance), thin(append(line[:n:n], line[0]), far, n, tolerance)[1:]...)
		return ring[:len(ring)-1]
	}
	line := smoothPieces(points, reach)
	return thin(line, 0, n-1, tolerance)
}

// smoothReach is how far along the line to smooth, mm, so that what the points' noise
// leaves is well under the tolerance: the middle of a parabola through k points
// has 9/4 of their variance over k.
func smoothReach(points []Point, noise float64) float64 {
	k := math.Pow(6*noise/traceTolerance, 2)
	return math.Max(leastSmooth, math.Min(k/2*spacing(points), mostSmooth))
}

// spacing is the mean distance of one point from the next, mm.
func spacing(points []Point) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += points[i].Dist(points[i-1])
	}
	return math.Max(sum/float64(len(points)-1), 1e-6)
}

// pointNoise estimates the standard deviation of points' places across their
// line, mm: how far each lies from the middle of its neighbours' line. The
// variance of that is 1 + 1/4 + 1/4 of a point's; the median is robust against
// corners, and 0.6745 of a Gaussian's standard deviation.
func pointNoise(points []Point) float64 {
	var off []float64
	for i := 1; i+1 < len(points); i++ {
		a, b := points[i-1], points[i+1]
		d := b.Sub(a)
		if n := d.Norm(); n > 0 {
			e := points[i].Sub(a.Add(b).Mul(0.5))
			off = append(off, math.Abs(d.X*e.Y-d.Y*e.X)/n)
		}
	}
	if len(off) == 0 {
		return 0
	}
	slices.Sort(off)
	return off[len(off)/2] / 0.6745 / math.Sqrt(1.5)
}

// smoothPieces smooths a line from corner to corner.
func smoothPieces(points []Point, reach float64) []Point {
	var out []Point
	from := 0
	for _, to := range append(cornersOf(points), len(points)-1) {
		piece := smooth(points[from:to+1], reach)
		if from > 0 { // both pieces have a say in where their corner is
			last := len(out) - 1
			out[last] = out[last].Add(piece[0]).Mul(0.5)
			piece = piece[1:]
		}
		out = append(out, piece...)
		from = to
	}
	return out
}

// cornersOf returns the places where a line turns sharply, neither its first
// nor its last.
func cornersOf(points []Point) []int {
	k := max(2, int(math.Round(cornerReach/spacing(points))))
	turn := make([]float64, len(points))
	for i := k; i+k < len(points); i++ {
		a, b := points[i].Sub(points[i-k]), points[i+k].Sub(points[i])
		turn[i] = math.Abs(math.Atan2(a.X*b.Y-a.Y*b.X, a.Dot(b)))
	}
	var out []int
	for i := range turn {
		if turn[i] >= cornerTurn && turn[i] == slices.Max(turn[max(0, i-k):min(len(turn), i+k+1)]) &&
			(len(out) == 0 || i-out[len(out)-1] > k) {
			out = append(out, i)
		}
	}
	return out
}

// smooth puts each point on the parabola that fits its neighbours within reach
// by least squares, x and y each over the way along the line (A. Savitzky,
// M. Golay, Analytical Chemistry 36 (1964) 1627, for uneven spacing).
func smooth(points []Point, reach float64) []Point {
	n := len(points)
	along := make([]float64, n)
	for i := 1; i < n; i++ {
		along[i] = along[i-1] + points[i].Dist(points[i-1])
	}
	out := make([]Point, n)
	from, to := 0, 0
	for i := range points {
		for along[i]-along[from] > reach {
			from++
		}
		for to < n && along[to]-along[i] <= reach {
			to++
		}
		out[i] = points[i]
		if to-from < 5 {
			continue
		}
		var m Mat3
		var x, y Vec3
		for k := from; k < to; k++ {
			u := (along[k] - along[i]) / reach
			powers := [5]float64{1, u, u * u, u * u * u, u * u * u * u}
			for r := range 3 {
				for c := range 3 {
					m[r][c] += powers[r+c]
				}
			}
			p := Vec3{1, u, u * u}
			x, y = x.Add(p.Mul(points[k].X)), y.Add(p.Mul(points[k].Y))
		}
		if inv, ok := invert3(m); ok {
			out[i] = Point{inv.Apply(x).X, inv.Apply(y).X}
		}
	}
	return out
}

func farthestFrom(points []Point, from Point) int {
	best := 0
	for i, q := range points {
		if q.Dist(from) > points[best].Dist(from) {
			best = i
		}
	}
	return best
}

// thin returns the points from first to last that a line within the tolerance of
// all of them needs (D. Douglas, T. Peucker, The Canadian Cartographer 10 (1973) 112).
func thin(points []Point, first, last int, tolerance float64) []Point {
	worst, at := 0.0, -1
	for i := first + 1; i < last; i++ {
		if d := offSegment(points[i], points[first], points[last]); d > worst {
			worst, at = d, i
		}
	}
	if worst <= tolerance {
		return []Point{points[first], points[last]}
	}
	return append(thin(points, first, at, tolerance), thin(points, at, last, tolerance)[1:]...)
}

// offSegment is the distance of q from the straight line from a to b.
func offSegment(q, a, b Point) float64 {
	d := b.Sub(a)
	t := 0.0
	if n := d.Dot(d); n > 0 {
		t = math.Max(0, math.Min(1, q.Sub(a).Dot(d)/n))
	}
	return q.Dist(a.Add(d.Mul(t)))
}

// HeightShift is how far, in mm for each millimetre of height, what stands proud of the
// face is drawn away from its true place at most, in a trace or any other
// drawing at z = 0: it lies nearer the place straight below the camera by its
// distance from there over the camera's height (similar triangles).
func (c Camera) HeightShift(traces []Trace) float64 {
	eye := c.Eye()
	most := 0.0
	for _, t := range traces {
		for _, q := range t.Points {
			most = math.Max(most, Point{q[0], q[1]}.Dist(Point{eye.X, eye.Y}))
		}
	}
	return most / math.Abs(eye.Z)
}
