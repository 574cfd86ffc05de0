package main

import (
	"image/color"
	"math"

	"golang.org/x/image/font"

	"trimscribe/calib"
)

// label is a text on its plate, at its place.
type label struct {
	text     string
	face     font.Face
	col      color.RGBA
	box      box
	from, to calib.Point // of the line that leads to the circle; the same where none is needed
}

// place finds room for a label beside a circle, on the side where it covers
// the least. When that is not close by, a thin line leads to the circle.
func (o *overlay) place(s string, c rim, face font.Face, col color.RGBA) label {
	half := calib.Point{X: textWidth(face, s)/2 + 0.22*o.unit, Y: textHeight(face)/2 + 0.1*o.unit}
	best := label{text: s, face: face, col: col}
	least := math.Inf(1)
	for ring := range 5 {
		gap := (0.3 + 0.9*float64(ring)) * o.unit
		for i := range 16 {
			sin, cos := math.Sincos(-math.Pi/4 + float64(i)*math.Pi/8) // up and to the right first
			reach := c.r + gap + half.X*math.Abs(cos) + half.Y*math.Abs(sin)
			mid := c.at.Add(calib.Point{X: reach * cos, Y: reach * sin})
			b := box{mid.X - half.X, mid.Y - half.Y, mid.X + half.X, mid.Y + half.Y}
			cost := o.cost(b) + 0.01*float64(i) + float64(ring)
			if cost >= least {
				continue
			}
			best.box, least = b, cost
			best.from, best.to = c.at, c.at
			if ring > 0 {
				best.from = c.at.Add(calib.Point{X: c.r * cos, Y: c.r * sin})
				best.to = c.at.Add(calib.Point{X: (c.r + gap) * cos, Y: (c.r + gap) * sin})
			}
		}
	}
	o.taken = append(o.taken, best.box)
	return best
}

// write draws a label: dark letters on its colour where that was chosen, the
// other way round on what was not, which so stays behind.
func (o *overlay) write(l label) {
	if l.from != l.to {
		o.path(l.from, l.to)
		o.strokeOn(l.col, 0.4*o.line(), 0.4*o.line())
	}
	plate, ink := l.col, color.RGBA{0, 0, 0, 255}
	if l.face == o.small {
		plate, ink = color.RGBA{0, 0, 0, 200}, l.col
	}
	o.dc.SetColor(plate)
	o.dc.DrawRoundedRectangle(l.box.x0, l.box.y0, l.box.x1-l.box.x0, l.box.y1-l.box.y0, 0.2*o.unit)
	o.dc.Fill()
	o.dc.SetFontFace(l.face)
	o.dc.SetColor(ink)
	o.dc.DrawString(l.text, (l.box.x0+l.box.x1-textWidth(l.face, l.text))/2, (l.box.y0+l.box.y1+textHeight(l.face))/2)
}

func textWidth(face font.Face, s string) float64 {
	return float64(font.MeasureString(face, s)) / 64
}

// textHeight is that of a capital letter.
func textHeight(face font.Face) float64 { return float64(face.Metrics().CapHeight) / 64 }

// cost is how bad a place for a label is: over another label, over a circle,
// or outside the photo.
func (o *overlay) cost(b box) (cost float64) {
	if b.x0 < 0 || b.y0 < 0 || b.x1 > o.w || b.y1 > o.h {
		cost += 1000
	}
	for _, t := range o.taken {
		if b.x0 < t.x1 && t.x0 < b.x1 && b.y0 < t.y1 && t.y0 < b.y1 {
			cost += 100
		}
	}
	for _, c := range o.rims {
		if b.meets(c) {
			cost += 10
		}
	}
	return cost
}

// meets tells whether a circle's line runs through the box, or a small circle
// lies in it.
func (b box) meets(c rim) bool {
	near := calib.Point{X: math.Max(b.x0, math.Min(c.at.X, b.x1)), Y: math.Max(b.y0, math.Min(c.at.Y, b.y1))}
	far := calib.Point{X: math.Max(c.at.X-b.x0, b.x1-c.at.X), Y: math.Max(c.at.Y-b.y0, b.y1-c.at.Y)}
	return near.Dist(c.at) <= c.r && far.Norm() >= c.r
}
