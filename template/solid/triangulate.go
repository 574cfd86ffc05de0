package solid

import (
	"errors"
	"math"
	"slices"

	"trimscribe/calib"
)

// triangulate cuts a flat area into triangles. The outer ring and those of the
// holes run anticlockwise. Corners are numbered through all rings, the outer
// first; a triangle's run anticlockwise. The rings must keep off one another and
// off themselves. No corner is added, and every edge of
// a ring is an edge of one triangle.
//
// Each hole is joined to what is round it by a double cut, from its rightmost
// corner to one that it sees, and the one ring that is left is cut up ear by ear
// (D. Eberly, Triangulation by Ear Clipping, 2002).
func triangulate(outer []calib.Point, holes [][]calib.Point) ([][3]int, error) {
	points := append([]calib.Point(nil), outer...)
	ring := make([]int, len(outer))
	for i := range ring {
		ring[i] = i
	}
	var inner [][]int
	for _, h := range holes {
		loop := make([]int, len(h))
		for i := range h { // clockwise: the area lies to the left of every edge
			loop[len(h)-1-i] = len(points) + i
		}
		points = append(points, h...)
		inner = append(inner, loop)
	}
	c := cutter{points}
	// From the right: what a hole is joined to is then finished.
	slices.SortFunc(inner, func(a, b []int) int {
		return sign(c.rightmost(b).X - c.rightmost(a).X)
	})
	for _, loop := range inner {
		var err error
		if ring, err = c.join(ring, loop); err != nil {
			return nil, err
		}
	}
	return c.clip(ring)
}

var errTriangles = errors.New("an area of the solid cannot be cut into triangles: its lines cross")

type cutter struct{ p []calib.Point }

func sign(v float64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// turn is positive when the way from a over b to c turns left.
func turn(a, b, c calib.Point) float64 {
	return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)
}

func (c cutter) rightmost(loop []int) calib.Point {
	best := c.p[loop[0]]
	for _, i := range loop {
		if c.p[i].X > best.X {
			best = c.p[i]
		}
	}
	return best
}

// join cuts from a hole's rightmost corner to a corner of the ring that it
// sees to its right.
func (c cutter) join(ring, loop []int) ([]int, error) {
	from := 0
	for i, v := range loop {
		if c.p[v].X > c.p[loop[from]].X {
			from = i
		}
	}
	m := c.p[loop[from]]
	// The nearest edge straight to the right, and its end on that side.
	to, best := -1, math.Inf(1)
	var hit calib.Point
	for i, v := range ring {
		a, b := c.p[v], c.p[ring[(i+1)%len(ring)]]
		if a.Y > m.Y || b.Y < m.Y || a.Y == b.Y { // upward edges have the area to their left
			continue
		}
		x := a.X + (m.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X)
		if x < m.X || x >= best {
			continue
		}
		best, hit = x, calib.Point{X: x, Y: m.Y}
		to = i
		if b.X > a.X {
			to = (i + 1) % len(ring)
		}
	}
	if to < 0 {
		return nil, errTriangles
	}
	// A corner in the triangle between may hide that end: then the one under
	// the smallest angle is seen.
	p := c.p[ring[to]]
	least, far := math.Inf(1), math.Inf(1)
	seen := to
	for i, v := range ring {
		q := c.p[v]
		if q == p && i != to {
			continue
		}
		if !inTriangle(q, m, hit, p) {
			continue
		}
		if q != p && !c.reflex(ring, i) {
			continue
		}
		angle := math.Abs(math.Atan2(q.Y-m.Y, q.X-m.X))
		d := q.Dist(m)
		if angle < least || angle == least && d < far {
			least, far, seen = angle, d, i
		}
	}
	seen = c.sector(ring, seen, m)
	joined := append([]int(nil), ring[:seen+1]...)
	for i := range loop {
		joined = append(joined, loop[(from+i)%len(loop)])
	}
	joined = append(joined, loop[from])
	return append(joined, ring[seen:]...), nil
}

// sector returns which of the ring's visits to a corner opens towards m: where
// cuts meet, a corner is visited more than once.
func (c cutter) sector(ring []int, at int, m calib.Point) int {
	n := len(ring)
	for i, v := range ring {
		if v != ring[at] {
			continue
		}
		a, p, b := c.p[ring[(i+n-1)%n]], c.p[v], c.p[ring[(i+1)%n]]
		left, right := turn(a, p, m) > 0, turn(p, b, m) > 0
		if c.reflex(ring, i) && (left || right) || !c.reflex(ring, i) && left && right {
			return i
		}
	}
	return at
}

func (c cutter) reflex(ring []int, i int) bool {
	n := len(ring)
	return turn(c.p[ring[(i+n-1)%n]], c.p[ring[i]], c.p[ring[(i+1)%n]]) <= 0
}

func inTriangle(q, a, b, c calib.Point) bool {
	s, t, u := turn(a, b, q), turn(b, c, q), turn(c, a, q)
	return s >= 0 && t >= 0 && u >= 0 || s <= 0 && t <= 0 && u <= 0
}

// clip cuts ears off a ring until nothing is left.
func (c cutter) clip(ring []int) ([][3]int, error) {
	n := len(ring)
	next, prev := make([]int, n), make([]int, n)
	for i := range n {
		next[i], prev[i] = (i+1)%n, (i+n-1)%n
	}
	at := func(i int) calib.Point { return c.p[ring[i]] }
	// Only an inward corner can lie in an ear. A corner once outward stays so.
	inward := make([]bool, n)
	var inwards []int
	for i := range n {
		inward[i] = turn(at(prev[i]), at(i), at(next[i])) <= 0
		if inward[i] {
			inwards = append(inwards, i)
		}
	}
	ear := func(i int) bool {
		if inward[i] {
			return false
		}
		a, b, d := at(prev[i]), at(i), at(next[i])
		x0, x1 := min(a.X, b.X, d.X), max(a.X, b.X, d.X)
		y0, y1 := min(a.Y, b.Y, d.Y), max(a.Y, b.Y, d.Y)
		for _, j := range inwards {
			q := at(j)
			if !inward[j] || q.X < x0 || q.X > x1 || q.Y < y0 || q.Y > y1 || q == a || q == b || q == d {
				continue
			}
			if inTriangle(q, a, b, d) {
				return false
			}
		}
		return true
	}
	triangles := make([][3]int, 0, n)
	left, i, idle := n, 0, 0
	for left > 3 {
		if !ear(i) {
			if idle++; idle > left {
				return nil, errTriangles
			}
			i = next[i]
			continue
		}
		idle = 0
		p, q := prev[i], next[i]
		triangles = append(triangles, [3]int{ring[p], ring[i], ring[q]})
		next[p], prev[q] = q, p
		inward[i] = false
		for _, k := range []int{p, q} {
			inward[k] = inward[k] && turn(at(prev[k]), at(k), at(next[k])) <= 0
		}
		left--
		i = next[q] // not the next corner: fans of thin triangles would come of it
	}
	return append(triangles, [3]int{ring[prev[i]], ring[i], ring[next[i]]}), nil
}
