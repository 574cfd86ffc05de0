package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// Three holes of one drill and a wider one. One of the three was read by an edge in its
// wall, too small and to one side; its kin's size leads to its mouth. The wider one,
// which is as plain, stays as wide as it is. The reference is the drawing.
func TestHolesOfOneSizeHelpOneAnother(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const depth = 2.0
	mouths := []calib.Circle{
		{Centre: calib.Point{X: -9, Y: -7}, R: 2.1},
		{Centre: calib.Point{X: 8, Y: -6}, R: 2.1},
		{Centre: calib.Point{X: -7, Y: 8}, R: 2.1},
		{Centre: calib.Point{X: 9, Y: 7}, R: 2.22},
	}
	p := pictured(cam, func(px calib.Point) float64 {
		at, floor := cam.ToPlane(px, 0), cam.ToPlane(px, -depth)
		for _, m := range mouths {
			switch {
			case at.Dist(m.Centre) > m.R:
			case floor.Dist(m.Centre) > m.R:
				return 0.2
			default:
				return 0.03
			}
		}
		return 0.3
	})
	fits := make([]rimFit, len(mouths))
	for i, m := range mouths {
		if i == 2 {
			m.Centre, m.R = m.Centre.Add(calib.Point{X: 0.12, Y: 0.08}), m.R-0.12
		}
		f := rimFit{rimProfile: newRimProfile(p, cam, Rim{Circle: m}, 1/cam.PxPerMM(m.Centre, 0))}
		start := make([]float64, f.params())
		var err error
		if f.Result, err = fitModel(f.rimProfile, start, 0); err != nil {
			t.Fatal(err)
		}
		if i == 2 {
			f.X = start
		}
		fits[i] = f
	}
	oneSize(fits)
	for i, m := range mouths {
		got := fits[i].circle()
		if d := got.Centre.Dist(m.Centre); d > 0.03 || math.Abs(got.R-m.R) > 0.03 {
			t.Errorf("hole %d: centre %.3f mm off, radius %+.3f", i+1, d, got.R-m.R)
		}
	}
}
