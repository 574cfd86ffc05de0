package vision

import (
	"math"

	"trimscribe/calib"
)

// A Paper lies on the panel and hides it: a reference square's sheet, or the card
// that gives the scale in its place. What is printed on it is no part of the panel.
type Paper struct {
	Centre calib.Point // mm
	Turn   float64     // radians anticlockwise
	Half   [2]float64  // of the square's frame, or of the card, mm
	Margin [2]float64  // how far the blank sheet goes on beyond that, to its cut line, mm
}

// NewPaper returns the sheet of a square, or the card, that lies where the
// camera's pose has it.
func NewPaper(q calib.PlacedSquare) Paper {
	p := Paper{Centre: q.Centre, Turn: q.Turn}
	for i, size := range q.Size {
		p.Half[i] = size / 2
		if !q.Rectangle {
			p.Margin[i] = size * calib.SquareMargin / calib.SquareGrid
		}
	}
	return p
}

// isCard tells the card, which has no margin, from a square's sheet.
func (p Paper) isCard() bool { return p.Margin == [2]float64{} }

// hides tells whether a place is under the print. A margin may have been cut off,
// and then what lies there is the panel, but for where the sheet says which way is up.
func (p Paper) hides(q calib.Point) bool { return p.within(q, p.Half) || p.marks(q) }

// The mark that says which way is up lies in a band at the upper cut line (template's topMark).
const (
	markBand = 0.4 // its height, as a share of the margin
	markHalf = 0.3 // half its width, as a share of the square's half
)

// marks tells whether a place lies where the sheet says which way is up, and its number.
func (p Paper) marks(q calib.Point) bool {
	d := p.local(q)
	return math.Abs(d.X) < markHalf*p.Half[0] && d.Y > p.wider(1 - markBand)[1] && d.Y < p.wider(1)[1]
}

// covers tells whether a place lies on the sheet, or within so many mm of it.
func (p Paper) covers(q calib.Point, beyond float64) bool {
	half := p.wider(1)
	return p.within(q, [2]float64{half[0] + beyond, half[1] + beyond})
}

// within tells whether a place lies in the rectangle of the half sizes given,
// about the paper's middle and turned like it.
func (p Paper) within(q calib.Point, half [2]float64) bool {
	d := p.local(q)
	return math.Abs(d.X) < half[0] && math.Abs(d.Y) < half[1]
}

// local is a place in the paper's own frame: from its middle, x to its right, y to its top.
func (p Paper) local(q calib.Point) calib.Point {
	s, c := math.Sincos(p.Turn)
	d := q.Sub(p.Centre)
	return calib.Point{X: c*d.X + s*d.Y, Y: c*d.Y - s*d.X}
}

// wider is half the size with a share of the margin.
func (p Paper) wider(share float64) [2]float64 {
	return [2]float64{p.Half[0] + share*p.Margin[0], p.Half[1] + share*p.Margin[1]}
}

// corners are those of the rectangle of the half sizes given, anticlockwise.
func (p Paper) corners(half [2]float64) (out [4]calib.Point) {
	s, c := math.Sincos(p.Turn)
	for i, k := range [4]calib.Point{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}} {
		x, y := k.X*half[0], k.Y*half[1]
		out[i] = p.Centre.Add(calib.Point{X: x*c - y*s, Y: x*s + y*c})
	}
	return out
}
