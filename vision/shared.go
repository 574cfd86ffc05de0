package vision

import (
	"math"

	"trimscribe/calib"
)

// sharedNear is how near to another circle, px, a point on one is on the other's edge too: as far
// as the light on an edge moves it.
const sharedNear = 2.0

// markShared marks how much of what shows of a grille's circle is the edge of one that shows all
// round, where the two touch or cross. A collar's outer edge on one side, its shadow's on another
// and the mouth itself, where they meet it, make circles of chance that show over eight tenths.
func markShared(cam calib.Camera, rims []Rim) {
	for i := range rims {
		r := &rims[i]
		for _, o := range rims {
			if !r.isHole() && !o.isHole() && o.Z == r.Z && o.explains(*r) {
				r.Shared = math.Max(r.Shared, r.Coverage*o.shareOf(cam, r.Points))
			}
		}
	}
}

// explains tells whether a circle is so much plainer than another that what lies on both is its
// own.
func (r Rim) explains(o Rim) bool {
	return r.Coverage > allRound && r.Coverage > o.Coverage+0.05 && !r.Collar && !r.Within
}

// shareOf is how many of the points, as a share of them, lie on the rim.
func (r Rim) shareOf(cam calib.Camera, points []calib.Point) float64 {
	px := 1 / cam.PxPerMM(r.Centre, r.Z)
	on := 0.0
	for _, p := range points {
		if math.Abs(cam.ToPlane(p, r.Z).Dist(r.Centre)-r.R) < sharedNear*px {
			on += 1 / float64(len(points))
		}
	}
	return on
}
