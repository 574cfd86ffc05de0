package template

import (
	"math"

	"trimscribe/calib"
)

// Rect is an upright rectangle in millimetres, y up.
type Rect struct{ X0, Y0, X1, Y1 float64 }

// W returns the width.
func (r Rect) W() float64 { return r.X1 - r.X0 }

// H returns the height.
func (r Rect) H() float64 { return r.Y1 - r.Y0 }

// Empty tells whether the rectangle holds no point at all.
func (r Rect) Empty() bool { return r.X1 < r.X0 || r.Y1 < r.Y0 }

// Centre returns the middle.
func (r Rect) Centre() calib.Point { return calib.Point{X: (r.X0 + r.X1) / 2, Y: (r.Y0 + r.Y1) / 2} }

// Union returns the smallest rectangle that holds both.
func (r Rect) Union(s Rect) Rect {
	return Rect{math.Min(r.X0, s.X0), math.Min(r.Y0, s.Y0), math.Max(r.X1, s.X1), math.Max(r.Y1, s.Y1)}
}

// Grow returns the rectangle with d more on every side.
func (r Rect) Grow(d float64) Rect { return Rect{r.X0 - d, r.Y0 - d, r.X1 + d, r.Y1 + d} }

// Move returns the rectangle moved by d.
func (r Rect) Move(d calib.Point) Rect { return Rect{r.X0 + d.X, r.Y0 + d.Y, r.X1 + d.X, r.Y1 + d.Y} }

// Overlaps tells whether the insides of both have a point in common.
func (r Rect) Overlaps(s Rect) bool { return r.X0 < s.X1 && s.X0 < r.X1 && r.Y0 < s.Y1 && s.Y0 < r.Y1 }

// Holds tells whether s lies inside r, edges included.
func (r Rect) Holds(s Rect) bool {
	return r.X0 <= s.X0 && r.Y0 <= s.Y0 && s.X1 <= r.X1 && s.Y1 <= r.Y1
}

func (r Rect) corners() []calib.Point {
	return []calib.Point{{X: r.X0, Y: r.Y0}, {X: r.X1, Y: r.Y0}, {X: r.X1, Y: r.Y1}, {X: r.X0, Y: r.Y1}}
}

func emptyRect() Rect { return Rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

func rectOf(points ...calib.Point) Rect {
	r := emptyRect()
	for _, p := range points {
		r = r.Union(Rect{p.X, p.Y, p.X, p.Y})
	}
	return r
}

func squareRound(c calib.Point, r float64) Rect { return Rect{c.X - r, c.Y - r, c.X + r, c.Y + r} }
