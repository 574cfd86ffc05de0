package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// A collar stands round an opening and off it: its edges are plain, and higher,
// so that they are seen beside the opening. The opening is found inside it
// though it hardly differs from the floor, and the far end of its wall is not
// taken for another. The reference is the picture's own geometry.
func TestTheOpeningIsFoundInsideItsCollar(t *testing.T) {
	cam := leaning()
	axis := calib.Point{X: 0.4, Y: -0.3}
	const opening, inside, outside, height = 19.0, 22.0, 23.5, 2.5
	p := pictured(cam, func(px calib.Point) float64 {
		top, face := cam.ToPlane(px, height).Dist(axis), cam.ToPlane(px, 0).Dist(axis)
		switch {
		case top > outside:
			return 0.3
		case top > inside:
			return 0.42
		case face > inside:
			return 0.15 // the collar's inner wall
		case face > opening:
			return 0.26
		case cam.ToPlane(px, -1).Dist(axis) > opening:
			return 0.1 // the opening's wall
		}
		return 0.21
	})
	seen := cam.ToPlane(cam.Project(calib.Vec3{X: axis.X, Y: axis.Y, Z: height}), 0)
	collar, ok := traceRim(p, cam, 0, calib.Circle{Centre: seen, R: inside * 1.006}, leastCoverage)
	if !ok {
		t.Fatal("the collar is not traced")
	}
	rims := withInside(p, cam, []Rim{collar}, false)
	if len(rims) != 2 {
		t.Fatalf("%d circles, want the collar and the opening", len(rims))
	}
	got := rims[1]
	if d := got.Centre.Dist(axis); d > 0.1 || math.Abs(got.R-opening) > 0.1 {
		t.Errorf("the opening: centre %.3f mm off, radius %+.3f", d, got.R-opening)
	}
	if rims[0].Odds() >= got.Odds() {
		t.Errorf("the collar (%.1f) is likelier than the opening (%.1f)", rims[0].Odds(), got.Odds())
	}
	// With the height given, the edge at that height is meant.
	at := collar
	at.Z, at.Circle = height, calib.Circle{Centre: axis, R: inside}
	if rims := withInside(p, cam, []Rim{at}, true); len(rims) != 1 {
		t.Errorf("the edge at the height given is passed over for one lower")
	}
}

// What is seen of a circle about the axis is what the camera's own projection says.
func TestACircleOffTheAxisIsChance(t *testing.T) {
	cam := leaning()
	mouth := Rim{Circle: calib.Circle{Centre: calib.Point{X: 30, Y: -20}, R: 22}, Appearance: Appearance{Coverage: 0.95}}
	for _, height := range []float64{-6, -2, 0, 2, 5} {
		on := cam.Carry(calib.Circle{Centre: mouth.Centre, R: 20}, height, 0)
		line, _ := parallax(cam, mouth)
		off := on
		off.Centre = on.Centre.Add(calib.Point{X: -line.Y, Y: line.X}.Mul(0.7))
		for _, c := range []struct {
			circle   calib.Circle
			coverage float64
			chance   bool
		}{{on, 0.5, false}, {off, 0.5, true}, {off, 0.9, false}} {
			rims := []Rim{mouth, {Circle: c.circle, Appearance: Appearance{Coverage: c.coverage}}}
			markChance(cam, rims)
			if rims[0].Within || rims[1].Within != c.chance {
				t.Errorf("height %g: %v taken for chance: %v", height, c.circle, rims[1].Within)
			}
		}
	}
}

// A wall's far end is narrower where a chamfer or draft takes something off it, and no
// opening for that: only what lies farther in is. The circles are what the camera sees of a
// wall so deep.
func TestAChamferedWallsEndIsNoOpening(t *testing.T) {
	cam := leaning()
	mouth := Rim{Circle: calib.Circle{Centre: calib.Point{X: 20, Y: -10}, R: 18}}
	const depth = 3.0
	for _, c := range []struct {
		narrower float64 // in radius
		opening  bool
	}{{0, false}, {0.7, false}, {1.3, true}} {
		end := cam.Carry(calib.Circle{Centre: mouth.Centre, R: mouth.R - c.narrower}, -depth, 0)
		found := mouth.inner([]coaxialEdge{{Circle: end, share: 0.6, rise: -depth, slack: 0.8}}, cam, false)
		if (found != nil) != c.opening {
			t.Errorf("narrower by %.1f mm: taken for an opening: %v", c.narrower, found != nil)
		}
	}
}

// Of a grille that shows all round, a circle in one side of its mesh is chance; one that shows as
// well, or lies about its middle, may be the opening in a recess.
func TestACircleInOneSideOfAGrille(t *testing.T) {
	circle := func(x, r, coverage float64) Rim {
		return Rim{Circle: calib.Circle{Centre: calib.Point{X: x}, R: r}, Appearance: Appearance{Coverage: coverage}}
	}
	grille := circle(0, 14.4, 0.93)
	for name, c := range map[string]struct {
		rim  Rim
		want bool
	}{
		"aside":              {circle(3.5, 10.7, 0.77), true},
		"aside, as plain":    {circle(3.5, 10.7, 0.91), false},
		"about the middle":   {circle(0.5, 10.7, 0.77), false},
		"across the edge":    {circle(6, 10.7, 0.77), false},
		"the grille's own":   {grille, false},
		"a hole, in a guard": {circle(3.5, 4, 0.77), false},
	} {
		if got := c.rim.isContent(grille); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// In a mesh circles of chance lie about the opening's axis, two thirds of whose edge shows: none of them is the mouth in
// a collar. One that shows all round is.
func TestAMeshsChanceCircleIsNoMouth(t *testing.T) {
	t.Parallel()
	cam := leaning()
	middle := calib.Point{X: 1.2, Y: -0.8}
	const edge, inner = 16.0, 13.6
	for _, shows := range []float64{0.67, 1} {
		p := pictured(cam, func(px calib.Point) float64 {
			q := cam.ToPlane(px, 0).Sub(middle)
			along := (math.Atan2(q.Y, q.X)/math.Pi + 1) / 2
			cut := inner
			if along > shows {
				cut = inner - 2.5*math.Sin(math.Pi*(along-shows)/(1-shows)) // as a mesh is cut beside the circle
			}
			switch r := q.Norm(); {
			case r < cut:
				return 0.6
			case r > edge-0.4 && r < edge: // a groove
				return 0.04
			}
			return 0.15
		})
		outer := tracedAll(t, p, cam, middle, edge)
		got := withInside(p, cam, outer, true)
		if mouth := shows == 1; got[0].Collar != mouth || (len(got) > 1) != mouth {
			t.Errorf("%.0f %% of it show: collar %v, %d circles", 100*shows, got[0].Collar, len(got))
		}
	}
}
