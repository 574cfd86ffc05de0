package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// A body is found from a guess that is a millimetre or two off it, though a step in its back, half a millimetre within
// its rim, is as plain: the callipers tell which is the rim. The reference is the drawing.
func TestABodyIsFoundFromAside(t *testing.T) {
	t.Parallel()
	cam := leaning()
	body := calib.Circle{Centre: calib.Point{X: 1.3, Y: -0.6}, R: 18.05}
	const step, opening = 17.6, 22.0
	p := pictured(cam, func(px calib.Point) float64 {
		at := cam.ToPlane(px, 0)
		switch r := at.Dist(body.Centre); {
		case r < step:
			return 0.08
		case r < body.R:
			return 0.04
		case at.Norm() < opening:
			return 0.9
		}
		return 0.3
	})
	for _, off := range []calib.Point{{}, {X: 0.9, Y: -0.6}, {X: -1.6, Y: 1.1}, {Y: 2}} {
		rim, ok := traceBody(p, cam, 0, calib.Circle{Centre: body.Centre.Add(off), R: body.R})
		if !ok {
			t.Errorf("from %v: not found", off)
			continue
		}
		if d := rim.Centre.Dist(body.Centre); d > 0.05 || math.Abs(rim.R-body.R) > 0.05 || rim.Coverage < 0.9 {
			t.Errorf("from %v: %.3f mm off, radius %+.3f, %.0f %% of it seen", off, d, rim.R-body.R, 100*rim.Coverage)
		}
	}
}
