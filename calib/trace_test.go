package calib

import (
	"math"
	"math/rand/v2"
	"testing"
)

// overhead looks straight down from 400 mm, its foot at (10, -5).
var overhead = Camera{
	Lens: Lens{Width: 4000, Height: 3000, Fx: 3200, Fy: 3200, Cx: 1999.5, Cy: 1499.5},
	Pose: Pose{R: Mat3{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}, T: Vec3{-10, -5, 400}},
}

// noisy sends points of the face to the photo, each off by a tenth of a pixel.
func noisy(points []Point) []Point {
	r := rand.New(rand.NewPCG(3, 4))
	var px []Point
	for _, q := range points {
		p := overhead.Project(Vec3{q.X, q.Y, 0})
		px = append(px, Point{p.X + 0.1*r.NormFloat64(), p.Y + 0.1*r.NormFloat64()})
	}
	return px
}

// along returns points a pixel apart from corner to corner.
func along(corners ...Point) []Point {
	var out []Point
	for i := 1; i < len(corners); i++ {
		d := corners[i].Sub(corners[i-1])
		n := int(d.Norm() / 0.125)
		for k := range n {
			out = append(out, corners[i-1].Add(d.Mul(float64(k)/float64(n))))
		}
	}
	return out
}

// A straight edge comes out as one straight line, without the noise's
// staircase: the reference is the line itself.
func TestAStraightTraceHasTwoPoints(t *testing.T) {
	a, b := Point{-20, 3}, Point{25, 17}
	got := NewTrace(overhead, noisy(along(a, b)), false)
	if len(got.Points) > 3 {
		t.Errorf("%d points: %v", len(got.Points), got.Points)
	}
	for _, q := range got.Points {
		if d := offSegment(Point{q[0], q[1]}, a, b); d > 0.02 {
			t.Errorf("(%.3f, %.3f) lies %.3f mm off", q[0], q[1], d)
		}
	}
	if math.Abs(got.Length-a.Dist(b)) > 0.2 {
		t.Errorf("%.2f mm long, not %.2f", got.Length, a.Dist(b))
	}
}

// A round edge stays round and whole, small ones too: the reference is the
// circle, and its circumference.
func TestARoundTraceIsRound(t *testing.T) {
	for _, r := range []float64{1.5, 4, 22} {
		c := Point{7, -4}
		var pts []Point
		n := int(2 * math.Pi * r / 0.125)
		for i := range n {
			s, co := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			pts = append(pts, Point{c.X + r*co, c.Y + r*s})
		}
		got := NewTrace(overhead, noisy(pts), true)
		if !got.Closed || math.Abs(got.Length-2*math.Pi*r) > 0.02*2*math.Pi*r {
			t.Errorf("radius %g: closed %v, %.2f mm round, not %.2f", r, got.Closed, got.Length, 2*math.Pi*r)
		}
		for i, q := range got.Points {
			p := got.Points[(i+1)%len(got.Points)]
			for _, at := range []Point{{q[0], q[1]}, {(q[0] + p[0]) / 2, (q[1] + p[1]) / 2}} {
				if d := math.Abs(at.Dist(c) - r); d > 0.05 {
					t.Errorf("radius %g: (%.3f, %.3f) lies %.3f mm off the circle", r, at.X, at.Y, d)
				}
			}
		}
	}
}

// A corner is kept where it is: a smoothed one would cut off what a mount must
// keep clear of.
func TestATraceKeepsItsCorners(t *testing.T) {
	corners := []Point{{0, 0}, {14, 0}, {14, 6}, {0, 6}, {0, 0}}
	got := NewTrace(overhead, noisy(along(corners...)), true)
	if len(got.Points) > 10 {
		t.Errorf("%d points: %v", len(got.Points), got.Points)
	}
	for _, c := range corners[:4] {
		least := math.Inf(1)
		for _, q := range got.Points {
			least = math.Min(least, c.Dist(Point{q[0], q[1]}))
		}
		if least > 0.12 {
			t.Errorf("corner %v: the nearest point is %.3f mm off", c, least)
		}
	}
}

// What stands proud is drawn where its line of sight meets the face: the
// reference is the projection itself, there and back.
func TestHeightShiftIsTheProjections(t *testing.T) {
	for _, cam := range []Camera{overhead, {overhead.Lens, Pose{Rotation(Vec3{0.1, 0.15, 0}).Mul(overhead.R), overhead.T}}} {
		const h = 3.0
		true3 := Vec3{60, 40, h}
		drawn := cam.ToPlane(cam.Project(true3), 0)
		got := h * cam.HeightShift([]Trace{{Points: [][2]float64{{drawn.X, drawn.Y}}}})
		if want := drawn.Dist(Point{true3.X, true3.Y}); math.Abs(got-want) > 1e-9 {
			t.Errorf("%.6f mm, not %.6f", got, want)
		}
	}
}

// A few points, or many at one place, are no reason to panic.
func TestTracesOfNextToNothing(t *testing.T) {
	for n := range 12 {
		for _, closed := range []bool{false, true} {
			same, line := make([]Point, n), make([]Point, n)
			for i := range n {
				same[i], line[i] = Point{1000, 1000}, Point{1000 + float64(i), 1000}
			}
			for _, px := range [][]Point{same, line} {
				for _, q := range NewTrace(overhead, px, closed).Points {
					if math.IsNaN(q[0]) || math.IsNaN(q[1]) {
						t.Errorf("%d points, closed %v: %v", n, closed, q)
					}
				}
			}
		}
	}
}
