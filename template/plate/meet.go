package plate

import (
	"math"
)

// meet returns where the endless line or the full circle that one piece lies
// on meets that of another: none, one or two points. Where they touch, the
// point of touch is returned, also when rounding has them miss by a hair.
func meet(s, t Seg) []point {
	switch {
	case s.Straight() && t.Straight():
		return meetLines(s, t)
	case s.Straight():
		return meetLineCircle(s, t)
	case t.Straight():
		return meetLineCircle(t, s)
	}
	return meetCircles(s, t)
}

func meetLines(s, t Seg) []point {
	d, e := s.dir(0), t.dir(0)
	det := cross(d, e)
	if math.Abs(det) < 1e-14 {
		return nil
	}
	return []point{s.A.Add(d.Mul(cross(t.A.Sub(s.A), e) / det))}
}

func meetLineCircle(l, c Seg) []point {
	d := l.dir(0)
	foot := l.A.Add(d.Mul(c.C.Sub(l.A).Dot(d)))
	return chord(foot, d, c.R, foot.Dist(c.C))
}

func meetCircles(s, t Seg) []point {
	way := t.C.Sub(s.C)
	n := way.Norm()
	if n < tiny { // concentric
		return nil
	}
	// The common chord crosses the line of centres this far from the first.
	a := (n*n + s.R*s.R - t.R*t.R) / (2 * n)
	d := way.Mul(1 / n)
	return chord(s.C.Add(d.Mul(a)), point{X: -d.Y, Y: d.X}, s.R, math.Abs(a))
}

// chord returns the ends of a chord with its middle at foot, at a distance
// from the centre of a circle of radius r.
func chord(foot, along point, r, distance float64) []point {
	h2 := (r - distance) * (r + distance)
	switch {
	case h2 < -tiny*r:
		return nil
	case h2 <= 0:
		return []point{foot}
	}
	h := math.Sqrt(h2)
	return []point{foot.Sub(along.Mul(h)), foot.Add(along.Mul(h))}
}

// along returns how far along the piece a point of it lies, as a fraction of
// its length, and whether it lies on the piece at all, give or take slack mm.
func (s Seg) along(p point, slack float64) (t float64, on bool) {
	if s.Straight() {
		n := s.A.Dist(s.B)
		t = p.Sub(s.A).Dot(s.B.Sub(s.A)) / (n * n)
		return t, t*n >= -slack && (t-1)*n <= slack
	}
	turn := math.Atan2(p.Y-s.C.Y, p.X-s.C.X) - s.from()
	if s.Sweep < 0 {
		turn = -turn
	}
	span := math.Abs(s.Sweep)
	turn = math.Mod(turn+4*math.Pi, 2*math.Pi)
	if turn > span+(2*math.Pi-span)/2 { // nearer to the beginning from before it
		turn -= 2 * math.Pi
	}
	return turn / span, turn*s.R >= -slack && (turn-span)*s.R <= slack
}

// Dist returns the distance from a point to the piece.
func (s Seg) Dist(p point) float64 {
	d := math.Min(p.Dist(s.A), p.Dist(s.B))
	if s.Straight() {
		if s.A.Dist(s.B) < tiny {
			return d
		}
		if t, on := s.along(p, 0); on {
			d = math.Min(d, p.Dist(s.At(t)))
		}
		return d
	}
	if p.Dist(s.C) < tiny {
		return s.R
	}
	if _, on := s.along(p, 0); on {
		d = math.Min(d, math.Abs(p.Dist(s.C)-s.R))
	}
	return d
}

// Dist returns the distance from a point to the outline.
func (p Path) Dist(q point) float64 {
	d := math.Inf(1)
	for _, s := range p {
		d = math.Min(d, s.Dist(q))
	}
	return d
}

// distToLine returns the distance between the outline and the straight line
// from a to b, zero when they meet. A minimum is at an end of the one or the
// other, or where the line passes an arc's centre.
func (p Path) distToLine(a, b point) float64 {
	d := math.Min(p.Dist(a), p.Dist(b))
	if a.Dist(b) < tiny {
		return d
	}
	l := Line(a, b)
	for _, s := range p {
		d = math.Min(d, math.Min(l.Dist(s.A), l.Dist(s.B)))
		for _, q := range meet(l, s) {
			if _, on := l.along(q, 0); on && s.Dist(q) < 1e-7 {
				return 0
			}
		}
		if !s.Straight() {
			if t, on := l.along(s.C, 0); on {
				d = math.Min(d, s.Dist(l.At(t)))
			}
		}
	}
	return d
}

// Holds tells whether a point lies inside the outline: by how often the
// outline turns round it.
func (p Path) Holds(q point) bool {
	turn := 0.0
	for _, s := range p {
		// An arc in pieces of less than a quarter turn sweeps less than a
		// half turn as seen from any point off it.
		n := int(math.Ceil(math.Abs(s.Sweep)/(math.Pi/4))) + 1
		if s.Straight() {
			n = 1
		}
		for i := range n {
			a, b := s.At(float64(i)/float64(n)).Sub(q), s.At(float64(i+1)/float64(n)).Sub(q)
			turn += math.Atan2(cross(a, b), a.Dot(b)) + s.lune(q, float64(i)/float64(n), float64(i+1)/float64(n))
		}
	}
	return math.Abs(turn) > math.Pi
}

// lune is a full turn, with its sign, when q lies between the chord and the
// arc from t0 to t1, and 0 otherwise: seen from there the arc goes round the
// other way than its chord.
func (s Seg) lune(q point, t0, t1 float64) float64 {
	if s.Straight() || q.Dist(s.C) >= s.R {
		return 0
	}
	a, b := s.At(t0), s.At(t1)
	beyond := cross(b.Sub(a), q.Sub(a)) // positive: left of the chord
	switch {
	case s.Sweep > 0 && beyond < 0:
		return 2 * math.Pi
	case s.Sweep < 0 && beyond > 0:
		return -2 * math.Pi
	}
	return 0
}
