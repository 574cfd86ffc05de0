package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// An opening whose wall shows on one side and whose shadow lies on the other:
// the mouth is found, though the trace may have followed either, and wherever
// it began. The reference is the picture's own geometry, drawn by the camera model.
func TestAMouthIsToldFromItsWallAndShadow(t *testing.T) {
	cam := leaning()
	const r, depth = 21.0, 1.8
	mouth := calib.Point{X: 0.31, Y: -0.22}
	shadow := calib.Point{X: 0.45, Y: 0.35} // of its centre on the floor, from the mouth's
	for name, wall := range map[string]float64{"a darker wall": 0.12, "a wall nearly as light as the face": 0.25, "a lighter wall": 0.36} {
		p := pictured(cam, func(px calib.Point) float64 {
			floor := cam.ToPlane(px, -depth)
			switch {
			case cam.ToPlane(px, 0).Dist(mouth) > r:
				return 0.3
			case floor.Dist(mouth) > r:
				return wall
			case floor.Dist(mouth.Add(shadow)) > r:
				return 0.05
			}
			return 0.5
		})
		for _, off := range []calib.Point{{X: 0.25, Y: 0.2}, {X: -0.2, Y: 0.2}} {
			rim := Rim{Circle: calib.Circle{Centre: mouth.Add(off), R: r - off.Norm()/2}}
			got, ok := fitProfile(p, cam, rim)
			if !ok {
				t.Errorf("%s, from %v: no fit", name, off)
				continue
			}
			fit := got.circle()
			if d := fit.Centre.Dist(mouth); d > 0.03 || math.Abs(fit.R-r) > 0.03 {
				t.Errorf("%s, from %v: centre %.3f mm off, radius %+.3f", name, off, d, fit.R-r)
			}
		}
	}
}
