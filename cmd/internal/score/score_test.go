package score

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// A hole that is missed, one that is invented, a grille taken for a hole and
// an error of known size must each show: a scale that weighs everything as
// good proves nothing.
func TestWeigh(t *testing.T) {
	truth := Truth{Holes: []Circle{{0, 0, 4}, {30, 0, 4}, {0, 40, 4}}, Grille: &Circle{10, 10, 44}}
	s := &calib.Survey{
		Features: []calib.Feature{
			{ID: "H1", Kind: calib.KindHole, X: 30.03, Y: 0, Diameter: 4.1},
			{ID: "H2", Kind: calib.KindHole, X: 0, Y: 0.04, Diameter: 3.98},
			{ID: "H3", Kind: calib.KindHole, X: 80, Y: 80, Diameter: 4},
			{ID: "G", Kind: calib.KindGrille, X: 10, Y: 10, Diameter: 44},
		},
		Distances: []calib.DistanceEntry{{From: "H1", To: "H2", MM: 30, U95: 0.06}, {From: "G", To: "H2", U95: 0.05}},
	}
	got := Weigh(truth, s)
	if got.Expected != 4 || got.Found != 3 || got.Missed != 1 || got.Invented != 1 {
		t.Errorf("counts: %+v", got)
	}
	worst := math.Hypot(30.03, 0.04) - 30
	for name, v := range map[string][2]float64{
		"centre": {got.Centre, 0.04}, "diameter": {got.Diameter, 0.1}, "distance": {got.Distance, worst}, "U95": {got.U95, 0.06},
		"ratio": {got.Ratio, math.Abs(math.Hypot(10, 9.96)-math.Hypot(10, 10)) / 0.05},
	} {
		if math.Abs(v[0]-v[1]) > 1e-9 {
			t.Errorf("%s: got %g, want %g", name, v[0], v[1])
		}
	}
	// A grille where a hole is to be is no hole, and one more hole at a found one's place is invented.
	s.Features = []calib.Feature{{ID: "G", Kind: calib.KindGrille}, {ID: "H1", Kind: calib.KindHole}, {ID: "H2", Kind: calib.KindHole, X: 0.1}}
	if got := Weigh(truth, s); got.Found != 1 || got.Missed != 3 || got.Invented != 2 {
		t.Errorf("kinds: %+v", got)
	}
}
