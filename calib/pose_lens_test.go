package calib

import (
	"math"
	"math/rand/v2"
	"testing"
)

// rims are circles 6 mm wide on the panel's face, as cam sees them.
func rims(cam Camera, at ...Point) []Traced {
	return rimsOn(cam, func(Point) float64 { return 0 }, at...)
}

// rimsOn are such circles where the face lies at height z from the square's,
// and is taken to lie at 0.
func rimsOn(cam Camera, z func(Point) float64, at ...Point) []Traced {
	var out []Traced
	for _, p := range at {
		out = append(out, Traced{Points: cam.Around(Circle{p, 3}, z(p))})
	}
	return out
}

// drawnFace is the face's height below a sheet whose corners stand off it by
// chance: the plane through them.
func drawnFace(rnd *rand.Rand) func(Point) float64 {
	var mean, slopeX, slopeY float64
	for _, c := range []Point{{-30, 30}, {30, 30}, {30, -30}, {-30, -30}} {
		h := lift * rnd.NormFloat64()
		mean, slopeX, slopeY = mean+h/4, slopeX+h*c.X/3600, slopeY+h*c.Y/3600
	}
	return func(p Point) float64 { return mean + slopeX*p.X + slopeY*p.Y }
}

// cylinder is a sheet curled by rise mm from its middle to the frame, about an
// axis at an angle.
func cylinder(rise, angle float64) func(Point) float64 {
	s, c := math.Sincos(angle)
	return func(p Point) float64 {
		u := (c*p.X + s*p.Y) / 30
		return rise * u * u
	}
}

// drawnCamera is a camera above the panel, and how its square's sheet is bent,
// drawn as the assumptions for a lens of 3100 px say.
func drawnCamera(rnd *rand.Rand) (Camera, func(Point) float64) {
	l := testLens(3100 * (1 + 0.02*rnd.NormFloat64()))
	l.Cx += 12 * rnd.NormFloat64()
	l.Cy += 12 * rnd.NormFloat64()
	l.K1 = AssumedK1U * rnd.NormFloat64()
	bent := cylinder(flatU*rnd.NormFloat64(), 3*rnd.Float64())
	return lookAt(l, Vec3{rnd.Float64()*160 - 80, rnd.Float64()*160 - 80, 400}, Vec3{30, 20, 0}, 6*rnd.Float64()), bent
}

// distanceIsInside tells whether the distance of two circles that cam sees lies
// within its U95 of the truth, as measured with what was solved.
func distanceIsInside(t *testing.T, s *Solution, cam Camera, rnd *rand.Rand) bool {
	t.Helper()
	m, err := Measure(s, rimsOn(cam, drawnFace(rnd), Point{-50, 20}, Point{90, 40}))
	if err != nil {
		t.Fatal(err)
	}
	d, u95 := m.Distance(0, 1)
	return math.Abs(d-math.Hypot(140, 20)) <= u95
}

// The covariance is honest: with everything drawn as the assumptions say, the
// true distance of two circles lies within U95 about 95 times of 100.
func TestPoseCovarianceIsHonest(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(7, 8))
	inside, n := 0, 120
	for range n {
		size := [2]float64{60 + 0.05*rnd.NormFloat64(), 60 + 0.05*rnd.NormFloat64()}
		cam, bent := drawnCamera(rnd)
		s, err := SolvePose([]SquareEdges{bentSquare(cam, 1, Point{}, 0, size, bent, 0.03, 0.1, rnd)}, exact(testLens(3100)))
		if err != nil {
			t.Fatal(err)
		}
		if distanceIsInside(t, s, cam, rnd) {
			inside++
		}
	}
	if share := float64(inside) / float64(n); share < 0.91 || share > 0.985 {
		t.Errorf("the truth lay within U95 in %.0f of 100", 100*share)
	}
}

// Two squares far apart show the lens's distortion: it is solved, says so, and
// the distances are as good as the edges, with no lens file.
func TestTwoSquaresShowTheDistortion(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(9, 10))
	for range 12 {
		l := testLens(3100 * (1 + 0.01*rnd.NormFloat64()))
		l.K1 = -0.05
		cam := lookAt(l, Vec3{110 + 60*rnd.NormFloat64(), 30 * rnd.NormFloat64(), 450}, Vec3{108, 10, 0}, 0.2*rnd.NormFloat64())
		squares := []SquareEdges{
			seenSquare(cam, 1, Point{}, 0, [2]float64{60, 60}, 0.03, 0.1, rnd),
			seenSquare(cam, 2, Point{216, 0}, 0.4, [2]float64{60, 60}, 0.03, 0.1, rnd),
		}
		s, err := SolvePose(squares, exact(testLens(3100)))
		if err != nil {
			t.Fatal(err)
		}
		k1, u, shown := s.K1()
		if math.Abs(k1+0.05) > 3*u || !shown || len(s.LensNotes(FocalExif)) != 1 {
			t.Errorf("k1 is %.4f +-%.4f, shown %v, notes %q", k1, 2*u, shown, s.LensNotes(FocalExif))
		}
		m, err := Measure(s, rims(cam, Point{60, 60}, Point{108, -40}, Point{150, 70}))
		if err != nil {
			t.Fatal(err)
		}
		want := []float64{math.Hypot(48, 100), math.Hypot(90, 10), math.Hypot(42, 110)}
		for i, pair := range [][2]int{{0, 1}, {0, 2}, {1, 2}} {
			d, u95 := m.Distance(pair[0], pair[1])
			if e := math.Abs(d - want[i]); e > 0.10 || e > 1.5*u95 {
				t.Errorf("distance %d is %.3f mm off, U95 %.3f", i, e, u95)
			}
		}
	}
}

// A sheet that does not lie flat bows its square's edges too, but that is not
// the lens's doing.
func TestBentSheetIsNotTakenForDistortion(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(11, 12))
	for _, rise := range []float64{-0.4, 0.15, 0.4} {
		for _, angle := range []float64{0, 0.8, 1.6} {
			cam := lookAt(testLens(3100), Vec3{90, -30, 420}, Vec3{70, 20, 0}, 0.3)
			first := bentSquare(cam, 1, Point{}, 0, [2]float64{60, 60}, cylinder(rise, angle), 0.03, 0.1, rnd)
			second := seenSquare(cam, 2, Point{150, 40}, 0.7, [2]float64{60, 60}, 0.03, 0.1, rnd)
			for _, squares := range [][]SquareEdges{{first}, {first, second}, {second, first}} {
				s, err := SolvePose(squares, exact(testLens(3100)))
				if err != nil {
					t.Fatal(err)
				}
				if k1, u, shown := s.K1(); shown || math.Abs(k1) > 0.01 {
					t.Errorf("%d squares, one curled by %g mm: k1 is %.4f +-%.4f, shown %v", len(squares), rise, k1, 2*u, shown)
				}
			}
		}
	}
}

// Without distortion none is found, and the notes keep quiet.
func TestNoDistortionIsFoundWhereThereIsNone(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(13, 14))
	for range 10 {
		cam := lookAt(testLens(3100), Vec3{90 * rnd.NormFloat64(), 60 * rnd.NormFloat64(), 420}, Vec3{70, 20, 0}, rnd.NormFloat64())
		squares := []SquareEdges{
			seenSquare(cam, 1, Point{}, 0, [2]float64{60, 60}, 0.03, 0.1, rnd),
			seenSquare(cam, 2, Point{150, 40}, 0.7, [2]float64{60, 60}, 0.03, 0.1, rnd),
		}
		s, err := SolvePose(squares, exact(testLens(3100)))
		if err != nil {
			t.Fatal(err)
		}
		if k1, u, shown := s.K1(); shown || math.Abs(k1) > 2*u || len(s.LensNotes(FocalExif)) > 0 {
			t.Errorf("k1 is %.4f +-%.4f, shown %v", k1, 2*u, shown)
		}
	}
}
