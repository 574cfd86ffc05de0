package calib

import (
	"fmt"
	"math"
)

// addOutline writes down a feature's shape. halfU is what its edge leaves open of
// half its long and half its short width; what else the long one is uncertain
// by, such as the scale, is that of the short one times as much.
func (f *Feature) addOutline(o Outline, halfU [2]float64) {
	long, short := o.Widths()
	turn := degrees(o.Turn)
	f.Shape, f.Turn = o.Shape, &turn
	f.Widths = &[2]float64{long, short}
	scale := math.Sqrt(math.Max(0, f.DiameterU95*f.DiameterU95-16*halfU[1]*halfU[1]))
	f.WidthsU95 = &[2]float64{math.Hypot(4*halfU[0], scale*long/short), f.DiameterU95}
	if o.hasCorner() {
		f.Corner = o.Corner
	}
	if o.Shape == ShapeFree {
		for _, p := range o.Path() {
			f.Points = append(f.Points, [2]float64{p.X, p.Y})
		}
	}
}

// Outline returns a feature's outline. ok is false when it is round.
func (f Feature) Outline() (o Outline, ok bool) {
	if f.Shape == "" || f.Widths == nil {
		return Outline{}, false
	}
	o = Outline{Shape: f.Shape, Centre: Point{f.X, f.Y}, Half: [2]float64{f.Widths[0] / 2, f.Widths[1] / 2}, Corner: f.Corner}
	if f.Turn != nil {
		o.Turn = *f.Turn * math.Pi / 180
	}
	switch f.Shape {
	case ShapeD:
		o.Half[1] = f.Widths[1] - f.Widths[0]/2
	case ShapeFree:
		o.Turn = 0
		if len(f.Points) < 3 {
			return Outline{}, false
		}
		for _, p := range f.Points {
			o.Radii = append(o.Radii, Point{p[0], p[1]}.Dist(o.Centre))
		}
	}
	return o, true
}

// noteShapes says what a reader of circles would not expect: a grille that is
// not round, and a tweeter beside its grille.
func (f Findings) noteShapes(s *Survey) {
	for _, g := range s.Features {
		if g.Kind != KindGrille || g.Shape == "" {
			continue
		}
		middle := "its middle"
		if g.Shape == ShapeFree {
			middle = "the centroid of its area"
		}
		s.Notes = append(s.Notes, fmt.Sprintf("The grille is not round: %s, %.2f x %.2f mm. Its centre is %s.", shapeWords(g.Shape), g.Widths[0], g.Widths[1], middle))
	}
	if f.Choice.Mocked && f.Choice.Grille >= 0 {
		mm, u95 := f.Measured.Distance(f.Choice.Tweeter, f.Choice.Grille)
		s.Notes = append(s.Notes, fmt.Sprintf("The tweeter's body sits %.2f mm (+-%.2f) off the grille's centre.", mm, u95))
	}
}

func shapeWords(shape string) string {
	switch shape {
	case ShapeFree:
		return "a free outline"
	case ShapeOval:
		return "an oval"
	case ShapeD:
		return "a D-hole"
	}
	return "a " + shape
}
