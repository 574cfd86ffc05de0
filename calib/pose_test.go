package calib

import (
	"math"
	"math/rand/v2"
	"testing"
)

// testLens is a phone's main camera: 12 megapixels, 27 mm equivalent.
func testLens(focal float64) Lens {
	return Lens{Width: 4032, Height: 3024, Fx: focal, Fy: focal, Cx: 2015.5, Cy: 1511.5}
}

// lookAt places a camera at eye, looking at target, turned by roll.
func lookAt(l Lens, eye, target Vec3, roll float64) Camera {
	z := target.Sub(eye)
	z = z.Mul(1 / z.Norm())
	up := Vec3{math.Sin(roll), math.Cos(roll), 0}
	x := z.Cross(up)
	x = x.Mul(1 / x.Norm())
	y := z.Cross(x)
	r := Mat3{{x.X, x.Y, x.Z}, {y.X, y.Y, y.Z}, {z.X, z.Y, z.Z}}
	return Camera{Lens: l, Pose: Pose{R: r, T: r.Apply(eye).Mul(-1)}}
}

// seenSquare is a square's edges as cam sees them, with bloom (mm) and noise
// (px) put on.
func seenSquare(cam Camera, number int, centre Point, turn float64, size [2]float64, bloom, noise float64, rnd *rand.Rand) SquareEdges {
	return bentSquare(cam, number, centre, turn, size, func(Point) float64 { return 0 }, bloom, noise, rnd)
}

// bentSquare is seenSquare on a sheet that stands up to bent(p) mm above its
// plane, p being in the square's own frame.
func bentSquare(cam Camera, number int, centre Point, turn float64, size [2]float64, bent func(Point) float64, bloom, noise float64, rnd *rand.Rand) SquareEdges {
	s := SquareEdges{Number: number}
	c, sn := math.Cos(turn), math.Sin(turn)
	place := func(x, y float64) Vec3 {
		return Vec3{centre.X + c*x - sn*y, centre.Y + sn*x + c*y, bent(Point{x, y})}
	}
	for i, k := range [4]Point{{-0.5, 0.5}, {0.5, 0.5}, {0.5, -0.5}, {-0.5, -0.5}} {
		s.Corners[i] = cam.Project(place(k.X*size[0], k.Y*size[1])).Add(Point{2, -1})
	}
	for side := range 4 {
		for _, inner := range []bool{false, true} {
			half, sign := 0.5, 1.0
			if inner {
				half, sign = 0.4, -1
			}
			for i := range 200 {
				t := -0.9*half + 1.8*half*(float64(i)+0.5)/200
				var q Vec3
				switch side {
				case Top:
					q = place(t*size[0], half*size[1]+sign*bloom)
				case Right:
					q = place(half*size[0]+sign*bloom, t*size[1])
				case Bottom:
					q = place(t*size[0], -half*size[1]-sign*bloom)
				case Left:
					q = place(-half*size[0]-sign*bloom, t*size[1])
				}
				px := cam.Project(q)
				px.X += noise * rnd.NormFloat64()
				px.Y += noise * rnd.NormFloat64()
				s.Edges = append(s.Edges, EdgePoint{Px: px, Side: side, Inner: inner})
			}
		}
	}
	return s
}

func exact(l Lens) Assumptions {
	return Assumptions{Lens: l, FocalU: 0.02, SquareSize: [2]float64{60, 60}, SquareSizeU: 0.05, CentreU: 12, K1U: AssumedK1U}
}

// A camera is found again from the edges it would see, at any tilt and turn,
// and puts the pixels back where they were.
func TestPoseThenProjectionGivesThePixelsBack(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 30 {
		cam := lookAt(testLens(3100), Vec3{rnd.Float64()*300 - 150, rnd.Float64()*300 - 150, 300 + 200*rnd.Float64()},
			Vec3{rnd.Float64()*80 - 40, rnd.Float64()*80 - 40, 0}, 2*math.Pi*rnd.Float64())
		edges := seenSquare(cam, 1, Point{}, 0, [2]float64{60, 60}, 0.045, 0, rnd)
		s, err := SolvePose([]SquareEdges{edges}, exact(testLens(3100)))
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range []Vec3{{0, 0, 0}, {100, 50, 0}, {-60, 90, 0}, {30, -80, 0}} {
			want, got := cam.Project(q), s.Camera.Project(q)
			if d := want.Dist(got); d > 0.02 {
				t.Errorf("tilt %.1f: %v is %.4f px off", cam.Tilt()*180/math.Pi, q, d)
			}
		}
	}
}

// Ink spread and blur move the frame's two edges in opposite directions; the
// measure must not follow them.
func TestBloomDoesNotMoveTheMeasure(t *testing.T) {
	cam := lookAt(testLens(3100), Vec3{20, -60, 400}, Vec3{20, 20, 0}, 0.3)
	at := cam.Project(Vec3{100, 60, 0})
	var seen []Point
	for _, bloom := range []float64{0, -0.15, 0.15} {
		rnd := rand.New(rand.NewPCG(3, 4)) // the same noise each time
		s, err := SolvePose([]SquareEdges{seenSquare(cam, 1, Point{}, 0, [2]float64{60, 60}, bloom, 0.02, rnd)}, exact(testLens(3100)))
		if err != nil {
			t.Fatal(err)
		}
		seen = append(seen, s.Camera.ToPlane(at, 0))
		if d := seen[len(seen)-1].Dist(Point{100, 60}); d > 0.05 {
			t.Errorf("bloom %.2f mm: a point 117 mm away is %.4f mm off", bloom, d)
		}
		if d := seen[len(seen)-1].Dist(seen[0]); d > 0.003 {
			t.Errorf("bloom %.2f mm moved a point 117 mm away by %.4f mm", bloom, d)
		}
		if math.Abs(s.Squares[0].Bloom-bloom) > 0.01 {
			t.Errorf("bloom %.2f mm was found as %.4f", bloom, s.Squares[0].Bloom)
		}
	}
}

// The start is the first square's corners alone, and puts one at the other end of the panel some
// pixels off, though all of its points are good. Of less than half of all points a robust fit thinks that they are not.
func TestASecondSquareFarFromTheStartIsHeld(t *testing.T) {
	cam := lookAt(testLens(3100), Vec3{-60, -40, 460}, Vec3{-70, -60, 0}, 2.8)
	cam.K1 = 0.04
	for _, seed := range []uint64{1, 2, 19} {
		rnd := rand.New(rand.NewPCG(9, seed))
		const off = 0.45 // px, as where a corner is blurred
		edges := []SquareEdges{
			seenSquare(cam, 1, Point{}, 0, [2]float64{60, 60}, 0.03, 0.03, rnd),
			seenSquare(cam, 2, Point{-188, -140}, 3.9, [2]float64{60, 60}, 0.03, 0.03, rnd),
		}
		for k := range 4 {
			edges[0].Corners[k] = edges[0].Corners[k].Add(Point{off * rnd.NormFloat64(), off * rnd.NormFloat64()})
		}
		edges[1].Edges = edges[1].Edges[:len(edges[1].Edges)-4]
		s, err := SolvePose(edges, exact(testLens(3100)))
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		at := Vec3{-90, -57, 0}
		if d := s.Camera.ToPlane(cam.Project(at), 0).Dist(Point{at.X, at.Y}); d > 0.1 || s.EdgeSeen < len(edges[0].Edges)+len(edges[1].Edges)/2 {
			t.Errorf("seed %d: a point between the squares is %.3f mm off, %d edge points were used", seed, d, s.EdgeSeen)
		}
	}
}

// A second square anywhere on the face is placed, and steadies the first.
func TestTwoSquaresAreSolvedTogether(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	cam := lookAt(testLens(3100), Vec3{60, -40, 420}, Vec3{70, 20, 0}, 0.1)
	edges := []SquareEdges{
		seenSquare(cam, 1, Point{}, 0, [2]float64{60, 60}, 0.03, 0.03, rnd),
		seenSquare(cam, 2, Point{150, 40}, 0.7, [2]float64{60, 60}, 0.03, 0.03, rnd),
	}
	s, err := SolvePose(edges, exact(testLens(3050)))
	if err != nil {
		t.Fatal(err)
	}
	q := s.Squares[1]
	if q.Centre.Dist(Point{150, 40}) > 0.02 || math.Abs(q.Turn-0.7) > 2e-4 {
		t.Errorf("square 2 was placed at %v, turned %.5f", q.Centre, q.Turn)
	}
}
