package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// soften is a fitted hole of radius 2.5 mm whose edge falls off over a known width, in the picture of a
// camera.
func soften(t *testing.T, cam calib.Camera, width float64) Rim {
	t.Helper()
	const r = 2.5
	p := pictured(cam, func(at calib.Point) float64 {
		in := (r - cam.ToPlane(at, 0).Norm()) / math.Max(width, 1e-9)
		return 0.3 - 0.25*clamp(in, 0, 1)
	})
	rim := Rim{Circle: calib.Circle{R: r - width/2}}
	m := newRimProfile(p, cam, rim, 1/cam.PxPerMM(calib.Point{}, 0))
	fit, err := fitModel(m, make([]float64, m.params()), 0)
	if err != nil {
		t.Fatal(err)
	}
	rim.fit(rimFit{rimProfile: m, Result: fit})
	return rim
}

// picturedSpread is how far pictured spreads an edge, px: half the way from 16 to 84 % of its box of
// three pixels, by a pixel's own.
const picturedSpread = 1.02

// An edge that falls off over a known width is softer by a uniform distribution's variance
// (the GUM, JCGM 100:2008, 4.3.7), and the mouth may be half of that width farther out; one
// that is sharp leaves nothing open.
func TestASoftEdgeMayBeALip(t *testing.T) {
	t.Parallel()
	cam := leaning()
	left := func(rim Rim) (place, radius float64) { return EdgesOf(cam, picturedSpread, nil).U(rim) }
	_, sharp := left(soften(t, cam, 0))
	for _, width := range []float64{0.4, 0.7} {
		rim := soften(t, cam, width)
		place, radius := left(rim)
		off := 2.5 - rim.R
		if math.Abs(off-width/2) > 0.04 || radius < 0.6*off || radius > 1.2*off {
			t.Errorf("a lip %.1f mm wide: its middle is taken, %.3f mm inside the mouth, and u is %.3f mm, want 0.8 of that", width, off, radius)
		}
		if place < 0.2*off || place > 0.45*off {
			t.Errorf("a lip %.1f mm wide leaves %.3f mm open each way", width, place)
		}
		if sharp > 0.3*radius {
			t.Errorf("a sharp edge leaves %.3f mm open, a lip %.3f", sharp, radius)
		}
		if p, r := EdgesOf(cam, 0, nil).U(rim); p != 0 || r > 0.2*radius {
			t.Errorf("%.3f and %.3f mm are left open where nobody knows how far the photo spreads an edge", p, r)
		}
	}
}

// What broke the holes' edges may have broken the grille's, though that shows as sharp.
func TestAGrilleMayHaveTheHolesLip(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const width = 0.5
	sharp := picturedSpread / cam.PxPerMM(calib.Point{}, 0)
	plain := Rim{Circle: calib.Circle{R: 2.5}, Fitted: true, spread: sharp}
	soft, grille := plain, plain
	soft.spread, grille.R = math.Sqrt(sharp*sharp+width*width/12), 25
	_, alone := EdgesOf(cam, picturedSpread, []Rim{grille}).U(grille)
	_, few := EdgesOf(cam, picturedSpread, []Rim{grille, soft, plain, plain}).U(grille)
	_, most := EdgesOf(cam, picturedSpread, []Rim{grille, soft, soft, plain}).U(grille)
	if math.Abs(few-alone) > 1e-9 || math.Abs(most-math.Hypot(alone, width/math.Sqrt(6))) > 1e-6 {
		t.Errorf("a grille's radius is left open by %.3f mm, with one soft hole of three by %.3f, with two by %.3f", alone, few, most)
	}
}
