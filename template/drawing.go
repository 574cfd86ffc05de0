package template

import (
	"image"
	"image/color"
	"math"

	"trimscribe/calib"
)

// Drawing is shapes on layers, in millimetres, y up. Layers are drawn in
// order: the first lies undermost.
type Drawing struct {
	Layers []*Layer
}

// Layer is shapes that belong together and look alike.
type Layer struct {
	Name   string     // short, of letters, digits and hyphens: it becomes an SVG id and a DXF layer
	Width  float64    // of lines, mm
	Color  color.RGBA // of lines, fills and text; opaque
	Dash   []float64  // lengths drawn and left out in turn, mm; none is a full line
	Shapes []Shape
}

// NewLayer puts an empty layer on top of the drawing and returns it.
func (d *Drawing) NewLayer(name string, width float64, c color.RGBA, dash ...float64) *Layer {
	l := &Layer{Name: name, Width: width, Color: c, Dash: dash}
	d.Layers = append(d.Layers, l)
	return l
}

// Layer returns the layer of that name, or nil.
func (d *Drawing) Layer(name string) *Layer {
	for _, l := range d.Layers {
		if l.Name == name {
			return l
		}
	}
	return nil
}

// Bounds returns the smallest rectangle round all shapes, line widths left
// out. An empty drawing has an empty rectangle.
func (d *Drawing) Bounds() Rect {
	b := emptyRect()
	for _, l := range d.Layers {
		for _, s := range l.Shapes {
			b = b.Union(s.Bounds())
		}
	}
	return b
}

// Add appends shapes to the layer.
func (l *Layer) Add(shapes ...Shape) { l.Shapes = append(l.Shapes, shapes...) }

// Shape is one of Line, Circle, Arc, Polyline, Fill, Text and Picture.
type Shape interface {
	Bounds() Rect
}

// Line is a straight line from A to B.
type Line struct{ A, B calib.Point }

// Circle is a full circle of radius R.
type Circle struct {
	Centre calib.Point
	R      float64
}

// Arc is the part of a circle from the angle From anticlockwise to the angle
// To, radians from the x axis; To lies in (From, From + 2 pi].
type Arc struct {
	Centre   calib.Point
	R        float64
	From, To float64
}

// Polyline is an outline of straight lines and arcs.
type Polyline struct {
	Vertices []Vertex
	Closed   bool
}

// Vertex is a corner of a Polyline and the way on to the next one. Bulge is
// the tangent of a quarter of the angle that the arc to the next vertex spans:
// 0 is a straight line, 1 a half circle anticlockwise, -1 one clockwise. (The
// DXF reference defines it so for LWPOLYLINE, group 42.)
type Vertex struct {
	calib.Point
	Bulge float64
}

// Fill is an area bounded by loops, each closed from its last point to its
// first. A point is inside by the even-odd rule, so a loop within a loop is a
// hole.
type Fill struct{ Loops [][]calib.Point }

// Text is one line of text. At is its baseline's left end, middle or right
// end as Align says, and Height is that of a capital letter, mm.
type Text struct {
	At     calib.Point
	Height float64
	S      string
	Align  Align
	Bold   bool
	Angle  float64 // radians anticlockwise
}

// Align says which point of a text's baseline is its place.
type Align int

// The places of a text.
const (
	Left Align = iota
	Middle
	Right
)

// Picture is an image stretched over a rectangle. It is not written to DXF.
type Picture struct {
	Image image.Image
	Rect  Rect
}

// Bounds returns the rectangle of the line.
func (l Line) Bounds() Rect { return rectOf(l.A, l.B) }

// Bounds returns the square round the circle.
func (c Circle) Bounds() Rect { return squareRound(c.Centre, c.R) }

// Bounds returns the rectangle round the arc.
func (a Arc) Bounds() Rect {
	r := rectOf(a.at(a.From), a.at(a.To))
	for q := math.Ceil(a.From / (math.Pi / 2)); q*math.Pi/2 < a.To; q++ {
		r = r.Union(rectOf(a.at(q * math.Pi / 2)))
	}
	return r
}

func (a Arc) at(angle float64) calib.Point {
	return calib.Point{X: a.Centre.X + a.R*math.Cos(angle), Y: a.Centre.Y + a.R*math.Sin(angle)}
}

// Bounds returns the rectangle round the outline, its arcs included.
func (p Polyline) Bounds() Rect {
	r := emptyRect()
	p.walk(func(a, b calib.Point) { r = r.Union(rectOf(a, b)) }, func(a Arc, _ bool) { r = r.Union(a.Bounds()) })
	return r
}

// walk calls line or arc for each part of the outline in turn. An arc's
// clockwise is true when the outline runs along it from To to From.
func (p Polyline) walk(line func(a, b calib.Point), arc func(a Arc, clockwise bool)) {
	n := len(p.Vertices)
	for i, v := range p.Vertices {
		if i == n-1 && !p.Closed {
			break
		}
		next := p.Vertices[(i+1)%n].Point
		if v.Bulge == 0 {
			line(v.Point, next)
			continue
		}
		arc(bulgeArc(v.Point, next, v.Bulge), v.Bulge < 0)
	}
}

// bulgeArc returns the arc from a to b that a bulge stands for. With the
// chord c and the span 4 atan(bulge), the centre lies c (1-b²)/(4b) to the
// left of the chord's middle.
func bulgeArc(a, b calib.Point, bulge float64) Arc {
	chord := b.Sub(a)
	left := calib.Point{X: -chord.Y, Y: chord.X}
	centre := a.Add(b).Mul(0.5).Add(left.Mul((1 - bulge*bulge) / (4 * bulge)))
	if bulge < 0 {
		a, b = b, a
	}
	from, to := a.Sub(centre), b.Sub(centre)
	arc := Arc{Centre: centre, R: from.Norm(), From: math.Atan2(from.Y, from.X), To: math.Atan2(to.Y, to.X)}
	if arc.To <= arc.From {
		arc.To += 2 * math.Pi
	}
	return arc
}

// Bounds returns the rectangle round the outer loops.
func (f Fill) Bounds() Rect {
	r := emptyRect()
	for _, loop := range f.Loops {
		r = r.Union(rectOf(loop...))
	}
	return r
}

// Bounds returns the rectangle round the text, from its descenders to the top
// of its capitals.
func (t Text) Bounds() Rect {
	w := TextWidth(t.S, t.Height, t.Bold)
	x := -w * float64(t.Align) / 2
	r := emptyRect()
	sin, cos := math.Sincos(t.Angle)
	for _, p := range (Rect{x, -descent * t.Height, x + w, t.Height}).corners() {
		r = r.Union(rectOf(calib.Point{X: t.At.X + p.X*cos - p.Y*sin, Y: t.At.Y + p.X*sin + p.Y*cos}))
	}
	return r
}

// Bounds returns the picture's rectangle.
func (p Picture) Bounds() Rect { return p.Rect }
