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
	names := []string{"narrowboat-motion"}
	if *sweep {
		names = append(names, "dash-pod-light", "door-insert-dark", "bus-overhead-large")
	}
	for _, name := range names {
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
	t.Parallel()
	cam := flatCamera(420, 300)
	places := []calib.Point{{X: 0.031, Y: 0.055}, {X: -10.02, Y: 5.09}}
	if *sweep {
		places = append(places, calib.Point{}, calib.Point{X: 20.06, Y: -3.03})
	}
	for _, at := range places {
		const r = 2.1 // mm
		p := drawn(cam, func(q calib.Point) float64 {
			if q.Dist(at) < r {
				return 0.02
			}
			return 0.3
		})
		rim, ok := traceRim(p, cam, 0, calib.Circle{Centre: at.Add(calib.Point{X: 0.1, Y: -0.1}), R: 1.05 * r}, 0.5)
		if !ok {
			t.Errorf("%v: not traced", at)
			continue
		}
		got, ok := fitRim(p, cam, rim)
		fit := got.circle()
		if !ok || fit.Centre.Dist(at) > 0.004 || math.Abs(fit.R-r) > 0.01 {
			t.Errorf("%v: centre %.4f mm off, radius %.4f (fitted: %v)", at, fit.Centre.Dist(at), fit.R-r, ok)
		}
	}
}

// A circle half on the edge of a collar and half on its shadow's leads to the mouth, which shows
// all round. The reference is the picture's own geometry.
func TestAMouthIsFoundBesideAHalfSeenCircle(t *testing.T) {
	t.Parallel()
	cam := flatCamera(420, 400)
	at := calib.Point{X: 1.03, Y: -0.52}
	const r, collar = 17.0, 18.2
	p := drawn(cam, func(q calib.Point) float64 {
		switch from := q.Dist(at); {
		case from < r:
			return 0.05
		case from < collar:
			return 0.3
		case q.Dist(at.Add(calib.Point{X: 1, Y: -0.6})) < collar:
			return 0.12 // its shadow
		}
		return 0.3
	})
	mixed := Rim{Circle: calib.Circle{Centre: at.Add(calib.Point{X: 0.5, Y: -0.3}), R: collar + 0.3}, Appearance: Appearance{Coverage: 0.8}}
	found := Search{}.plainer(p, cam, []Rim{mixed})
	if len(found) == 0 {
		t.Fatal("none found")
	}
	for _, f := range found {
		if f.Centre.Dist(at) > 0.05 || math.Abs(f.R-r) > 0.1 {
			t.Errorf("centre %.3f mm off, radius %+.3f", f.Centre.Dist(at), f.R-r)
		}
	}
	mixed.Coverage = 0.95
	if found := (Search{}).plainer(p, cam, []Rim{mixed}); len(found) > 0 {
		t.Error("looked beside one that shows all round")
	}
}
