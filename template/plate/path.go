package plate

import (
	"math"

	"trimscribe/calib"
	"trimscribe/template"
)

type point = calib.Point

// Seg is one piece of an outline: the straight line from A to B, or, where R
// is not zero, the arc about C from A to B. An arc's Sweep is the angle it
// turns through, radians, anticlockwise positive, at most a full turn.
type Seg struct {
	A, B  point
	C     point
	R     float64 // mm
	Sweep float64
}

// Path is a closed outline: each piece begins where the one before it ends,
// and the first where the last ends. A path that turns anticlockwise has its
// inside to the left; all paths of a part do, its openings too.
type Path []Seg

// Line returns the straight piece from a to b.
func Line(a, b point) Seg { return Seg{A: a, B: b} }

// Arc returns the arc about c of radius r that begins at the angle from and
// turns through sweep.
func Arc(c point, r, from, sweep float64) Seg {
	return Seg{A: polar(c, r, from), B: polar(c, r, from+sweep), C: c, R: r, Sweep: sweep}
}

// Circle returns a full circle, anticlockwise.
func Circle(c point, r float64) Path { return Path{Arc(c, r, 0, 2*math.Pi)} }

// Slot returns the outline of a slot: a straight line from a to b, drawn with
// a tip of radius r. Where a and b are one, it is a circle.
func Slot(a, b point, r float64) Path {
	way := b.Sub(a)
	n := way.Norm()
	if n < tiny {
		return Circle(a, r)
	}
	angle := math.Atan2(way.Y, way.X)
	end, begin := Arc(b, r, angle-math.Pi/2, math.Pi), Arc(a, r, angle+math.Pi/2, math.Pi)
	return Path{Line(begin.B, end.A), end, Line(end.B, begin.A), begin}
}

// tiny is a length that no tool can show, mm; it stands for zero where
// rounding blurs it.
const tiny = 1e-9

func polar(c point, r, angle float64) point {
	sin, cos := math.Sincos(angle)
	return point{X: c.X + r*cos, Y: c.Y + r*sin}
}

func cross(a, b point) float64 { return a.X*b.Y - a.Y*b.X }

func unit(p point) point { return p.Mul(1 / p.Norm()) }

// Straight tells whether the piece is a line.
func (s Seg) Straight() bool { return s.R == 0 }

// Length returns the length of the piece.
func (s Seg) Length() float64 {
	if s.Straight() {
		return s.A.Dist(s.B)
	}
	return s.R * math.Abs(s.Sweep)
}

// from returns the angle at which an arc begins.
func (s Seg) from() float64 { return math.Atan2(s.A.Y-s.C.Y, s.A.X-s.C.X) }

// At returns the point a fraction t of the way along the piece.
func (s Seg) At(t float64) point {
	switch {
	case t <= 0:
		return s.A
	case t >= 1:
		return s.B
	case s.Straight():
		return s.A.Add(s.B.Sub(s.A).Mul(t))
	}
	return polar(s.C, s.R, s.from()+t*s.Sweep)
}

// dir returns the direction of travel at t, a unit vector.
func (s Seg) dir(t float64) point {
	if s.Straight() {
		return unit(s.B.Sub(s.A))
	}
	d := unit(s.At(t).Sub(s.C))
	if s.Sweep < 0 {
		return point{X: d.Y, Y: -d.X}
	}
	return point{X: -d.Y, Y: d.X}
}

// out returns the normal to the right of travel at t: outwards, on a path
// that turns anticlockwise.
func (s Seg) out(t float64) point {
	d := s.dir(t)
	return point{X: d.Y, Y: -d.X}
}

// reversed returns the piece run the other way.
func (s Seg) reversed() Seg {
	s.A, s.B, s.Sweep = s.B, s.A, -s.Sweep
	return s
}

// Area returns the area inside, negative for a clockwise path: by Green's
// theorem, exact for lines and arcs.
func (p Path) Area() float64 {
	sum := 0.0
	for _, s := range p {
		if s.Straight() {
			sum += cross(s.A, s.B)
		} else {
			sum += cross(s.C, s.B.Sub(s.A)) + s.R*s.R*s.Sweep
		}
	}
	return sum / 2
}

// Length returns the length of the outline.
func (p Path) Length() float64 {
	sum := 0.0
	for _, s := range p {
		sum += s.Length()
	}
	return sum
}

// Reversed returns the outline run the other way.
func (p Path) Reversed() Path {
	q := make(Path, len(p))
	for i, s := range p {
		q[len(p)-1-i] = s.reversed()
	}
	return q
}

// Bounds returns the smallest rectangle round the outline.
func (p Path) Bounds() template.Rect { return p.Polyline().Bounds() }

// Place says where a part goes: mirrored in the y axis first if so, then
// turned, then moved.
type Place struct {
	Mirror bool
	Turn   float64 // radians anticlockwise
	Move   point
}

// Point returns where a point goes.
func (t Place) Point(p point) point {
	if t.Mirror {
		p.X = -p.X
	}
	sin, cos := math.Sincos(t.Turn)
	return point{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos}.Add(t.Move)
}

// Path returns where an outline goes. It turns the same way as before.
func (t Place) Path(p Path) Path {
	q := make(Path, len(p))
	for i, s := range p {
		s.A, s.B, s.C = t.Point(s.A), t.Point(s.B), t.Point(s.C)
		if s.Straight() {
			s.C = point{}
		}
		if t.Mirror {
			s.Sweep = -s.Sweep
		}
		q[i] = s
	}
	if t.Mirror {
		q = q.Reversed()
	}
	return q
}

// isCircle tells whether the path is one full circle.
func (p Path) isCircle() bool {
	return len(p) == 1 && math.Abs(p[0].Sweep) > 2*math.Pi-1e-9
}

// Polyline returns the outline as one shape.
func (p Path) Polyline() template.Shape {
	if p.isCircle() {
		return template.Circle{Centre: p[0].C, R: p[0].R}
	}
	line := template.Polyline{Closed: true}
	for _, s := range p {
		// An arc of nearly a full turn has no use as one bulge.
		for _, h := range s.halves() {
			line.Vertices = append(line.Vertices, template.Vertex{Point: h.A, Bulge: math.Tan(h.Sweep / 4)})
		}
	}
	return line
}

// halves returns an arc of more than a half turn in two, anything else whole.
func (s Seg) halves() []Seg {
	if math.Abs(s.Sweep) <= math.Pi {
		return []Seg{s}
	}
	mid := s.At(0.5)
	return []Seg{{s.A, mid, s.C, s.R, s.Sweep / 2}, {mid, s.B, s.C, s.R, s.Sweep / 2}}
}

// Shapes returns the outline as circles, arcs and lines, in order.
func (p Path) Shapes() []template.Shape {
	if p.isCircle() {
		return []template.Shape{p.Polyline()}
	}
	var shapes []template.Shape
	for _, s := range p {
		if s.Straight() {
			shapes = append(shapes, template.Line{A: s.A, B: s.B})
			continue
		}
		from := s.from()
		if s.Sweep < 0 {
			from += s.Sweep
		}
		from = math.Mod(from+4*math.Pi, 2*math.Pi)
		shapes = append(shapes, template.Arc{Centre: s.C, R: s.R, From: from, To: from + math.Abs(s.Sweep)})
	}
	return shapes
}
