package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// A bore that ends in a countersink is seen aside from where it is, by its depth. The countersink's edge
// in the face tells the depth; without one, and where the circle about it lies as deep, the hole
// stays where it is. The reference is the camera's projection.
func TestABoreInACountersinkIsWhereItsAxisIs(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const bore, sink, deep = 1.7, 3.1, 1.3
	places := []calib.Point{{X: -18, Y: -14}, {X: 17, Y: -12}, {X: -13, Y: 16}}
	for _, c := range []struct {
		name       string
		bore, ring float64 // their heights, mm
		sunk       float64
	}{
		{"countersunk", -deep, 0, deep},
		{"with a ring in its plane", 0, 0, 0},
		{"on a boss, whose foot shows", 0, -deep, 0},
	} {
		p := pictured(cam, func(px calib.Point) float64 {
			low, high := cam.ToPlane(px, c.bore), cam.ToPlane(px, c.ring)
			for _, at := range places {
				switch {
				case low.Dist(at) < bore:
					return 0.03
				case high.Dist(at) < sink:
					return 0.24
				}
			}
			return 0.3
		})
		var holes []Rim
		for _, at := range places {
			r, ok := traceRim(p, cam, 0, cam.Carry(calib.Circle{Centre: at, R: bore}, c.bore, 0), leastCoverage)
			if !ok {
				t.Fatalf("%s: a hole is not traced", c.name)
			}
			holes = append(holes, r)
		}
		got, ok := Sunk(p, cam, holes)
		if ok != (c.sunk > 0) {
			t.Errorf("%s: deeper %v", c.name, ok)
		}
		for i, r := range got {
			if d := r.Centre.Dist(places[i]); math.Abs(r.Sunk-c.sunk) > 0.25 || d > 0.06 || math.Abs(r.R-bore) > 0.03 {
				t.Errorf("%s: hole %d, %.2f +- %.2f mm deep, %.3f mm off its axis, radius %+.3f", c.name, i+1, r.Sunk, 2*r.SunkU, d, r.R-bore)
			}
		}
	}
}
