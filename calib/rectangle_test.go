package calib

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// However a rectangle's corners are told, its frame is right-handed with z
// towards the camera, and x lies along the side that has the first length.
func TestOrderCorners(t *testing.T) {
	a, b, c, d := Point{100, 100}, Point{956, 110}, Point{950, 645}, Point{95, 640} // clockwise from the top left, as seen
	lens := testLens(3100)
	card := [2]float64{85.60, 53.98}
	for _, told := range []struct {
		corners [4]Point
		size    [2]float64
		want    [4]Point
	}{
		{[4]Point{a, b, c, d}, card, [4]Point{a, b, c, d}},
		{[4]Point{b, c, d, a}, card, [4]Point{c, d, a, b}}, // upside down: x from the second corner on
		{[4]Point{a, d, c, b}, card, [4]Point{a, b, c, d}}, // anticlockwise
		{[4]Point{d, c, b, a}, card, [4]Point{a, b, c, d}},
		{[4]Point{a, b, c, d}, [2]float64{53.98, 85.60}, [4]Point{b, c, d, a}},
	} {
		got, err := OrderCorners(told.corners, told.size, lens)
		if err != nil {
			t.Errorf("%v: %v", told.corners, err)
			continue
		}
		if told.corners == [4]Point{a, d, c, b} { // from a down, along the short side, so x is from d to c
			told.want = [4]Point{a, b, c, d}
		}
		if got != told.want {
			t.Errorf("%v of %v: %v, want %v", told.corners, told.size, got, told.want)
		}
	}
	for _, bad := range []struct {
		corners [4]Point
		size    [2]float64
		word    string
	}{
		{[4]Point{a, c, b, d}, card, "order"},
		{[4]Point{a, a, c, d}, card, "order"},
		{[4]Point{a, b, c, {500, 300}}, card, "order"},
		{[4]Point{a, b, c, d}, [2]float64{200, 30}, "200 x 30"},
	} {
		if _, err := OrderCorners(bad.corners, bad.size, lens); err == nil || !strings.Contains(err.Error(), bad.word) {
			t.Errorf("%v: %v", bad.corners, err)
		}
	}
}

// A rectangle's size and its edges' bloom are all that carries its scale, and
// U95 says so: with both drawn as the assumptions say, the truth lies within it
// about 95 times of 100.
func TestRectangleIsHonest(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(17, 18))
	inside, n := 0, 100
	for range n {
		size := [2]float64{85.60 + RectangleSizeU*rnd.NormFloat64(), 53.98 + RectangleSizeU*rnd.NormFloat64()}
		cam, bent := drawnCamera(rnd)
		square := SquareEdges{Rectangle: true}
		for i, k := range [4]Point{{-0.5, 0.5}, {0.5, 0.5}, {0.5, -0.5}, {-0.5, -0.5}} {
			square.Corners[i] = cam.Project(Vec3{k.X * size[0], k.Y * size[1], 0}).Add(Point{1, -2})
		}
		bloom := math.Hypot(rectangleBloomU, rectangleBloomUPx/cam.PxPerMM(Point{}, 0)) * rnd.NormFloat64()
		for side := range 4 {
			out := outward[side]
			for i := range 200 {
				along := (float64(i)/199 - 0.5) * 0.85 * size[side%2]
				across := size[(side+1)%2]/2 + bloom
				p := Point{across*out.X - along*out.Y, across*out.Y + along*out.X}
				px := cam.Project(Vec3{p.X, p.Y, bent(p)})
				px = px.Add(Point{0.1 * rnd.NormFloat64(), 0.1 * rnd.NormFloat64()})
				square.Edges = append(square.Edges, EdgePoint{Px: px, Side: side})
			}
		}
		a := exact(testLens(3100))
		a.SquareSize, a.SquareSizeU = [2]float64{85.60, 53.98}, RectangleSizeU
		s, err := SolvePose([]SquareEdges{square}, a)
		if err != nil {
			t.Fatal(err)
		}
		if distanceIsInside(t, s, cam, rnd) {
			inside++
		}
	}
	if share := float64(inside) / float64(n); share < 0.91 || share > 0.99 {
		t.Errorf("the truth lay within U95 in %.0f of 100", 100*share)
	}
}
