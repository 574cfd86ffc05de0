package calib

import (
	"math"
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
