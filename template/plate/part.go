package plate

import (
	"fmt"
	"math"
)

// Part is a flat part to be cut out of a sheet. Its paths turn anticlockwise
// and lie about its own origin.
type Part struct {
	Name     string
	Stock    Stock
	Outline  Path
	Openings []Path
	Marks    []Mark
}

// Stock is what a part is cut from.
type Stock struct {
	Material  string  // "" is not said
	Thickness float64 // mm
	Soft      bool    // foam: cut with a knife, no kerf
}

// String tells the stock in a few words.
func (s Stock) String() string {
	name := s.Material
	if name == "" {
		name = "sheet"
	}
	return fmt.Sprintf("%s %s mm", name, short(s.Thickness))
}

// Mark is a word on a part, for a pen or a low-power pass.
type Mark struct {
	At     point   // its middle
	Height float64 // of its capitals, mm
	Angle  float64 // radians anticlockwise
	Text   string
}

// Area returns the area of material, mm².
func (p *Part) Area() float64 {
	a := p.Outline.Area()
	for _, o := range p.Openings {
		a -= o.Area()
	}
	return a
}

// CutLength returns the length of all cuts, mm.
func (p *Part) CutLength() float64 {
	l := p.Outline.Length()
	for _, o := range p.Openings {
		l += o.Length()
	}
	return l
}

// Check tells what is wrong with the part's outlines.
func (p *Part) Check() error {
	for i, path := range append([]Path{p.Outline}, p.Openings...) {
		if err := path.Check(); err != nil {
			return fmt.Errorf("%s, outline %d: %w", p.Name, i, err)
		}
		if path.Area() <= 0 {
			return fmt.Errorf("%s, outline %d turns clockwise", p.Name, i)
		}
	}
	return nil
}

// Kerfed returns the part as the middle of the cutter has to run to leave it
// at its size: outlines half a kerf outside, openings half a kerf inside.
func (p *Part) Kerfed(kerf float64) (*Part, error) {
	if kerf == 0 || p.Stock.Soft {
		return p, nil
	}
	q := *p
	var err error
	if q.Outline, err = p.Outline.Offset(kerf / 2); err != nil {
		return nil, fmt.Errorf("the kerf of %g mm is too wide for the outline of the %s: %w", kerf, p.Name, err)
	}
	q.Openings = nil
	for _, o := range p.Openings {
		c, err := o.Offset(-kerf / 2)
		if err != nil {
			return nil, fmt.Errorf("the kerf of %g mm is too wide for an opening of the %s: %w", kerf, p.Name, err)
		}
		q.Openings = append(q.Openings, c)
	}
	return &q, nil
}

// Placed returns the part moved; its marks stay readable.
func (p *Part) Placed(t Place) *Part {
	q := *p
	q.Outline = t.Path(p.Outline)
	q.Openings, q.Marks = nil, nil
	for _, o := range p.Openings {
		q.Openings = append(q.Openings, t.Path(o))
	}
	for _, m := range p.Marks {
		m.At = t.Point(m.At)
		if t.Mirror {
			m.Angle = -m.Angle // the place is mirrored, the letters are not
		}
		m.Angle += t.Turn
		q.Marks = append(q.Marks, m)
	}
	return &q
}

// hasRoom tells whether a box of that half width and half height about c lies
// on the part's material.
func (p *Part) hasRoom(c point, w, h float64) bool {
	if !p.Outline.Holds(c) {
		return false
	}
	for _, path := range append([]Path{p.Outline}, p.Openings...) {
		for _, side := range [][2]point{
			{{X: -w, Y: -h}, {X: w, Y: -h}}, {{X: w, Y: -h}, {X: w, Y: h}}, {{X: w, Y: h}, {X: -w, Y: h}}, {{X: -w, Y: h}, {X: -w, Y: -h}},
		} {
			if path.distToLine(c.Add(side[0]), c.Add(side[1])) < 0.8 {
				return false
			}
		}
	}
	for _, o := range p.Openings {
		if o.Holds(c) {
			return false
		}
	}
	for _, m := range p.Marks {
		if math.Abs(m.At.X-c.X) < w+m.width()/2+1 && math.Abs(m.At.Y-c.Y) < h+m.Height/2+1 {
			return false
		}
	}
	return true
}

// mark puts a word on the part at the place nearest to one that has room for
// it, and tells whether there was one.
func (p *Part) mark(text string, height float64, wish point, within float64) bool {
	m := Mark{Height: height, Text: text}
	for r := 0.0; r <= within; r += 1.5 {
		n := max(1, int(2*math.Pi*r/1.5))
		for i := range n {
			c := polar(wish, r, 2*math.Pi*float64(i)/float64(n)+math.Pi/2)
			if p.hasRoom(c, m.width()/2, height/2) {
				m.At = c
				p.Marks = append(p.Marks, m)
				return true
			}
		}
	}
	return false
}
