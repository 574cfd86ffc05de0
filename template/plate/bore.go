package plate

import (
	"fmt"
	"math"
)

// tabbedBore returns the opening of a bore with lock tabs: a circle of the
// given radius about the origin, less inward tabs with parallel sides and a tip
// concentric with the bore. root and tip are the radii of a tab's corners.
func tabbedBore(radius float64, t Tabs, root, tip float64) (Path, error) {
	half, tipR := t.Width/2, radius-t.Depth
	if half >= tipR {
		return nil, fmt.Errorf("a lock tab %g mm wide has no room in a bore of %.2f mm: make it at most %.1f mm wide",
			t.Width, 2*radius, 2*tipR*0.7)
	}
	// A tab's side meets the bore, and the tip, this far from its middle.
	atBore, atTip := math.Asin(half/radius), math.Asin(half/tipR)
	pitch := 2 * math.Pi / float64(t.Count)
	if free := 4 * math.Max(root, 0.25) / tipR; pitch <= 2*atTip+free { // the tips come nearest
		return nil, fmt.Errorf("%d lock tabs %g mm wide do not fit round a bore of %.2f mm: use fewer, or narrower ones", t.Count, t.Width, 2*radius)
	}
	var p Path
	o := point{}
	for i := range t.Count {
		mid := t.Angle*math.Pi/180 + float64(i)*pitch
		wall := Arc(o, radius, mid-pitch+atBore, pitch-2*atBore)
		end := Arc(o, tipR, mid-atTip, 2*atTip)
		next := polar(o, radius, mid+atBore)
		p = append(p, wall, Line(wall.B, end.A), end, Line(end.B, next))
	}
	rounded, err := p.Round(func(corner int) float64 {
		if corner%4 == 1 || corner%4 == 2 { // behind the side, and behind the tip
			return tip
		}
		return root
	})
	if err != nil || math.Min(root, tip) < leastCorner {
		return nil, fmt.Errorf("a lock tab %g mm wide and %g mm deep has no room for its rounded corners: make it deeper, or narrower against the bore", t.Width, t.Depth)
	}
	return rounded, nil
}

// leastCorner is the least radius of a lock tab's corners, mm: half of any
// usual kerf passes it.
const leastCorner = 0.15

// tabRadii returns the radii of a lock tab's corners: as large as its depth
// leaves room for, but no larger than they need be. A corner that turns by
// more than a right angle, as a wide tab's do, takes more of the side.
func tabRadii(radius float64, t Tabs) (root, tip float64) {
	turn := math.Pi/2 + math.Asin(math.Min(1, t.Width/2/math.Max(radius-t.Depth, t.Width/2)))
	most := 0.48 * t.Depth / math.Tan(turn/2)
	return math.Min(most, 1), math.Min(math.Min(most, t.Width/4), 0.8)
}
