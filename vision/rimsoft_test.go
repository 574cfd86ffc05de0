package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// An edge that falls off over a known width is softer by a uniform distribution's variance
// (the GUM, JCGM 100:2008, 4.3.7), and the mouth may be half of that width farther out; one
// that is sharp leaves nothing open.
func TestASoftEdgeMayBeALip(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const r = 2.5
	px := 1 / cam.PxPerMM(calib.Point{}, 0)
	soft := func(width float64) (u, fitted float64) {
		p := pictured(cam, func(at calib.Point) float64 {
			in := (r - cam.ToPlane(at, 0).Norm()) / math.Max(width, 1e-9)
			return 0.3 - 0.25*clamp(in, 0, 1)
		})
		rim := Rim{Circle: calib.Circle{R: r - width/2}}
		m := newRimProfile(p, cam, rim, px)
		fit, err := fitModel(m, make([]float64, m.params()), 0)
		if err != nil {
			t.Fatal(err)
		}
		rim.fit(rimFit{rimProfile: m, Result: fit})
		const spread = 1.02 // half the way from 16 to 84 % of pictured's box of three pixels, by a pixel's own
		if u := rim.LipU(cam, 0); u != 0 {
			t.Errorf("%.3f mm is left open where nobody knows how far the photo spreads an edge", u)
		}
		return rim.LipU(cam, spread), rim.R
	}
	sharp, _ := soft(0)
	for _, width := range []float64{0.4, 0.7} {
		u, fitted := soft(width)
		if off := r - fitted; math.Abs(off-width/2) > 0.04 || u < 0.8*off/2 || u > 1.3*off/2 {
			t.Errorf("a lip %.1f mm wide: its middle is taken, %.3f mm inside the mouth, and u is %.3f mm, want about half of that", width, off, u)
		}
		if sharp > 0.3*u {
			t.Errorf("a sharp edge leaves %.3f mm open, a lip %.3f", sharp, u)
		}
	}
}
