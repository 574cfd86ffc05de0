package main

import (
	"math"
	"testing"

	"trimscribe/calib"
	"trimscribe/vision"
)

// Fault: print on a card that gives the scale is taken for a hole. What is
// printed here is a disc as large as a hole, on the square that serves as the
// rectangle; the panel's own holes are still found.
func TestWhatIsPrintedOnTheRectangleIsNoHole(t *testing.T) {
	slow(t)
	p, err := vision.Open("../../testdata/sail-panel.jpg")
	if err != nil {
		t.Fatal(err)
	}
	p = halved(p)
	var f photoFlags
	if err := f.rectangle.Set("60x60"); err != nil {
		t.Fatal(err)
	}
	if err := f.corners.Set("756,786 1005,769 1023,1019 771,1039"); err != nil {
		t.Fatal(err)
	}
	s, err := f.shoot(p)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.solvePose(&f); err != nil {
		t.Fatal(err)
	}
	cam := s.solution.Camera
	disc := calib.Point{X: 14}
	for y := 760; y < 1050; y++ {
		for x := 740; x < 1040; x++ {
			q := cam.ToPlane(calib.Point{X: float64(x), Y: float64(y)}, 0)
			switch off := q.Dist(disc); {
			case off < 3:
				p.Lin[y*p.Width+x] = 0.02
			case off < 8:
				p.Lin[y*p.Width+x] = 0.6
			}
		}
	}
	s.findAll(&f)
	for _, r := range s.rims {
		if math.Max(math.Abs(r.Centre.X), math.Abs(r.Centre.Y)) < 30 {
			t.Errorf("a circle %.1f mm wide is found on the rectangle, at %.1f, %.1f", 2*r.R, r.Centre.X, r.Centre.Y)
		}
	}
	if len(s.rims) < 3 {
		t.Errorf("%d circles found, want the panel's two holes and its grille at least", len(s.rims))
	}
}
