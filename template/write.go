package template

import (
	"math"

	"trimscribe/calib"
)

// pen is what the PDF and PNG writers have in common: a path of straight
// lines and cubic Bézier curves. Its points are the drawing's.
type pen interface {
	moveTo(p calib.Point)
	lineTo(p calib.Point)
	cubicTo(c1, c2, p calib.Point)
	closePath()
}

// trace runs a pen along the lines of a shape. Text and pictures have none.
func trace(s Shape, to pen) {
	switch s := s.(type) {
	case Line:
		to.moveTo(s.A)
		to.lineTo(s.B)
	case Circle:
		a := Arc{s.Centre, s.R, 0, 2 * math.Pi}
		to.moveTo(a.at(0))
		traceArc(a, false, to)
		to.closePath()
	case Arc:
		to.moveTo(s.at(s.From))
		traceArc(s, false, to)
	case Polyline:
		if len(s.Vertices) == 0 {
			return
		}
		to.moveTo(s.Vertices[0].Point)
		s.walk(func(_, b calib.Point) { to.lineTo(b) }, func(a Arc, clockwise bool) { traceArc(a, clockwise, to) })
		if s.Closed {
			to.closePath()
		}
	case Fill:
		for _, loop := range s.Loops {
			for i, p := range loop {
				if i == 0 {
					to.moveTo(p)
				} else {
					to.lineTo(p)
				}
			}
			to.closePath()
		}
	}
}

// traceArc goes on along an arc from the pen's place, in Bézier curves of at
// most 30 degrees. The usual control points, 4/3 tan(span/4) along the
// tangents, keep such a curve within r/10^7 of the circle.
func traceArc(a Arc, clockwise bool, to pen) {
	from, span := a.From, a.To-a.From
	if clockwise {
		from, span = a.To, -span
	}
	n := int(math.Ceil(math.Abs(span) / (math.Pi / 6)))
	step := span / float64(n)
	k := 4.0 / 3 * math.Tan(step/4)
	for i := range n {
		t0, t1 := from+float64(i)*step, from+float64(i+1)*step
		p0, p1 := a.at(t0), a.at(t1)
		d0, d1 := p0.Sub(a.Centre), p1.Sub(a.Centre)
		to.cubicTo(
			calib.Point{X: p0.X - k*d0.Y, Y: p0.Y + k*d0.X},
			calib.Point{X: p1.X + k*d1.Y, Y: p1.Y - k*d1.X},
			p1)
	}
}
