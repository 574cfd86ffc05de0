package vision

import (
	"math/rand/v2"
	"testing"

	"trimscribe/calib"
)

// inGrain is a picture of a circle on a face, of such luminances, under a grain that is
// stronger than their difference.
func inGrain(cam calib.Camera, c calib.Circle, face, inside float64) *Photo {
	rnd := rand.New(rand.NewPCG(3, 1))
	grain := make([]float64, cam.Width*cam.Height)
	for i := range grain {
		grain[i] = rnd.NormFloat64()
	}
	return pictured(cam, func(px calib.Point) float64 {
		x, y := min(max(int(px.X+0.5), 0), cam.Width-1), min(max(int(px.Y+0.5), 0), cam.Height-1)
		light := face
		if cam.ToPlane(px, 0).Dist(c.Centre) < c.R {
			light = inside
		}
		return max(0, light*(1+1.6*grain[y*cam.Width+x]))
	})
}

// In coarse grain, a hole's edge does not stand out on enough rays; at half and a
// quarter of the size the grain is averaged away and the hole is as plain as ever.
// Where no hole is, none comes of it. The reference is the drawing.
func TestAHoleInGrain(t *testing.T) {
	t.Parallel()
	cam := leaning()
	cam.Width-- // an odd number of columns, so that a half is not just half
	hole := calib.Circle{Centre: calib.Point{X: 4.2, Y: -3.1}, R: 2.9}
	p := inGrain(cam, hole, 0.013, 0.004)
	guess := hole
	guess.Centre.X += 0.2
	levels := newPyramid(p, cam, true)
	if once, ok := levels.traceRim(0, guess, leastCoverage); ok && once.Coverage > plainCoverage {
		t.Errorf("the drawing is too easy: %.2f of the edge shows at full size", once.Coverage)
	}
	got, ok := levels.traceHole(0, guess, leastCoverage)
	if !ok || got.Coverage < plainCoverage {
		t.Fatalf("traced %v, %.2f of the edge", ok, got.Coverage)
	}
	if d := got.Centre.Dist(hole.Centre); d > 0.15 || got.R < hole.R-0.15 || got.R > hole.R+0.15 {
		t.Errorf("centre %.3f mm off, radius %+.3f", d, got.R-hole.R)
	}
	for _, q := range got.Points {
		if d := cam.ToPlane(q, 0).Dist(hole.Centre); d < hole.R-0.6 || d > hole.R+0.6 {
			t.Fatalf("a point of the rim lies %.2f mm from the middle", d)
		}
	}
	for _, at := range []calib.Point{{X: -14, Y: 9}, {X: 12, Y: 12}, {X: -9, Y: -12}} {
		if r, ok := levels.traceHole(0, calib.Circle{Centre: at, R: hole.R}, leastCoverage); ok && r.Odds() > 0 {
			t.Errorf("a hole of %.1f mm, of %.2f coverage, in nothing but grain", 2*r.R, r.Coverage)
		}
	}
}

// So is a grille, which is looked for so when none is plain at full size.
func TestAGrilleInGrain(t *testing.T) {
	t.Parallel()
	cam := leaning()
	grille := calib.Circle{Centre: calib.Point{X: 1.2, Y: -2.1}, R: 19}
	p := inGrain(cam, grille, 0.02, 0.012)
	if once, ok := traceRim(p, cam, 0, grille, leastCoverage); ok && once.Odds() > 0 {
		t.Errorf("the drawing is too easy: %.2f of the edge shows at full size", once.Coverage)
	}
	for _, r := range FindCircles(p, cam, Search{}) {
		if !r.isHole() {
			if d := r.Centre.Dist(grille.Centre); d > 0.3 || r.R < grille.R-0.3 || r.R > grille.R+0.3 || r.Odds() < 3 {
				t.Errorf("centre %.3f mm off, radius %+.3f, odds %.1f", d, r.R-grille.R, r.Odds())
			}
			return
		}
	}
	t.Error("no grille was found")
}
