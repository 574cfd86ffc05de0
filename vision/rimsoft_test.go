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

// uncertain is the standard uncertainty of a place, in the mean each way, and of a radius, mm.
func uncertain(cov [3][3]float64) (place, radius float64) {
	return math.Sqrt((cov[0][0] + cov[1][1]) / 2), math.Sqrt(cov[2][2])
}

// An edge that falls off over a known width is softer by a uniform distribution's variance
// (the GUM, JCGM 100:2008, 4.3.7), and the mouth may be half of that width farther out; one
// that is sharp leaves nothing open.
func TestASoftEdgeMayBeALip(t *testing.T) {
	t.Parallel()
	cam := leaning()
	left := func(rim Rim) (place, radius float64) { return uncertain(EdgesOf(cam, picturedSpread, nil).Cov(rim)) }
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
		if p, r := uncertain(EdgesOf(cam, 0, nil).Cov(rim)); p != 0 || r > 0.2*radius {
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
	_, alone := uncertain(EdgesOf(cam, picturedSpread, []Rim{grille}).Cov(grille))
	_, few := uncertain(EdgesOf(cam, picturedSpread, []Rim{grille, soft, plain, plain}).Cov(grille))
	_, most := uncertain(EdgesOf(cam, picturedSpread, []Rim{grille, soft, soft, plain}).Cov(grille))
	if math.Abs(few-alone) > 1e-9 || math.Abs(most-math.Hypot(alone, width/math.Sqrt(6))) > 1e-6 {
		t.Errorf("a grille's radius is left open by %.3f mm, with one soft hole of three by %.3f, with two by %.3f", alone, few, most)
	}
}

// What lies deeper than the mouth is seen aside of it: of an edge that may be a lip's inner one, it is left open
// along that way, the more the more aslant the camera looks. The reference is the camera's own projection.
func TestAnUnseenLipIsSeenAside(t *testing.T) {
	t.Parallel()
	const width, r = 0.6, 2.5
	cam := leaning()
	sharp := picturedSpread / cam.PxPerMM(calib.Point{}, 0)
	rim := Rim{Circle: calib.Circle{R: r}, Fitted: true, spread: math.Sqrt(sharp*sharp + width*width/12)}
	cov := EdgesOf(cam, picturedSpread, nil).Cov(rim)
	aside := cam.ToPlane(cam.Project(calib.Vec3{Z: -width}), 0) // of the lip's foot
	along, across := aside.Mul(1/aside.Norm()), calib.Point{X: -aside.Y, Y: aside.X}.Mul(1/aside.Norm())
	variance := func(p calib.Point) float64 { return p.X*p.X*cov[0][0] + 2*p.X*p.Y*cov[0][1] + p.Y*p.Y*cov[1][1] }
	got := math.Sqrt(variance(along) - variance(across))
	if want := aside.Norm() / math.Sqrt(6); math.Abs(got-want) > 0.02*want {
		t.Errorf("%.4f mm are left open along the way that the depth is seen, want %.4f", got, want)
	}
	if out := along.X*cov[0][2] + along.Y*cov[1][2]; out >= 0 {
		t.Errorf("a wider mouth goes with a place nearer to where the foot is seen: covariance %.5f", out)
	}
}
