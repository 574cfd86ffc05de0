package calib

import "math"

// The shapes of an opening. What is round has none of these.
const (
	ShapeSlot          = "slot"           // two straight sides, round ends
	ShapeD             = "d"              // a circle with a flat
	ShapeRectangle     = "rectangle"      // its corners may be rounded
	ShapeOval          = "oval"           // an ellipse
	ShapeRoundedSquare = "rounded square" // a grille's rectangle, its corners rounded
	ShapeFree          = "outline"        // none of these
)

// Outline is a closed curve in a plane, mm, that is not a circle.
type Outline struct {
	Shape string
	// Centre is where the shape is symmetric about; of a D it is its round
	// part's centre, for there a stud sits, and of a free outline the centroid of
	// its area.
	Centre Point
	Turn   float64 // radians anticlockwise from x to the long width, or to a D's flat
	// Half is half the long and half the short width. Of a D it is the
	// radius and the flat's distance from the centre.
	Half   [2]float64
	Corner float64   // radius of a rectangle's corners
	Radii  []float64 // of a free outline: from the centre, evenly all round from x, anticlockwise
}

// Widths returns the long and the short width, mm. A free outline's are its
// greatest and its least extent.
func (o Outline) Widths() (long, short float64) {
	switch o.Shape {
	case ShapeD:
		return 2 * o.Half[0], o.Half[0] + o.Half[1]
	case ShapeFree:
		return o.extents()
	}
	return 2 * math.Max(o.Half[0], o.Half[1]), 2 * math.Min(o.Half[0], o.Half[1])
}

// Round is the circle that stands for the outline where only a circle will do: about its
// centre, as wide as it is narrow.
func (o Outline) Round() Circle {
	_, short := o.Widths()
	return Circle{o.Centre, short / 2}
}

// extents are the greatest and the least distance of parallel tangents.
func (o Outline) extents() (long, short float64) {
	short = math.Inf(1)
	path := o.Path()
	for i := range 90 {
		s, c := math.Sincos(float64(i) * math.Pi / 90)
		low, high := math.Inf(1), math.Inf(-1)
		for _, v := range path {
			d := v.X*c + v.Y*s
			low, high = math.Min(low, d), math.Max(high, d)
		}
		long, short = math.Max(long, high-low), math.Min(short, high-low)
	}
	return long, short
}

// local turns a point into the outline's own frame, and global back.
func (o Outline) local(p Point) Point {
	s, c := math.Sincos(o.Turn)
	d := p.Sub(o.Centre)
	return Point{c*d.X + s*d.Y, c*d.Y - s*d.X}
}

func (o Outline) global(p Point) Point {
	s, c := math.Sincos(o.Turn)
	return o.Centre.Add(Point{c*p.X - s*p.Y, s*p.X + c*p.Y})
}

// Distance returns how far a point lies outside the outline, mm; negative
// inside. It is right near the outline, and of the right sign elsewhere.
func (o Outline) Distance(p Point) float64 {
	q := o.local(p)
	switch o.Shape {
	case ShapeD:
		return math.Max(q.Norm()-o.Half[0], q.X-o.Half[1])
	case ShapeOval:
		a, b := o.Half[0], o.Half[1]
		k := math.Hypot(q.X/a, q.Y/b)
		slope := math.Hypot(q.X/(a*a), q.Y/(b*b))
		if slope == 0 {
			return -math.Min(a, b)
		}
		return k * (k - 1) / slope
	case ShapeFree:
		r, slope := o.radius(math.Atan2(q.Y, q.X))
		// Off the radius, the outline is nearer by the cosine of its slope.
		return (q.Norm() - r) / math.Hypot(1, slope/r)
	}
	corner := o.corner()
	x, y := math.Abs(q.X)-(o.Half[0]-corner), math.Abs(q.Y)-(o.Half[1]-corner)
	return math.Hypot(math.Max(x, 0), math.Max(y, 0)) + math.Min(math.Max(x, y), 0) - corner
}

// corner is the radius of the corners: a slot's are its ends.
func (o Outline) corner() float64 {
	most := math.Min(o.Half[0], o.Half[1])
	if o.Shape == ShapeSlot {
		return most
	}
	return math.Max(0, math.Min(o.Corner, most))
}

// radius returns a free outline's radius at an angle, and its change by the
// angle, by linear interpolation.
func (o Outline) radius(angle float64) (r, slope float64) {
	n := len(o.Radii)
	at := math.Mod(angle/(2*math.Pi)+1, 1) * float64(n)
	i := int(at) % n
	a, b := o.Radii[i], o.Radii[(i+1)%n]
	return a + (at-math.Floor(at))*(b-a), (b - a) * float64(n) / (2 * math.Pi)
}

// Grown returns the outline moved outwards by d, mm, all round.
func (o Outline) Grown(d float64) Outline {
	o.Half[0] += d
	o.Half[1] += d
	if o.Shape == ShapeRectangle || o.Shape == ShapeRoundedSquare {
		o.Corner = math.Max(0, o.Corner+d)
	}
	if o.Radii != nil {
		radii := make([]float64, len(o.Radii))
		for i, r := range o.Radii {
			radii[i] = r + d
		}
		o.Radii = radii
	}
	return o
}

// PathPoint is a corner of a closed path and the way on to the next: Bulge is
// the tangent of a quarter of the angle that the arc to the next one spans, 0 for a
// straight line, positive to the left of it (DXF reference, LWPOLYLINE, group 42).
type PathPoint struct {
	Point
	Bulge float64
}

// Path returns the outline as straight lines and arcs, anticlockwise. Slots,
// Ds and rectangles are exact; an oval is within a thousandth of its width.
func (o Outline) Path() []PathPoint {
	switch o.Shape {
	case ShapeD:
		half := math.Acos(math.Max(-1, math.Min(1, o.Half[1]/o.Half[0])))
		s, c := math.Sincos(half)
		r := o.Half[0]
		// The round part in two arcs: a bulge beyond 1 is legal, but not all
		// programs draw it.
		quarter := math.Tan((2*math.Pi - 2*half) / 8)
		return o.placed([]PathPoint{{Point{r * c, r * s}, quarter}, {Point{-r, 0}, quarter}, {Point{r * c, -r * s}, 0}})
	case ShapeOval:
		return o.placed(curve(120, func(t float64) (Point, Point) {
			s, c := math.Sincos(t)
			return Point{o.Half[0] * c, o.Half[1] * s}, Point{-o.Half[0] * s, o.Half[1] * c}
		}))
	case ShapeFree:
		n := len(o.Radii)
		return o.placed(curve(n, func(t float64) (Point, Point) {
			i := int(math.Round(t / (2 * math.Pi) * float64(n)))
			r := o.Radii[i%n]
			slope := (o.Radii[(i+1)%n] - o.Radii[(i+n-1)%n]) * float64(n) / (4 * math.Pi)
			s, c := math.Sincos(t)
			return Point{r * c, r * s}, Point{slope*c - r*s, slope*s + r*c}
		}))
	}
	k := o.corner()
	x, y := o.Half[0], o.Half[1]
	quarter := math.Tan(math.Pi / 8)
	path := []PathPoint{
		{Point{x - k, -y}, quarter}, {Point{x, -y + k}, 0}, {Point{x, y - k}, quarter}, {Point{x - k, y}, 0},
		{Point{-x + k, y}, quarter}, {Point{-x, y - k}, 0}, {Point{-x, -y + k}, quarter}, {Point{-x + k, -y}, 0},
	}
	// What has no length is left out: a slot's ends have no straight middle.
	var out []PathPoint
	for i, p := range path {
		if p.Dist(path[(i+1)%len(path)].Point) > 1e-9 {
			out = append(out, p)
		}
	}
	return o.placed(out)
}

func (o Outline) placed(path []PathPoint) []PathPoint {
	for i := range path {
		path[i].Point = o.global(path[i].Point)
	}
	return path
}

// curve joins n points of a smooth curve by arcs that turn as its tangent does.
func curve(n int, f func(t float64) (at, tangent Point)) []PathPoint {
	out := make([]PathPoint, n)
	for i := range out {
		at, a := f(2 * math.Pi * float64(i) / float64(n))
		_, b := f(2 * math.Pi * float64(i+1) / float64(n))
		turn := math.Atan2(a.X*b.Y-a.Y*b.X, a.Dot(b))
		out[i] = PathPoint{at, math.Tan(turn / 4)}
	}
	return out
}

// Station is a point of an outline and the direction outwards there.
type Station struct{ At, Out Point }

// Stations returns n points evenly along the outline.
func (o Outline) Stations(n int) []Station {
	dense := o.dense()
	total := 0.0
	for i, s := range dense {
		total += s.At.Dist(dense[(i+1)%len(dense)].At)
	}
	var out []Station
	step, at := total/float64(n), 0.0
	for i, s := range dense {
		next := dense[(i+1)%len(dense)]
		length := s.At.Dist(next.At)
		for length > 0 && float64(len(out))*step < at+length && len(out) < n {
			u := (float64(len(out))*step - at) / length
			normal := s.Out.Add(next.Out.Sub(s.Out).Mul(u))
			out = append(out, Station{s.At.Add(next.At.Sub(s.At).Mul(u)), normal.Mul(1 / normal.Norm())})
		}
		at += length
	}
	return out
}

// dense is the path as points that lie near together on arcs, each piece with
// its own normals at its ends.
func (o Outline) dense() []Station {
	path := o.Path()
	var out []Station
	for i, p := range path {
		q := path[(i+1)%len(path)]
		chord := q.Sub(p.Point)
		across := Point{chord.Y, -chord.X}
		if n := across.Norm(); n > 0 {
			across = across.Mul(1 / n)
		}
		if p.Bulge == 0 {
			out = append(out, Station{p.Point, across}, Station{q.Point, across})
			continue
		}
		span := 4 * math.Atan(p.Bulge)
		centre := p.Point.Add(q.Point).Mul(0.5).Sub(across.Mul(chord.Norm() * (1 - p.Bulge*p.Bulge) / (4 * p.Bulge)))
		sign := math.Copysign(1, p.Bulge)
		steps := max(1, int(math.Ceil(math.Abs(span)/0.05)))
		for k := range steps + 1 {
			s, c := math.Sincos(span * float64(k) / float64(steps))
			d := p.Sub(centre)
			d = Point{c*d.X - s*d.Y, s*d.X + c*d.Y}
			out = append(out, Station{centre.Add(d), d.Mul(sign / d.Norm())})
		}
	}
	return out
}

// Area returns the outline's area and the area's centroid.
func (o Outline) Area() (area float64, centroid Point) {
	return PolygonArea(o.Polygon())
}

// Polygon returns the outline as points near together, anticlockwise.
func (o Outline) Polygon() []Point {
	var out []Point
	for _, s := range o.dense() {
		if len(out) == 0 || s.At.Dist(out[len(out)-1]) > 1e-9 {
			out = append(out, s.At)
		}
	}
	return out
}

// PolygonArea returns a polygon's area, positive when it runs anticlockwise,
// and the area's centroid (Green's theorem).
func PolygonArea(p []Point) (area float64, centroid Point) {
	var origin Point
	if len(p) > 0 {
		origin = p[0]
	}
	for i := range p {
		a, b := p[i].Sub(origin), p[(i+1)%len(p)].Sub(origin)
		cross := a.X*b.Y - a.Y*b.X
		area += cross / 2
		centroid = centroid.Add(a.Add(b).Mul(cross / 6))
	}
	if area == 0 {
		return 0, origin
	}
	return area, origin.Add(centroid.Mul(1 / area))
}
