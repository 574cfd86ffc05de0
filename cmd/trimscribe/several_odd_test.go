package main

import (
	"math"
	"path/filepath"
	"testing"

	"trimscribe/calib"
	"trimscribe/vision"
)

// In one of three photos the far end of the grille's wall was traced for its mouth: smaller and aside.
// All three went into one circle that lay millimetres too low, and nothing was said. The
// odd one is left out, and its mouth is found where the others have it.
func TestOddRim(t *testing.T) {
	slow(t)
	f := &photoFlags{}
	f.groups() // sets the defaults
	s := &several{flags: f}
	for _, name := range []string{"sail-panel-three-1.jpg", "sail-panel-three-2.jpg", "sail-panel-three-3.jpg"} {
		p, err := vision.Open(filepath.Join("../../testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		shot, err := f.shoot(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := shot.solvePose(f); err != nil {
			t.Fatal(err)
		}
		shot.findCircles(f)
		s.shots = append(s.shots, shot)
	}
	mouth := calib.Circle{Centre: calib.Point{X: 62, Y: 55}, R: 22.2} // 3 mm above the face, by the scene
	const height = 3.0
	last, cam := s.shots[2], s.shots[2].solution.Camera
	seen, deep := cam.Carry(mouth, height, 0), cam.Carry(mouth, -1.5, 0)
	deep.R -= 0.3 // as much as still passes for the same circle
	odd := 0
	for i, r := range last.rims {
		if r.Centre.Dist(seen.Centre) < 0.5 && math.Abs(r.R-seen.R) < 0.5 {
			r.Circle = deep
			r.Points = cam.Around(deep, 0)
			last.rims[i] = r
			odd++
		}
	}
	if odd != 1 {
		t.Fatalf("%d rims are the grille's", odd)
	}
	if err := s.match(); err != nil {
		t.Fatal(err)
	}
	if err := s.solve(); err != nil {
		t.Fatal(err)
	}
	for k, tr := range s.tracks {
		if math.Abs(tr.circle.R-mouth.R) < 0.3 && tr.circle.Centre.Dist(mouth.Centre) < 1 {
			if off := math.Abs(tr.z - height); off > 0.3 || tr.sightings() != 3 || s.worstMiss(k) > mostMiss {
				t.Errorf("the grille is %.2f mm high, in %d photos, %.2f mm apart", tr.z, tr.sightings(), s.worstMiss(k))
			}
			return
		}
	}
	t.Error("the grille was lost")
}
