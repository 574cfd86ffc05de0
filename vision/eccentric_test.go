package vision

import (
	"testing"

	"trimscribe/calib"
)

// A boss is round its hole. What lies off the middle of three bosses, all to one side, is a shade or
// the like; what lies about it is a hole, and so is what lies off a scatter of circles. The reference is the drawing.
func TestHolesOffTheirBossesAreEccentric(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const hole, boss = 3.0, 4.6
	places := []calib.Point{{X: -18, Y: -14}, {X: 17, Y: -12}, {X: -13, Y: 16}}
	for _, c := range []struct {
		name string
		off  [3]calib.Point
		want bool
	}{
		{"concentric", [3]calib.Point{}, false},
		{"all to one side", [3]calib.Point{{X: 0.9, Y: 0.4}, {X: 0.8, Y: 0.5}, {X: 0.9, Y: 0.5}}, true},
		{"each to another side", [3]calib.Point{{X: 0.9}, {X: -0.9}, {Y: 0.9}}, false},
	} {
		p := pictured(cam, func(px calib.Point) float64 {
			q := cam.ToPlane(px, 0)
			for i, at := range places {
				switch {
				case q.Dist(at) < hole:
					return 0.03
				case q.Dist(at.Sub(c.off[i])) < boss:
					return 0.4
				}
			}
			return 0.3
		})
		var holes []Rim
		for _, at := range places {
			holes = append(holes, Rim{Circle: calib.Circle{Centre: at, R: hole}})
		}
		off, got := Eccentric(p, cam, holes)
		if got != c.want || got && off.Add(calib.Point{X: 0.87, Y: 0.47}).Norm() > 0.1 {
			t.Errorf("%s: %v, by (%.2f, %.2f)", c.name, got, off.X, off.Y)
		}
	}
}
