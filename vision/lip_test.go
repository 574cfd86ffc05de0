package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// A chamfered hole's mouth is the chamfer's outer edge on the face, whether the
// trace followed that or the inner one.
func TestAChamferedMouthIsItsOuterEdge(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const r, width = 2.6, 0.4
	mouth := calib.Point{X: 1.02, Y: 2.03}
	p := pictured(cam, lipped(cam, calib.Circle{Centre: mouth, R: r}, width, func(in float64) float64 { return in }, func(out calib.Point, in float64) float64 {
		return 0.25 - 0.2*out.X // lit from the right
	}))
	for _, start := range []float64{r, r - width/2} {
		got, ok := fitRim(p, cam, Rim{Circle: calib.Circle{Centre: mouth.Add(calib.Point{X: 0.05}), R: start}})
		if !ok {
			t.Errorf("from %.1f: no fit", start)
			continue
		}
		fit := got.circle()
		if d := fit.Centre.Dist(mouth); d > 0.04 || math.Abs(fit.R-r) > 0.04 {
			t.Errorf("from %.1f: centre %.3f mm off, radius %+.3f", start, d, fit.R-r)
		}
	}
}

// lipped draws a mouth with a lip: how deep it lies and how light it is, a share
// in of the way in from the mouth, in the direction out of the axis.
func lipped(cam calib.Camera, mouth calib.Circle, width float64, deep func(in float64) float64, light func(out calib.Point, in float64) float64) func(calib.Point) float64 {
	return func(px calib.Point) float64 {
		const steps = 100
		for i := range steps { // down the line of sight to the surface
			z := -width * (float64(i) + 0.5) / steps
			q := cam.ToPlane(px, z).Sub(mouth.Centre)
			switch in := (mouth.R - q.Norm()) / width; {
			case in <= 0:
				return 0.3
			case in < 1 && -z >= width*deep(in):
				return light(q.Mul(1/q.Norm()), in)
			}
		}
		return 0.03
	}
}

// A moulded mouth has no edge: it is anywhere from where the face begins to turn
// away to the wall, about one centre. The
// reference is Lambert's law on a quarter of a torus, drawn finely, with the lamp
// on one side: the edge filter alone is drawn away from it.
func TestAFilletedMouthKeepsItsCentre(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const r, width = 3.0, 0.5
	lamp := calib.Vec3{X: 0.5, Y: -0.3, Z: 0.8}
	mouth := calib.Point{X: 1.02, Y: 2.03}
	up := func(in float64) float64 { return math.Sqrt(1 - in*in) }
	p := pictured(cam, lipped(cam, calib.Circle{Centre: mouth, R: r}, width, func(in float64) float64 { return 1 - up(in) }, func(out calib.Point, in float64) float64 {
		lit := lamp.Z*up(in) - in*(lamp.X*out.X+lamp.Y*out.Y)
		return 0.05 + 0.25*math.Max(0, lit)/lamp.Z
	}))
	for _, start := range []float64{r - width, r - width/2} {
		got, ok := fitRim(p, cam, Rim{Circle: calib.Circle{Centre: mouth.Add(calib.Point{X: 0.05}), R: start}})
		if !ok {
			t.Errorf("from %.1f: no fit", start)
			continue
		}
		fit := got.circle()
		if d := fit.Centre.Dist(mouth); got.lip == sharp || d > 0.05 || fit.R < r-width || fit.R > r+0.05 {
			t.Errorf("from %.2f: lip %d, centre %.3f mm off, radius %+.3f", start, got.lip, d, fit.R-r)
		}
	}
}
