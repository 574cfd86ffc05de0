package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
	"trimscribe/calib/lsq"
)

// A rounding as wide as the band about the trace, in a photo of many pixels a millimetre:
// from near a part of it is seen, from afar all of it. The reference is Lambert's law on a
// quarter of a torus, as for a narrow one. (One of 0.9 mm is 0.13 mm off either way.)
func TestAWideRoundingIsSeenFromAfar(t *testing.T) {
	if !*sweep {
		t.Skip("run with -sweep")
	}
	t.Parallel()
	cam := leaning()
	cam.Fx, cam.Fy = 5200, 5200 // 13 px/mm
	const r, width = 9.0, 0.7
	lamp := calib.Vec3{X: 0.6, Y: -0.4, Z: 0.7}
	mouth := calib.Point{X: 1.02, Y: 2.03}
	up := func(in float64) float64 { return math.Sqrt(1 - in*in) }
	p := pictured(cam, lipped(cam, calib.Circle{Centre: mouth, R: r}, width, func(in float64) float64 { return 1 - up(in) }, func(out calib.Point, in float64) float64 {
		lit := lamp.Z*up(in) - in*(lamp.X*out.X+lamp.Y*out.Y)
		return 0.05 + 0.25*math.Max(0, lit)/lamp.Z
	}))
	rim := Rim{Circle: calib.Circle{Centre: mouth.Add(calib.Point{X: 0.15, Y: -0.1}), R: r - 0.5*width}}
	off := func(f rimFit) float64 { return f.circle().Centre.Dist(mouth) }
	got, ok := fitRim(p, cam, rim)
	near, _, okNear := fitBand(newRimProfile(p, cam, rim, 1/cam.PxPerMM(mouth, 0)), rim)
	if !ok || !okNear {
		t.Fatal("no fit")
	}
	t.Logf("centre %.3f mm off from near, %.3f in the end", off(near), off(got))
	if off(got) > 0.09 || off(near) < 1.5*off(got) {
		t.Errorf("centre %.3f mm off, %.3f from near", off(got), off(near))
	}
}

// Of four holes of one size, one has a ring about it that is its own: from afar that is seen
// for its mouth, and what the others have is believed.
func TestKinTellAHoleFromARingAboutIt(t *testing.T) {
	t.Parallel()
	cam := leaning()
	p := pictured(cam, func(calib.Point) float64 { return 0.3 })
	hole := func(r float64) rimFit {
		m := newRimProfile(p, cam, Rim{Circle: calib.Circle{R: r}}, 0.13)
		return rimFit{rimProfile: m, Result: &lsq.Result{X: make([]float64, m.params())}}
	}
	near, far := hole(2.5), hole(2.8)
	far.near = &near
	fits := []rimFit{hole(2.5), far, hole(2.51), hole(2.49)}
	kinFromNear(fits)
	if r := fits[1].circle().R; math.Abs(r-2.5) > 0.02 {
		t.Errorf("radius %.2f", r)
	}
	alone := []rimFit{hole(4), far}
	if kinFromNear(alone); alone[1].near == nil {
		t.Error("a hole without kin is taken back")
	}
}
