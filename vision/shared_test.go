package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// A circle that touches the mouth from outside has the mouth's edge where they touch: by
// plane geometry, with radii R and R + d whose centres lie d apart, the gap at an angle t from
// there is about d (1 - cos t).
func TestWhatTwoCirclesShareIsThePlainersOwn(t *testing.T) {
	cam := flatCamera(700, 600)
	px := 1 / cam.PxPerMM(calib.Point{}, 0)
	const d = 1.9
	rim := func(x, r, coverage float64) Rim {
		c := calib.Circle{Centre: calib.Point{X: x}, R: r}
		return Rim{Circle: c, Points: cam.Around(c, 0), Appearance: Appearance{Coverage: coverage}}
	}
	mouth := rim(0, 30, 0.96)
	touching := 0.84 * math.Acos(1-sharedNear*px/d) / math.Pi
	for name, c := range map[string]struct {
		mouth, other Rim
		want         float64
	}{
		"touching":                  {mouth, rim(d, 30+d, 0.84), touching},
		"round it":                  {mouth, rim(0, 30+d, 0.84), 0},
		"about as plain":            {mouth, rim(d, 30+d, 0.93), 0},
		"neither all round":         {rim(0, 30, 0.85), rim(d, 30+d, 0.75), 0},
		"a collar explains nothing": {Rim{Circle: mouth.Circle, Points: mouth.Points, Appearance: mouth.Appearance, Collar: true}, rim(d, 30+d, 0.84), 0},
	} {
		rims := []Rim{c.mouth, c.other}
		before := rims[1].Odds()
		markShared(cam, rims)
		if got := rims[1].Shared; math.Abs(got-c.want) > 0.02 {
			t.Errorf("%s: shares %.2f, want %.2f", name, got, c.want)
		}
		if lost := before - rims[1].Odds(); math.Abs(lost-coverageWorth*c.want) > 0.5 {
			t.Errorf("%s: the odds fall by %.1f", name, lost)
		}
		if rims[0].Shared != 0 {
			t.Errorf("%s: the plainer one shares %.2f", name, rims[0].Shared)
		}
	}
}
