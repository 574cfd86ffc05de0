package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// A hole in an insert, whose wall is lit almost all over, is found for its kin's sake: what
// the insert's outer edge does to the light is no grain of the face. The reference is the
// picture's own geometry.
func TestALitBoreIsFoundForItsKinsSake(t *testing.T) {
	cam := flatCamera(300, 300)
	at := calib.Point{X: 2, Y: -1.5}
	const bore, insert, rounding = 1.5, 2.2, 0.5
	p := drawn(cam, func(q calib.Point) float64 {
		switch d := q.Dist(at); {
		case d > bore:
			return 0.08 + 0.67*clamp((insert-d)/rounding+0.5, 0, 1)
		case q.X > at.X+0.6:
			return 0.03
		}
		return 0.45
	})
	kin := Rim{Circle: calib.Circle{Centre: calib.Point{X: -40}, R: bore + 0.01}, Boss: insert}
	got, ok := TraceKin(p, cam, kin, at.Add(calib.Point{X: 1, Y: 1}), 4)
	if !ok {
		t.Fatal("not found")
	}
	if d := got.Centre.Dist(at); d > 0.05 || math.Abs(got.R-bore) > 0.05 {
		t.Errorf("centre %.3f mm off, radius %+.3f", d, got.R-bore)
	}
}
