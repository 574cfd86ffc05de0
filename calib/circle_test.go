package calib

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The worked example of Gander, Golub and Strebel, BIT 34 (1994): centre
// (4.7398, 2.9835), radius 4.7142 (memory; recomputed).
func TestFitCircleAgainstGander(t *testing.T) {
	f, err := FitCircle([]Point{{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(f.Centre.X-4.7398) > 5e-5 || math.Abs(f.Centre.Y-2.9835) > 5e-5 || math.Abs(f.R-4.7142) > 5e-5 {
		t.Fatalf("got %+v", f.Circle)
	}
}

// A fit is unmoved by a turn and a shift of its points, and by the order they
// come in; points off the circle have no say in a robust one.
func TestFitCircleGoesWithItsPoints(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		truth := Circle{Point{20*rnd.Float64() - 10, 20*rnd.Float64() - 10}, 1 + 20*rnd.Float64()}
		var pts []Point
		for k := range 40 {
			s, c := math.Sincos(2 * math.Pi * float64(k) / 40)
			r := truth.R + 0.02*rnd.NormFloat64()
			pts = append(pts, truth.Centre.Add(Point{r * c, r * s}))
		}
		before, err := FitCircle(pts)
		if err != nil {
			t.Fatal(err)
		}
		angle, shift := 6*rnd.Float64(), Point{100 * rnd.Float64(), -50}
		turned := make([]Point, len(pts))
		for i, p := range pts {
			turned[len(pts)-1-i] = place(p, shift, angle)
		}
		after, err := FitCircle(turned)
		if err != nil {
			t.Fatal(err)
		}
		if d := after.Centre.Dist(place(before.Centre, shift, angle)); d > 1e-6 || math.Abs(after.R-before.R) > 1e-6 {
			t.Fatalf("moved by %g, radius by %g", d, after.R-before.R)
		}
		for k := range 8 {
			pts[5*k] = pts[5*k].Add(Point{0.5 + rnd.Float64(), 0.7})
		}
		robust, err := FitCircleRobust(pts, 1e-3)
		if err != nil || robust.Centre.Dist(truth.Centre) > 0.05 {
			t.Fatalf("outliers moved the centre by %.3f (%v)", robust.Centre.Dist(truth.Centre), err)
		}
	}
}
