package vision

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"trimscribe/calib"
)

// publishedLens is the fit published with OpenCV's photos left01.jpg to
// left14.jpg (left_intrinsics.yml beside them).
var publishedLens = calib.Lens{
	Width: 640, Height: 480, Fx: 535.91573, Fy: 535.91573, Cx: 342.28315, Cy: 235.57083,
	K1: -0.26637, K2: -0.03859, P1: 0.0017831, P2: -0.00028122, K3: 0.23839,
}

// One cell of the published photos' chessboard is taken for the rectangle,
// pointed at a few pixels off, and the board's far corners fall where they are:
// within U95, which for a cell of 25 mm and a corner up to 200 mm away is wide.
func TestOneCellOfABoardCarriesToItsFarCorners(t *testing.T) {
	cell, columns := publishedBoard.Cell, publishedBoard.Columns
	rnd := rand.New(rand.NewPCG(1, 2))
	var ratios, errs, blocks []float64
	for _, p := range publishedBoards(t) {
		at := func(c, r int) calib.Point { return p.corners[r*columns+c] }
		for _, b := range [][4]int{{3, 2, 1, 1}, {4, 2, 1, 1}, {2, 1, 1, 1}, {5, 3, 1, 1}, {2, 1, 4, 3}} { // column, row, width, height in cells
			size := [2]float64{float64(b[2]) * cell, float64(b[3]) * cell}
			told := [4]calib.Point{at(b[0], b[1]), at(b[0]+b[2], b[1]), at(b[0]+b[2], b[1]+b[3]), at(b[0], b[1]+b[3])}
			for k := range told {
				told[k] = told[k].Add(calib.Point{X: 4*rnd.Float64() - 2, Y: 4*rnd.Float64() - 2})
			}
			corners, err := calib.OrderCorners(told, size, publishedLens)
			if err != nil {
				t.Fatalf("%s %v", p.File, err)
			}
			edges, err := TraceRectangle(p.Photo, corners, publishedLens)
			if err != nil {
				t.Errorf("%s, cells %v: it %v", p.File, b, err)
				continue
			}
			s, err := calib.SolvePose([]calib.SquareEdges{edges}, calib.Assumptions{
				Lens: publishedLens, FocalU: 0.002, CentreU: 2, K1U: 0.003, SquareSize: size, SquareSizeU: calib.RectangleSizeU,
			})
			if err != nil {
				t.Errorf("%s, cells %v: %v", p.File, b, err)
				continue
			}
			// In the order of the corners the board may be seen as a mirror image:
			// distances from the rectangle's middle do not mind.
			var far []calib.Traced
			var want []float64
			for _, c := range [][2]int{{0, 0}, {8, 0}, {8, 5}, {0, 5}} {
				var ring []calib.Point
				for k := range 24 {
					sin, cos := math.Sincos(2 * math.Pi * float64(k) / 24)
					ring = append(ring, at(c[0], c[1]).Add(calib.Point{X: 3 * cos, Y: 3 * sin}))
				}
				far = append(far, calib.Traced{Points: ring})
				want = append(want, cell*math.Hypot(float64(c[0])-float64(b[0])-float64(b[2])/2, float64(c[1])-float64(b[1])-float64(b[3])/2))
			}
			m, err := calib.Measure(s, far)
			if err != nil {
				t.Fatal(err)
			}
			for k, c := range m.Circles {
				e, u := math.Abs(c.Centre.Norm()-want[k]), m.PlaceU95(k)
				ratios, errs = append(ratios, e/u), append(errs, e)
				if b[2] > 1 {
					blocks = append(blocks, e)
				}
				if e > 1.5*u {
					t.Logf("%s, cells %v: corner %d is %.2f mm off, U95 %.2f", p.File, b, k, e, u)
				}
			}
		}
	}
	inside := 0
	for _, r := range ratios {
		if r <= 1 {
			inside++
		}
	}
	for _, v := range [][]float64{ratios, errs, blocks} {
		slices.Sort(v)
	}
	n := len(ratios)
	t.Logf("%d of %d within U95; error median %.2f, worst %.2f mm; of blocks %.2f, %.2f; of U95 %.2f, %.2f",
		inside, n, errs[n/2], errs[n-1], blocks[len(blocks)/2], blocks[len(blocks)-1], ratios[n/2], ratios[n-1])
	if inside < n*91/100 || ratios[n*99/100] > 1.5 {
		t.Errorf("%d of %d within U95, 99 of 100 within %.2f of it", inside, n, ratios[n*99/100])
	}
	if m := blocks[len(blocks)/2]; m > 0.5 {
		t.Errorf("from blocks of 4 x 3 cells the far corners are %.2f mm off, median", m)
	}
}

// card draws a rectangle with round corners, mm, as a camera sees it, with
// noise: light is its luminance, ground that of what lies round it, by the
// place on the panel.
func card(cam calib.Camera, size [2]float64, radius float64, light float64, ground func(calib.Point) float64, rnd *rand.Rand) *Photo {
	p := &Photo{Width: cam.Width, Height: cam.Height, Lin: make([]float32, cam.Width*cam.Height)}
	edge := func(q calib.Point) float64 { // distance outside the outline
		x, y := math.Abs(q.X)-size[0]/2+radius, math.Abs(q.Y)-size[1]/2+radius
		return math.Hypot(math.Max(x, 0), math.Max(y, 0)) + math.Min(math.Max(x, y), 0) - radius
	}
	for y := range p.Height {
		for x := range p.Width {
			q := cam.ToPlane(calib.Point{X: float64(x), Y: float64(y)}, 0)
			share := 1 / (1 + math.Exp(edge(q)/0.08)) // a step as soft as a lens makes it
			p.Lin[y*p.Width+x] = float32(share*light + (1-share)*ground(q) + 0.004*rnd.NormFloat64())
		}
	}
	return p
}

// A card's edges are found from corners pointed at roughly, light on dark or
// dark on light, with one side on a ground that it hardly differs from.
func TestTraceRectangle(t *testing.T) {
	size := [2]float64{85.60, 53.98}
	lens := calib.Lens{Width: 1000, Height: 750, Fx: 800, Fy: 800, Cx: 499.5, Cy: 374.5, K1: -0.05}
	r := calib.Rotation(calib.Vec3{X: 0.1, Y: -0.15, Z: 0.3}).Mul(calib.Rotation(calib.Vec3{X: math.Pi}))
	cam := calib.Camera{Lens: lens, Pose: calib.Pose{R: r, T: calib.Vec3{X: 12, Y: -8, Z: 150}}}
	rnd := rand.New(rand.NewPCG(3, 4))
	for _, c := range []struct {
		light  float64
		ground func(calib.Point) float64
	}{
		{0.8, func(calib.Point) float64 { return 0.05 }},
		{0.1, func(calib.Point) float64 { return 0.5 }},
		{0.4, func(q calib.Point) float64 { // dark round it but for the right side, where it is a little lighter
			if q.X > 30 {
				return 0.47
			}
			return 0.1
		}},
	} {
		p := card(cam, size, 3.18, c.light, c.ground, rnd)
		for range 5 {
			var corners [4]calib.Point
			for i, k := range [4]calib.Point{{X: -0.5, Y: 0.5}, {X: 0.5, Y: 0.5}, {X: 0.5, Y: -0.5}, {X: -0.5, Y: -0.5}} {
				at := cam.Project(calib.Vec3{X: k.X * size[0], Y: k.Y * size[1]})
				corners[i] = at.Add(calib.Point{X: 16*rnd.Float64() - 8, Y: 16*rnd.Float64() - 8})
			}
			edges, err := TraceRectangle(p, corners, lens)
			if err != nil {
				t.Fatal(err)
			}
			seen := [4]int{}
			for _, e := range edges.Edges {
				q := cam.ToPlane(e.Px, 0)
				off := [4]float64{q.Y - size[1]/2, q.X - size[0]/2, -q.Y - size[1]/2, -q.X - size[0]/2}[e.Side]
				if math.Abs(off) < 0.06 {
					seen[e.Side]++
				}
			}
			for side, n := range seen {
				if n < 100 {
					t.Errorf("light %g, side %d: only %d points lie on the card's edge", c.light, side, n)
				}
			}
		}
	}
}

// Corners that are no rectangle's get one sentence that says why.
func TestTraceRectangleRefuses(t *testing.T) {
	lens := calib.Lens{Width: 800, Height: 600, Fx: 700, Fy: 700, Cx: 399.5, Cy: 299.5}
	p := &Photo{Width: 800, Height: 600, Lin: make([]float32, 800*600)}
	rnd := rand.New(rand.NewPCG(5, 6))
	for i := range p.Lin {
		p.Lin[i] = float32(0.3 + 0.01*rnd.NormFloat64())
	}
	for _, c := range []struct {
		corners [4]calib.Point
		word    string
	}{
		{[4]calib.Point{{X: 100, Y: 100}, {X: 900, Y: 100}, {X: 900, Y: 300}, {X: 100, Y: 300}}, "900,100"},
		{[4]calib.Point{{X: 100, Y: 100}, {X: 500, Y: 100}, {X: 500, Y: 300}, {X: 100, Y: 300}}, "no straight edge"},
		{[4]calib.Point{{X: 100, Y: 100}, {X: 110, Y: 100}, {X: 110, Y: 108}, {X: 100, Y: 108}}, "too small"},
	} {
		if _, err := TraceRectangle(p, c.corners, lens); err == nil || !strings.Contains(err.Error(), c.word) {
			t.Errorf("%v: %v", c.corners, err)
		}
	}
}
