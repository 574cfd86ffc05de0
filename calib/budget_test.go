package calib

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// JCGM 100:2008, H.1 (an end gauge; memory): the components of table H.1 in nm,
// and its combined standard uncertainty of 32 nm. The two with no first-order
// contribution are left out.
func TestBudgetAgainstGumH1(t *testing.T) {
	b := Budget{GroupSize: 25, GroupEdges: 9.7, GroupFocal: 2.9, GroupHeight: 16.6}
	if u := b.U(); math.Abs(u-32) > 0.5 {
		t.Errorf("u = %.2f nm, and the GUM has 32", u)
	}
	shares := 0.0
	for g := range b {
		shares += b.Share(g)
	}
	if math.Abs(shares-1) > 1e-12 || math.Abs(b.Share(GroupSize)-25*25/(b.U()*b.U())) > 1e-12 {
		t.Errorf("the shares add up to %g", shares)
	}
}

// JCGM 100:2008, H.2 (resistance, reactance and impedance from voltage, current
// and phase that are correlated; memory): R = V/I cos φ, X = V/I sin φ, Z = V/I,
// with tables H.3 and H.4.
func TestPropagateAgainstGumH2(t *testing.T) {
	v, i, phi := 4.9990, 19.6610e-3, 1.04446
	u := [3]float64{0.0032, 0.0095e-3, 0.00075}
	r := [3][3]float64{{1, -0.36, 0.86}, {-0.36, 1, -0.65}, {0.86, -0.65, 1}}
	cov := mat.NewSymDense(3, nil)
	for a := range 3 {
		for b := range 3 {
			cov.SetSym(a, b, r[a][b]*u[a]*u[b])
		}
	}
	sin, cos := math.Sincos(phi)
	z := v / i
	got := propagate(mat.NewDense(3, 3, []float64{
		cos / i, -z / i * cos, -z * sin,
		sin / i, -z / i * sin, z * cos,
		1 / i, -z / i, 0,
	}), cov)
	for k, want := range []float64{0.071, 0.295, 0.236} {
		if s := math.Sqrt(got.At(k, k)); math.Abs(s-want) > 0.0011 {
			t.Errorf("u of %c = %.4f, want %.3f", "RXZ"[k], s, want)
		}
	}
	for _, c := range []struct {
		a, b int
		want float64
	}{{0, 1, -0.588}, {0, 2, -0.485}, {1, 2, 0.993}} {
		got := got.At(c.a, c.b) / math.Sqrt(got.At(c.a, c.a)*got.At(c.b, c.b))
		if math.Abs(got-c.want) > 0.011 {
			t.Errorf("r(%c, %c) = %.3f, want %.3f", "RXZ"[c.a], "RXZ"[c.b], got, c.want)
		}
	}
}

// The radius about a place: 1.960 when it errs along a line, 2.4477 (the root of
// chi squared's 95 % point for two degrees of freedom, 5.991; any table) when it
// errs alike in all directions, and in between by drawing.
func TestPlaceRadius(t *testing.T) {
	if r := radius95(1, 1); math.Abs(r-2.4477) > 1e-3 {
		t.Errorf("round: %.4f", r)
	}
	if r := radius95(2, 0); math.Abs(r-2*1.95996) > 0.02 {
		t.Errorf("on a line: %.4f", r)
	}
	rnd := rand.New(rand.NewPCG(1, 1))
	inside, r := 0, radius95(1, 0.6)
	for range 40000 {
		if math.Hypot(rnd.NormFloat64(), 0.6*rnd.NormFloat64()) < r {
			inside++
		}
	}
	if math.Abs(float64(inside)/40000-0.95) > 0.004 {
		t.Errorf("%d of 40000 inside", inside)
	}
}

// solvedAskew is a square seen from one side, solved, and the camera that saw it.
func solvedAskew(t *testing.T) (*Solution, Camera) {
	t.Helper()
	rnd := rand.New(rand.NewPCG(9, 9))
	cam := lookAt(testLens(3100), Vec3{40, -70, 400}, Vec3{20, 20, 0}, 0.4)
	s, err := SolvePose([]SquareEdges{seenSquare(cam, 1, Point{}, 0, [2]float64{60, 60}, 0.03, 0.1, rnd)}, exact(testLens(3100)))
	if err != nil {
		t.Fatal(err)
	}
	return s, cam
}

// What a trace leaves open is in the circle's place and size, and in its rim's share of the budget.
func TestTraceIsLessSure(t *testing.T) {
	s, cam := solvedAskew(t)
	sure := Traced{Points: cam.Around(Circle{Point{60, 0}, 3}, 0)}
	loose := sure
	loose.TraceU = 0.2
	m, err := Measure(s, []Traced{sure, loose})
	if err != nil {
		t.Fatal(err)
	}
	for name, budget := range map[string]func(i int) Budget{"place": m.PlaceBudget, "diameter": m.DiameterBudget} {
		a, b := budget(0), budget(1)
		want := 0.2
		if name == "diameter" {
			want = 0.4 // twice the radius
		}
		if more := math.Sqrt(b.U()*b.U() - a.U()*a.U()); math.Abs(more-want) > 0.002 {
			t.Errorf("%s: u grows by %.3f, want %.3f", name, more, want)
		}
		if b[GroupRim] < want {
			t.Errorf("%s: the rim's share is %.3f", name, b[GroupRim])
		}
	}
}

// How a circle follows its height, against doing it: the pixels of its rim taken
// to a plane a little higher.
func TestHeightShift(t *testing.T) {
	cam := lookAt(testLens(3100), Vec3{40, -70, 400}, Vec3{20, 20, 0}, 0.4)
	c, z := Circle{Point{80, 30}, 20}, 5.0
	var up []Point
	const h = 0.2
	for _, px := range cam.Around(c, z) {
		up = append(up, cam.ToPlane(px, z+h))
	}
	fit, err := FitCircle(up)
	if err != nil {
		t.Fatal(err)
	}
	s := cam.Shift(c, z)
	if d := fit.Centre.Sub(c.Centre).Mul(1 / h).Sub(Point{s.X, s.Y}); d.Norm() > 1e-6 || math.Abs(2*(fit.R-c.R)/h-s.Diameter) > 1e-6 {
		t.Errorf("off by %v and %g", d, 2*(fit.R-c.R)/h-s.Diameter)
	}
	// H/(H-h), pinhole geometry: a face 8 mm high seen from 400 mm.
	straight := lookAt(testLens(3100), Vec3{0, 0, 400}, Vec3{0, 0, 0}, 0)
	s = straight.Shift(Circle{Point{60, 0}, 4}, 0)
	if math.Abs(8*-s.X-1.2) > 0.01 {
		t.Errorf("8 mm of height move it by %.3f mm", 8*-s.X)
	}
}

// The lie of one sheet by hand: with four corners that stand off by u each, the
// middle's height is known to u/2, and the slope to u over the side.
func TestLieOfOneSheet(t *testing.T) {
	l := lieOf([]PlacedSquare{{Size: [2]float64{60, 60}}})
	if v := l.cov(Point{}, Point{}); math.Abs(math.Sqrt(v)-lift/2) > 1e-9 {
		t.Errorf("middle: %g", math.Sqrt(v))
	}
	slope := math.Sqrt(l.cov(Point{100, 0}, Point{100, 0}) - l.cov(Point{}, Point{}))
	if math.Abs(slope-100*lift/60) > 1e-9 {
		t.Errorf("100 mm beside it: %g", slope)
	}
	two := lieOf([]PlacedSquare{{Size: [2]float64{60, 60}}, {Centre: Point{200, 0}, Size: [2]float64{60, 60}}})
	if two.cov(Point{100, 0}, Point{100, 0}) > l.cov(Point{100, 0}, Point{100, 0})/4 {
		t.Error("a second square far off steadies the face too little")
	}
}

// A sheet with one corner lifted: by least squares on its corners it is twisted by a
// quarter of that, and leans. The budget, which is told how far the twisted frame
// stands off its mean plane alone, must have the lean in it.
func TestABentSheetLeans(t *testing.T) {
	const h, side = 1.2, 60.0
	bent := []PlacedSquare{{Size: [2]float64{side, side}, Warp: h / 4 / math.Sqrt(3)}}
	flat := []PlacedSquare{{Size: [2]float64{side, side}}}
	for _, at := range []Point{{100, 0}, {0, -80}, {-70, 70}} {
		// The plane through corners at 0, 0, 0 and h: h/4 in the middle, h/2 across the side.
		stands := math.Abs(h/4 + h/2/side*(at.X+at.Y))
		u := math.Sqrt(lieOf(bent).cov(at, at))
		if stands > 2*u || u > 20*math.Sqrt(lieOf(flat).cov(at, at)) {
			t.Errorf("at %v the face stands off by %.2f mm, said to be +-%.2f", at, stands, 2*u)
		}
	}
	if u, want := math.Sqrt(lieOf(bent).cov(Point{}, Point{})), math.Hypot(lift, warpLeans*bent[0].Warp)/2; math.Abs(u-want) > 1e-9 {
		t.Errorf("middle: %g, want %g", u, want)
	}
}

// What the inputs contribute adds up to the covariance of the pose.
func TestContributionsAddUp(t *testing.T) {
	s, _ := solvedAskew(t)
	for i := range s.x {
		for j := range s.x {
			sum := 0.0
			for _, p := range s.parts {
				sum += p.At(i, j)
			}
			whole := math.Sqrt(s.cov.At(i, i) * s.cov.At(j, j))
			if math.Abs(sum-s.cov.At(i, j)) > 1e-6*whole {
				t.Fatalf("%d, %d: %g of %g", i, j, sum, s.cov.At(i, j))
			}
		}
	}
	// The photo tells the sides' ratio a little, and nothing of their mean.
	size := s.parts[GroupSize]
	mean := (size.At(iSize, iSize) + 2*size.At(iSize, iSize+1) + size.At(iSize+1, iSize+1)) / 4
	if u := math.Sqrt(mean); math.Abs(u-0.05/math.Sqrt2) > 0.0005 {
		t.Errorf("the mean of two sides known to 0.05 each is known to %.4f", u)
	}
}
