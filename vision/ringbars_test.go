package vision

import (
	"testing"

	"trimscribe/calib"
)

// Rings in an opening lie deeper than its edge, and are plainer: they are none of them the opening. Of
// circles about an opening, in its plane, it is not said: they are a collar's, a pad's and the
// panel's own edge. The reference is the camera's projection.
func TestAGrillesRingsAreNotItsOpening(t *testing.T) {
	cam := leaning()
	axis := calib.Point{X: 3, Y: -2}
	seen := func(r, z, contrast float64) Rim {
		c := cam.Carry(calib.Circle{Centre: axis, R: r}, z, 0)
		return Rim{Circle: c, Appearance: Appearance{Coverage: 0.95, Contrast: contrast, Agreement: 0.95}}
	}
	within := func(rims []Rim) (n int) {
		markRingBars(cam, rims)
		for _, r := range rims {
			if r.Within {
				n++
			}
		}
		return n
	}
	opening := seen(20, 0, 0.6)
	opening.Coverage = 0.8
	rings := []Rim{opening, seen(6, -3, -0.6), seen(11, -3, -0.6), seen(16, -3, -0.6)}
	if n := within(rings); n != 3 || rings[0].Within {
		t.Errorf("%d of the three rings lie in the opening, and that in one: %v", n, rings[0].Within)
	}
	for name, rims := range map[string][]Rim{
		"a collar, a pad and the panel's edge": {seen(16, 0, 0.6), seen(18, 0, -0.1), seen(22, 0, 0.1), seen(40, 0, 0.5)},
		"two rings":                            {opening, seen(6, -3, -0.6), seen(14, -3, -0.6)},
		"a faint circle round rings":           {seen(20, 0, 0.1), seen(6, -3, -0.6), seen(11, -3, -0.6), seen(16, -3, -0.6)},
		"rings far within":                     {opening, seen(3, -3, -0.6), seen(5, -3, -0.6), seen(7, -3, -0.6)},
	} {
		if n := within(rims); n != 0 {
			t.Errorf("%s: %d circles are said to be rings", name, n)
		}
	}
}
