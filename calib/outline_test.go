package calib

import (
	"math"
	"math/rand/v2"
	"testing"
)

var someOutlines = []Outline{
	{Shape: ShapeSlot, Centre: Point{12, -7}, Turn: 0.4, Half: [2]float64{3.7, 2.4}},
	{Shape: ShapeD, Centre: Point{-3, 8}, Turn: 2.1, Half: [2]float64{3.1, 2.2}},
	{Shape: ShapeRectangle, Centre: Point{40, 2}, Turn: -1.2, Half: [2]float64{8, 3.5}, Corner: 0.6},
	{Shape: ShapeOval, Centre: Point{92, 44}, Turn: 0.31, Half: [2]float64{31, 22}},
	{Shape: ShapeRoundedSquare, Centre: Point{30, 86}, Turn: 0.21, Half: [2]float64{23.5, 23}, Corner: 10},
}

// The path encloses the area that the handbook's formula gives for the shape
// (stadium, circular segment, rounded rectangle, ellipse), about the centroid
// that symmetry or the segment's formula gives.
func TestOutlineArea(t *testing.T) {
	for _, o := range someOutlines {
		a, b, r := o.Half[0], o.Half[1], o.Corner
		var want float64
		at := o.Centre
		switch o.Shape {
		case ShapeSlot:
			want = math.Pi*b*b + 4*(a-b)*b
		case ShapeD:
			half := math.Acos(b / a)
			segment := a * a / 2 * (2*half - math.Sin(2*half))
			want = math.Pi*a*a - segment
			// A segment's centroid lies 2 a sin³(half) / (3 (half - sin half cos half)) out.
			out := 2 * a * math.Pow(math.Sin(half), 3) / (3 * (half - math.Sin(half)*math.Cos(half)))
			s, c := math.Sincos(o.Turn)
			at = at.Sub(Point{c, s}.Mul(out * segment / want))
		case ShapeOval:
			want = math.Pi * a * b
		default:
			want = 4*a*b - (4-math.Pi)*r*r
		}
		area, centroid := o.Area()
		if math.Abs(area/want-1) > 1e-3 || centroid.Dist(at) > 2e-3*a {
			t.Errorf("%s: area %.4f about %v, want %.4f about %v", o.Shape, area, centroid, want, at)
		}
	}
}

// Path, distance and stations tell of one curve: each station lies on it, a step
// along its normal is as far outside as the step is long, and the stations are
// evenly spaced.
func TestOutlineIsOneCurve(t *testing.T) {
	free, err := FitOutline(boundary(someOutlines[3], 300, 0, nil), Outline{Shape: ShapeFree, Centre: Point{90, 45}}, 1e-4)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range append([]Outline{free.Outline}, someOutlines...) {
		size := math.Max(o.Round().R, 1)
		stations := o.Stations(200)
		if len(stations) != 200 {
			t.Fatalf("%s: %d stations", o.Shape, len(stations))
		}
		for i, s := range stations {
			if d := o.Distance(s.At); math.Abs(d) > 2e-3*size {
				t.Errorf("%s: station %d lies %.4f mm off", o.Shape, i, d)
			}
			// At a corner's edge the way out is not the nearest.
			if d := o.Distance(s.At.Add(s.Out.Mul(0.05 * size))); math.Abs(d/(0.05*size)-1) > 0.05 && o.Shape != ShapeD {
				t.Errorf("%s: station %d: a step of %.3f out is %.3f out", o.Shape, i, 0.05*size, d)
			}
			if d := s.At.Dist(stations[(i+1)%200].At); d > 2*s.At.Dist(stations[(i+199)%200].At)+0.1*size {
				t.Errorf("%s: a gap of %.3f at station %d", o.Shape, d, i)
			}
		}
	}
}

// boundary is n points on an outline, off it by normal noise.
func boundary(o Outline, n int, noise float64, rnd *rand.Rand) []Point {
	var pts []Point
	for _, s := range o.Stations(n) {
		d := 0.0
		if rnd != nil {
			d = noise * rnd.NormFloat64()
		}
		pts = append(pts, s.At.Add(s.Out.Mul(d)))
	}
	return pts
}

// A fit to noisy points, a tenth of them anywhere, comes back to the outline
// that they were made from.
func TestFitOutlineComesBack(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for _, o := range someOutlines {
		for range 10 {
			size := o.Half[1]
			pts := boundary(o, 200, 0.003*size, rnd)
			for i := 0; i < len(pts); i += 10 {
				pts[i] = pts[i].Add(Point{rnd.Float64() - 0.5, rnd.Float64() - 0.5}.Mul(0.5 * size))
			}
			start := o
			start.Centre = start.Centre.Add(Point{0.1 * size, -0.08 * size})
			start.Turn += 0.08
			start.Half[0] *= 1.06
			start.Half[1] *= 0.95
			start.Corner *= 0.8
			fit, err := FitOutline(pts, start, 1e-4)
			if err != nil {
				t.Errorf("%s: %v", o.Shape, err)
				continue
			}
			long, short := fit.Widths()
			wantLong, wantShort := o.Widths()
			if fit.Centre.Dist(o.Centre) > 0.002*size || math.Abs(long-wantLong) > 0.006*size || math.Abs(short-wantShort) > 0.006*size {
				t.Errorf("%s: centre %.4f off, widths %.4f and %.4f off, of %g", o.Shape, fit.Centre.Dist(o.Centre), long-wantLong, short-wantShort, 2*size)
			}
		}
	}
}

// A triangle with rounded corners is a free outline; its centre is the
// centroid of its area, which by symmetry is the triangle's own.
func TestFreeOutlineCentroid(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	const round, side = 9.0, 20.0 // the corners' radius, their centres' distance from the middle
	var pts []Point
	for k := range 3 {
		s, c := math.Sincos(2*math.Pi*float64(k)/3 + 0.3)
		corner := Point{30 + side*c, -10 + side*s}
		for i := range 40 {
			s, c := math.Sincos(2*math.Pi*float64(k)/3 + 0.3 + math.Pi/3*(float64(i)/20-1))
			pts = append(pts, corner.Add(Point{c, s}.Mul(round+0.02*rnd.NormFloat64())))
		}
		s2, c2 := math.Sincos(2*math.Pi*float64(k+1)/3 + 0.3)
		next := Point{30 + side*c2, -10 + side*s2}
		out := Point{math.Cos(2*math.Pi*float64(k)/3 + 0.3 + math.Pi/3), math.Sin(2*math.Pi*float64(k)/3 + 0.3 + math.Pi/3)}
		for i := 1; i < 40; i++ {
			at := corner.Add(next.Sub(corner).Mul(float64(i) / 40))
			pts = append(pts, at.Add(out.Mul(round+0.02*rnd.NormFloat64())))
		}
	}
	fit, err := FitOutline(pts, Outline{Shape: ShapeFree, Centre: Point{33, -8}}, 1e-3)
	if err != nil {
		t.Fatal(err)
	}
	if d := fit.Centre.Dist(Point{30, -10}); d > 0.05 {
		t.Errorf("centroid %.3f mm off", d)
	}
	// The area of a triangle grown by a radius (Steiner): A + P r + pi r².
	edge := side * math.Sqrt(3)
	want := math.Sqrt(3)/4*edge*edge + 3*edge*round + math.Pi*round*round
	if area, _ := fit.Area(); math.Abs(area/want-1) > 0.003 {
		t.Errorf("area %.1f, want %.1f", area, want)
	}
}

// What a survey says of a shape is enough to draw it again.
func TestFeatureKeepsItsOutline(t *testing.T) {
	free, err := FitOutline(boundary(someOutlines[4], 300, 0, nil), Outline{Shape: ShapeFree, Centre: Point{30, 86}}, 1e-4)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range append([]Outline{free.Outline}, someOutlines...) {
		f := Feature{X: o.Centre.X, Y: o.Centre.Y, DiameterU95: 0.04}
		f.addOutline(o, [2]float64{0.002, 0.001})
		back, ok := f.Outline()
		if !ok {
			t.Fatalf("%s: no outline", o.Shape)
		}
		for _, s := range o.Stations(60) {
			if d := back.Distance(s.At); math.Abs(d) > 3e-3*o.Round().R {
				t.Errorf("%s: %.4f mm off", o.Shape, d)
				break
			}
		}
	}
	if _, ok := (Feature{Diameter: 4}).Outline(); ok {
		t.Error("a round feature has an outline")
	}
}

// A tweeter's body is what the holes lie about; the grille round it is reported
// too. Two bodies as likely, or none, are doubts.
func TestChooseAboutABody(t *testing.T) {
	cands := append(about([3]float64{10, 40, 4.2}, [3]float64{200, 42, 4.2}),
		Candidate{Circle: Circle{Point{0.5, 0.1}, 21.6}, Kind: KindTweeter, Quality: 5})
	got := Choose(cands, Hints{Tweeter: 43.2})
	if !got.Mocked || got.Tweeter != 3 || got.Grille != 0 || len(got.Holes) != 2 || len(got.Doubts) > 0 {
		t.Errorf("got %+v", got)
	}
	if len(got.Why) != len(cands) {
		t.Errorf("%d of %d candidates explained", len(got.Why), len(cands))
	}
	twice := append(cands, Candidate{Circle: Circle{Point{3, 0}, 21.6}, Kind: KindTweeter, Quality: 4})
	if got := Choose(twice, Hints{Tweeter: 43.2}); len(got.Doubts) == 0 {
		t.Error("two bodies are as likely, and no doubt is said")
	}
	if got := Choose(twice, Hints{Tweeter: 43.2, Pick: []int{4}}); got.Tweeter != 4 || len(got.Doubts) > 0 {
		t.Errorf("picked: %+v", got)
	}
	if got := Choose(cands[:3], Hints{Tweeter: 43.2}); got.Mocked || len(got.Doubts) == 0 {
		t.Errorf("no body: %+v", got)
	}
}

// A grille whose outline is partly guessed at is a doubt, until it is picked.
func TestChooseDoubtsAnOutlineHalfSeen(t *testing.T) {
	for quality, doubt := range map[float64]bool{6: false, 3.5: true} {
		cands := about([3]float64{10, 40, 4.2}, [3]float64{200, 42, 4.2})
		cands[0].Outline = &Outline{Shape: ShapeOval, Half: [2]float64{30, 22}}
		cands[0].Quality = quality
		if got := Choose(cands, Hints{}); (len(got.Doubts) > 0) != doubt {
			t.Errorf("quality %g: doubts %q", quality, got.Doubts)
		}
		if got := Choose(cands, Hints{Pick: []int{0}}); len(got.Doubts) > 0 {
			t.Errorf("quality %g, picked: doubts %q", quality, got.Doubts)
		}
	}
}

// An oblong hole goes with a round one as wide; a clip's long slot does not, and
// a slot that hardly shows is not taken in silence.
func TestChooseSlots(t *testing.T) {
	with := func(long, quality float64) []Candidate {
		cands := about([3]float64{10, 40, 4.2}, [3]float64{190, 41, 4.2})
		cands[2].Outline = &Outline{Shape: ShapeSlot, Centre: cands[2].Centre, Half: [2]float64{long / 2, 2.1}}
		cands[2].Quality = quality
		return cands
	}
	for name, c := range map[string]struct {
		cands  []Candidate
		hints  Hints
		holes  int
		doubts bool
	}{
		"so many holes":     {with(6.5, 4), Hints{Holes: 2}, 2, false},
		"picked":            {with(6.5, 1), Hints{Pick: []int{1, 2}}, 2, false},
		"hardly seen":       {with(6.5, 1), Hints{Holes: 2}, 2, true},
		"a clip's, no hint": {with(16, 4), Hints{}, 2, true},
	} {
		got := Choose(c.cands, c.hints)
		if (len(got.Doubts) > 0) != c.doubts || !c.doubts && len(got.Holes) != c.holes {
			t.Errorf("%s: holes %v, doubts %q", name, got.Holes, got.Doubts)
		}
	}
}
