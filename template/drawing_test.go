package template

import (
	"math"
	"math/rand/v2"
	"testing"

	"trimscribe/calib"
)

// A bulge is the tangent of a quarter of the span (Autodesk's DXF reference,
// LWPOLYLINE, group 42): the arc must run through both vertices, on the side
// the sign says. A half circle anticlockwise from left to right bulges down.
func TestBulgeArcRunsThroughItsVertices(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		a := calib.Point{X: rnd.Float64() * 100, Y: rnd.Float64() * 100}
		b := calib.Point{X: rnd.Float64() * 100, Y: rnd.Float64() * 100}
		bulge := rnd.Float64()*6 - 3
		arc := bulgeArc(a, b, bulge)
		start, end := arc.at(arc.From), arc.at(arc.To)
		if bulge < 0 {
			start, end = end, start
		}
		near(t, "start", start.Dist(a), 0, 1e-6)
		near(t, "end", end.Dist(b), 0, 1e-6)
		near(t, "span", arc.To-arc.From, 4*math.Atan(math.Abs(bulge)), 1e-6)
	}
	down := bulgeArc(calib.Point{X: -1}, calib.Point{X: 1}, 1)
	near(t, "bottom", down.Bounds().Y0, -1, 1e-12)
	near(t, "top", down.Bounds().Y1, 0, 1e-12)
}

// Bounds of an arc against a fine polygon of it.
func TestArcBounds(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		a := Arc{calib.Point{X: rnd.Float64(), Y: rnd.Float64()}, 1 + rnd.Float64(), rnd.Float64()*14 - 7, 0}
		a.To = a.From + 0.01 + rnd.Float64()*(2*math.Pi-0.01)
		want := emptyRect()
		for i := range 20001 {
			want = want.Union(rectOf(a.at(a.From + (a.To-a.From)*float64(i)/20000)))
		}
		got := a.Bounds()
		near(t, "x0", got.X0, want.X0, 1e-6)
		near(t, "y0", got.Y0, want.Y0, 1e-6)
		near(t, "x1", got.X1, want.X1, 1e-6)
		near(t, "y1", got.Y1, want.Y1, 1e-6)
	}
}

// strayPen follows Bézier curves and notes how far they leave a circle.
type strayPen struct {
	at, centre calib.Point
	r, stray   float64
}

func (p *strayPen) moveTo(q calib.Point) { p.at = q }
func (p *strayPen) lineTo(q calib.Point) { p.at = q }
func (p *strayPen) closePath()           {}
func (p *strayPen) cubicTo(c1, c2, q calib.Point) {
	for i := range 101 {
		t := float64(i) / 100
		u := 1 - t
		b := p.at.Mul(u * u * u).Add(c1.Mul(3 * u * u * t)).Add(c2.Mul(3 * u * t * t)).Add(q.Mul(t * t * t))
		p.stray = math.Max(p.stray, math.Abs(b.Dist(p.centre)-p.r))
	}
	p.at = q
}

// A grille of 110 mm drawn in curves must be round to far below a printer's dot.
func TestCurvesKeepToTheCircle(t *testing.T) {
	c := Circle{calib.Point{X: 30, Y: -20}, 55}
	p := &strayPen{centre: c.Centre, r: c.R}
	trace(c, p)
	if p.stray > 1e-4 {
		t.Errorf("the curve leaves the circle by %g mm", p.stray)
	}
}

func TestCrossingsSeeLinesAndRings(t *testing.T) {
	d := &Drawing{}
	l := d.NewLayer("x", 0.2, Ink)
	l.Add(Line{calib.Point{X: -10, Y: -10}, calib.Point{X: 10, Y: 10}}, Circle{calib.Point{X: 20}, 5})
	for _, c := range []struct {
		what string
		box  Rect
		want int
	}{
		{"on the line", Rect{-1, -1, 1, 1}, 1},
		{"beside the line, within its bounds", Rect{5, -8, 8, -5}, 0},
		{"within the ring", Rect{19, -1, 21, 1}, 0},
		{"across the ring", Rect{24, -1, 26, 1}, 1},
		{"round the ring", Rect{14, -6, 26, 6}, 1},
		{"at the corner of the ring's bounds", Rect{24.5, 4.5, 26, 6}, 0},
	} {
		if got := crossings(d, c.box); got != c.want {
			t.Errorf("%s: %d crossings, want %d", c.what, got, c.want)
		}
	}
}
