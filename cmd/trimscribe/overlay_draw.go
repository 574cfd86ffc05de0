package main

import (
	"fmt"
	"image/color"
	"math"

	"trimscribe/calib"
)

// edgeOf is a feature's edge as points near together, mm.
func edgeOf(c calib.Feature) []calib.Point {
	if outline, ok := c.Outline(); ok {
		return outline.Polygon()
	}
	const n = 90
	points := make([]calib.Point, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		points[i] = calib.Point{X: c.X + c.Diameter/2*cos, Y: c.Y + c.Diameter/2*sin}
	}
	return points
}

// rimOf is about where a feature's edge lies in the overlay.
func (o *overlay) rimOf(c calib.Feature) rim {
	r := rim{at: o.at(c.X, c.Y, c.Z)}
	for _, p := range edgeOf(c) {
		r.r = math.Max(r.r, o.at(p.X, p.Y, c.Z).Dist(r.at))
	}
	return r
}

// line is the width of a line, px: one that a small screen still shows.
func (o *overlay) line() float64 { return o.unit / 9 }

// feature draws a chosen feature's edge as the camera sees it, thin where a
// wide line would hide it, and a ring round a small one that finds it for the eye.
func (o *overlay) feature(c calib.Feature) {
	r := o.rimOf(c)
	width := math.Max(o.unit/24, math.Min(o.line(), 0.04*r.r))
	o.edge(c, width, colorOf(c))
	if l := o.locator(c); l.r > r.r {
		o.locate(l, colorOf(c), false)
	}
	o.rims = append(o.rims, o.locator(c))
}

// candidate draws one that was not chosen, dashed.
func (o *overlay) candidate(c calib.Feature) {
	l := o.locator(c)
	if l.r > o.rimOf(c).r {
		o.locate(l, candidateColor, true)
	} else {
		o.dashed(func() { o.edge(c, 0.7*o.line(), candidateColor) })
	}
	o.rims = append(o.rims, l)
}

// locator is the ring by which the eye finds a feature: its own edge, when that
// is large enough.
func (o *overlay) locator(c calib.Feature) rim {
	r := o.rimOf(c)
	if r.r < 0.9*o.unit {
		r.r = math.Max(r.r+0.3*o.unit, 0.6*o.unit)
	}
	return r
}

func (o *overlay) locate(r rim, c color.Color, dashed bool) {
	ring := func() {
		o.dc.DrawCircle(r.at.X, r.at.Y, r.r)
		width := o.line()
		if dashed {
			width *= 0.7
		}
		o.stroke(c, width)
	}
	if dashed {
		o.dashed(ring)
	} else {
		ring()
	}
}

// edge strokes a feature's edge.
func (o *overlay) edge(c calib.Feature, width float64, col color.Color) {
	for _, p := range edgeOf(c) {
		q := o.at(p.X, p.Y, c.Z)
		o.dc.LineTo(q.X, q.Y)
	}
	o.dc.ClosePath()
	o.stroke(col, width)
}

func (o *overlay) dashed(draw func()) {
	o.dc.SetDash(0.28*o.unit, 0.24*o.unit)
	o.dc.SetLineCapButt()
	draw()
	o.dc.SetDash()
	o.dc.SetLineCapRound()
}

// stroke draws the current path on its halo.
func (o *overlay) stroke(c color.Color, width float64) { o.strokeOn(c, width, 0.8*width) }

func (o *overlay) strokeOn(c color.Color, width, halo float64) {
	o.dc.SetColor(haloColor)
	o.dc.SetLineWidth(width + halo)
	o.dc.StrokePreserve()
	o.dc.SetColor(c)
	o.dc.SetLineWidth(width)
	o.dc.Stroke()
}

func (o *overlay) path(points ...calib.Point) {
	for _, p := range points {
		o.dc.LineTo(p.X, p.Y)
	}
}

// square outlines a square, and draws the panel's axes from the first.
func (o *overlay) square(q calib.SurveySquare, axes bool) {
	sin, cos := math.Sincos(q.Turn * math.Pi / 180)
	at := func(x, y float64) calib.Point { return o.at(q.X+x*cos-y*sin, q.Y+x*sin+y*cos, 0) }
	w, h := q.Size[0]/2, q.Size[1]/2
	o.path(at(-w, h), at(w, h), at(w, -h), at(-w, -h))
	o.dc.ClosePath()
	o.stroke(squareColor, 0.7*o.line())
	middle := at(0, 0)
	o.rims = append(o.rims, rim{middle, at(w, 0).Dist(middle)})
	if axes {
		o.arrow(at, calib.Point{X: 1.35 * w}, "x")
		o.arrow(at, calib.Point{Y: 1.35 * h}, "y")
	}
}

// nameSquare writes a square's number beside it.
func (o *overlay) nameSquare(q calib.SurveySquare) {
	middle := o.at(q.X, q.Y, 0)
	corner := math.Hypot(q.Size[0], q.Size[1]) / 2
	reach := o.at(q.X+corner, q.Y, 0).Dist(middle)
	name := fmt.Sprintf("square %d", q.Number)
	if q.Kind == calib.KindRectangle {
		name = "rectangle"
	}
	o.write(o.place(name, rim{middle, reach}, o.small, squareColor))
}

func (o *overlay) arrow(at func(x, y float64) calib.Point, tip calib.Point, name string) {
	from, to := at(0, 0), at(tip.X, tip.Y)
	d := to.Sub(from)
	d = d.Mul(1 / d.Norm())
	side := calib.Point{X: -d.Y, Y: d.X}
	barb := to.Sub(d.Mul(0.5 * o.unit))
	o.path(from, to)
	o.dc.NewSubPath()
	o.path(barb.Add(side.Mul(0.25*o.unit)), to, barb.Sub(side.Mul(0.25*o.unit)))
	o.stroke(squareColor, 0.6*o.line())
	end := to.Add(d.Mul(0.6 * o.unit))
	half := 0.4 * o.unit
	l := label{text: name, face: o.small, col: squareColor, box: box{end.X - half, end.Y - half, end.X + half, end.Y + half}}
	o.taken = append(o.taken, l.box)
	o.write(l)
}

// tweeterArm is how far the tweeter's cross reaches, in units.
const tweeterArm = 0.8

// tweeter marks where the tweeter's axis is to be.
func (o *overlay) tweeter(at calib.Point) {
	o.cross(at, tweeterArm*o.unit, 0.7*o.line(), tweeterColor)
	o.rims = append(o.rims, rim{at, tweeterArm * o.unit})
}

func (o *overlay) cross(at calib.Point, arm, width float64, col color.Color) {
	o.path(at.Sub(calib.Point{X: arm}), at.Add(calib.Point{X: arm}))
	o.dc.NewSubPath()
	o.path(at.Sub(calib.Point{Y: arm}), at.Add(calib.Point{Y: arm}))
	o.strokeOn(col, width, math.Min(0.8*width, 0.15*arm)) // in a small hole a wide halo would fill it
}
