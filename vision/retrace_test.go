package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// insert is the light of a brass insert's ring in a dark face, and of its bore: the wall is lit
// almost all over. rounding is how wide the ring's outer edge is, mm.
func insert(q, at calib.Point, bore, ring, rounding float64) float64 {
	switch d := q.Dist(at); {
	case d > bore:
		return 0.08 + 0.67*clamp((ring-d)/rounding+0.5, 0, 1)
	case q.X > at.X+0.4*bore:
		return 0.03
	}
	return 0.45
}

// A hole in an insert, whose wall is lit almost all over, is found for its kin's sake: what
// the insert's outer edge does to the light is no grain of the face. The reference is the
// picture's own geometry.
func TestALitBoreIsFoundForItsKinsSake(t *testing.T) {
	cam := flatCamera(300, 300)
	at := calib.Point{X: 2, Y: -1.5}
	const bore, ring = 1.5, 2.2
	p := drawn(cam, func(q calib.Point) float64 { return insert(q, at, bore, ring, 0.5) })
	kin := Rim{Circle: calib.Circle{Centre: calib.Point{X: -40}, R: bore + 0.01}, Boss: ring}
	got, ok := TraceKin(p, cam, kin, at.Add(calib.Point{X: 1, Y: 1}), 4)
	if !ok {
		t.Fatal("not found")
	}
	if d := got.Centre.Dist(at); d > 0.05 || math.Abs(got.R-bore) > 0.05 {
		t.Errorf("centre %.3f mm off, radius %+.3f", d, got.R-bore)
	}
}

// Of two inserts the bore is taken, where the one's bore was found and the other's ring: a
// circle as wide as the ring is no hole.
func TestOneBore(t *testing.T) {
	cam := flatCamera(400, 300)
	one, other := calib.Point{X: -9, Y: 3}, calib.Point{X: 8, Y: -2}
	const bore, ring = 3.15, 3.82
	p := drawn(cam, func(q calib.Point) float64 {
		if q.X < 0 {
			return insert(q, one, bore, ring, 0.05)
		}
		return insert(q, other, bore, ring, 0.05)
	})
	rims := []Rim{{Circle: calib.Circle{Centre: one, R: bore}, Boss: ring}, {Circle: calib.Circle{Centre: other, R: ring}, Boss: 4.6}, {Circle: calib.Circle{Centre: other, R: 2}}}
	oneBore(p, cam, rims)
	if got := rims[1]; got.Centre.Dist(other) > 0.05 || math.Abs(got.R-bore) > 0.05 || got.Boss != ring {
		t.Errorf("taken for the bore: %v in a ring of %.2f", got.Circle, got.Boss)
	}
	if rims[0].R != bore || rims[2].R != 2 {
		t.Errorf("others were changed: %v, %v", rims[0].Circle, rims[2].Circle)
	}
}
