package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// Every mounting hole and the grille of a ray-traced photo are among the
// circles found, where the ray tracer cut them. The camera is the ray
// tracer's own, so that only the finding is tried.
func TestCirclesAreWhereTheRayTracerCutThem(t *testing.T) {
	for _, name := range []string{"door-insert-dark", "bus-overhead-large"} {
		p, tr := testPhoto(t, name)
		rims := FindCircles(p, tr.camera(), Search{})
		for _, want := range append(tr.Holes, tr.Grille) {
			rim, ok := nearest(rims, want)
			if !ok {
				t.Errorf("%s: nothing near (%.1f, %.1f)", name, want.X, want.Y)
				continue
			}
			off := rim.Centre.Dist(calib.Point{X: want.X, Y: want.Y})
			wide := math.Abs(2*rim.R - want.Diameter)
			if off > 0.04 || wide > 0.1 {
				t.Errorf("%s: (%.1f, %.1f): centre %.3f mm off, diameter %.3f", name, want.X, want.Y, off, wide)
			}
		}
	}
}

func nearest(rims []Rim, want truthCircle) (Rim, bool) {
	best, ok := Rim{}, false
	for _, r := range rims {
		d := r.Centre.Dist(calib.Point{X: want.X, Y: want.Y})
		if d < 1 && math.Abs(2*r.R-want.Diameter) < 0.1*want.Diameter && (!ok || r.Odds() > best.Odds()) {
			best, ok = r, true
		}
	}
	return best, ok
}

// A drawn disc comes back at any place between pixels: nothing pulls a centre
// to the pixel grid. The reference is the disc's own area, pixel by pixel.
func TestADiscIsNotPulledToTheGrid(t *testing.T) {
	cam := calib.Camera{
		Lens: calib.Lens{Width: 420, Height: 300, Fx: 3000, Fy: 3000, Cx: 209.5, Cy: 149.5},
		Pose: calib.Pose{R: calib.Mat3{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}, T: calib.Vec3{Z: 400}},
	}
	for _, at := range []calib.Point{{X: 0, Y: 0}, {X: 0.031, Y: 0.055}, {X: -10.02, Y: 5.09}, {X: 20.06, Y: -3.03}} {
		const r = 2.1 // mm
		p := drawnDisc(cam, at, r)
		rim, ok := traceRim(p, cam, 0, calib.Circle{Centre: at.Add(calib.Point{X: 0.1, Y: -0.1}), R: 1.05 * r}, 0.5)
		if !ok {
			t.Errorf("%v: not traced", at)
			continue
		}
		got, ok := fitProfile(p, cam, rim)
		fit := got.circle()
		if !ok || fit.Centre.Dist(at) > 0.004 || math.Abs(fit.R-r) > 0.01 {
			t.Errorf("%v: centre %.4f mm off, radius %.4f (fitted: %v)", at, fit.Centre.Dist(at), fit.R-r, ok)
		}
	}
}

// drawnDisc is a dark disc on a lighter face.
func drawnDisc(cam calib.Camera, at calib.Point, r float64) *Photo {
	return pictured(cam, func(px calib.Point) float64 {
		if cam.ToPlane(px, 0).Dist(at) < r {
			return 0.02
		}
		return 0.3
	})
}

// pictured is a photo of what has the given light, each pixel the mean over its
// area, blurred by a box of three pixels.
func pictured(cam calib.Camera, light func(px calib.Point) float64) *Photo {
	p := &Photo{Width: cam.Width, Height: cam.Height}
	sharp := make([]float32, p.Width*p.Height)
	const n = 4
	parallel(p.Height, func(y int) {
		for x := range p.Width {
			sum := 0.0
			for i := range n * n {
				sum += light(calib.Point{X: float64(x) + (float64(i%n)+0.5)/n - 0.5, Y: float64(y) + (float64(i/n)+0.5)/n - 0.5})
			}
			sharp[y*p.Width+x] = float32(sum / (n * n))
		}
	})
	p.Lin = make([]float32, len(sharp))
	for y := 1; y < p.Height-1; y++ {
		for x := 1; x < p.Width-1; x++ {
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					p.Lin[y*p.Width+x] += sharp[(y+dy)*p.Width+x+dx] / 9
				}
			}
		}
	}
	return p
}
