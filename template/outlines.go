package template

import (
	"trimscribe/calib"
)

// edge is a feature's edge as a shape: a circle, or the straight lines and arcs
// of what is not round.
func edge(f calib.Feature) Shape {
	o, ok := f.Outline()
	if !ok {
		return Circle{centre(f), f.Diameter / 2}
	}
	var line Polyline
	for _, p := range o.Path() {
		line.Vertices = append(line.Vertices, Vertex{p.Point, p.Bulge})
	}
	line.Closed = true
	return line
}

// reach is how far a feature's edge lies from its centre at most, mm.
func reach(f calib.Feature) float64 {
	r := f.Diameter / 2
	if o, ok := f.Outline(); ok {
		for _, p := range o.Polygon() {
			r = max(r, p.Dist(o.Centre))
		}
	}
	return r
}

// size is a feature's width in words: a diameter, or two widths.
func size(f calib.Feature, u Units) string {
	if f.Widths != nil {
		return u.Format(f.Widths[0]) + " × " + u.Format(f.Widths[1])
	}
	return "ø" + u.Format(f.Diameter)
}
