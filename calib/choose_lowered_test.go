package calib

import (
	"math"
	"testing"
)

// A circle in a collar is the far end of the opening's wall where it lies as that is seen: slid to where a camera
// sees depth go. The reference is the camera's own projection.
func TestAWallsEndInACollarIsDoubted(t *testing.T) {
	t.Parallel()
	cam := Camera{
		Lens: Lens{Width: 4000, Height: 3000, Fx: 3000, Fy: 3000, Cx: 2000, Cy: 1500},
		Pose: Pose{R: Mat3{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}, T: Vec3{X: -100, Z: 400}},
	}
	circle := func(kind string, p Point, r, quality float64) Candidate {
		c := Candidate{Circle: Circle{p, r}, Kind: kind, Quality: quality}
		c.Shift = cam.Shift(c.Circle, 0)
		return c
	}
	collar := circle(KindGrille, Point{}, 33, -1)
	for name, c := range map[string]struct {
		deep   float64 // mm
		aside  Point   // besides, mm
		doubts bool
	}{
		"the mouth":            {0, Point{}, false},
		"the far end":          {6, Point{}, true},
		"beside, but not deep": {0, Point{Y: 1.5}, false},
		"nearer the camera":    {-6, Point{}, false},
	} {
		seen := cam.ToPlane(cam.Project(Vec3{Z: -c.deep}), 0).Add(c.aside)
		cands := []Candidate{circle(KindGrille, seen, 30*(1-c.deep/400), 6), collar}
		for k := range 4 {
			sin, cos := math.Sincos(math.Pi/4 + math.Pi/2*float64(k))
			cands = append(cands, circle(KindHole, Point{48 * cos, 48 * sin}, 2.5, 4))
		}
		choice := Choice{Grille: 0, Holes: []int{2, 3, 4, 5}}
		if got := loweredDoubt(cands, Hints{GrilleHeight: true}, choice); got != "" != c.doubts {
			t.Errorf("%s: doubt %q", name, got)
		}
		if got := loweredDoubt(cands, Hints{Pick: []int{0}}, choice); got != "" {
			t.Errorf("%s, picked: doubt %q", name, got)
		}
		cands[0].Kind = KindTweeter
		if got := loweredDoubt(cands, Hints{GrilleHeight: true}, choice); got != "" {
			t.Errorf("%s, of a tweeter's body: doubt %q", name, got)
		}
	}
}

// A mesh's frame in an opening lies deeper than the edge round it, and is seen slid so; of a collar, whose foot is round
// its opening, it is the other way, and of a chamfer neither. The reference is the camera's own projection.
func TestAMeshsFrameIsDoubted(t *testing.T) {
	t.Parallel()
	cam := Camera{
		Lens: Lens{Width: 4000, Height: 3000, Fx: 3000, Fy: 3000, Cx: 2000, Cy: 1500},
		Pose: Pose{R: Mat3{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}, T: Vec3{X: -100, Z: 400}},
	}
	seen := func(z, r float64) Candidate {
		c := Candidate{Circle: Circle{cam.ToPlane(cam.Project(Vec3{Z: z}), 0), r}, Kind: KindGrille, Quality: 5}
		c.Shift = cam.Shift(c.Circle, 0)
		return c
	}
	for name, c := range map[string]struct {
		inner, outer float64 // heights, mm
		h            Hints
		doubts       bool
	}{
		"a mesh's frame":      {-2.5, 0, Hints{}, true},
		"the same, picked":    {-2.5, 0, Hints{Pick: []int{0}}, false},
		"the same, told":      {-2.5, 0, Hints{GrilleDiameter: 40}, false},
		"a collar":            {3, 0, Hints{}, false},
		"a chamfer":           {0, 0, Hints{}, false},
		"what lies far below": {-15, 0, Hints{}, false},
	} {
		cands := []Candidate{seen(c.inner, 19), seen(c.outer, 21)}
		if got := framedDoubt(cands, c.h, 0); got != "" != c.doubts {
			t.Errorf("%s: doubt %q", name, got)
		}
	}
}
