package calib

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
)

// madePanel is a panel as several cameras see it, with its truth.
type madePanel struct {
	circles []Circle
	heights []float64
	cams    []Camera
	views   []View
	tracks  []Track
}

// madeCircles are three holes on bosses 9 and 7.5 mm high, a collar of 3 mm,
// and a stray hole in the face.
var madeCircles = []struct {
	Circle
	z float64
}{
	{Circle{Point{94, 78}, 2.1}, 9}, {Circle{Point{17, 69}, 2.1}, 9}, {Circle{Point{64, 8}, 2.1}, 7.5},
	{Circle{Point{58, 52}, 22.2}, 3}, {Circle{Point{-44, 44}, 3.2}, 0},
}

// makePanel takes photos of the made panel from cameras leaning by the given
// degrees towards azimuths spread about. The true focal length, size of the
// square and principal points err as the assumptions say.
func makePanel(t *testing.T, rnd *rand.Rand, leans []float64) madePanel {
	t.Helper()
	var p madePanel
	assumed := exact(testLens(3100))
	l := testLens(3100 * (1 + assumed.FocalU*rnd.NormFloat64()))
	size := [2]float64{60 + 0.05*rnd.NormFloat64(), 60 + 0.05*rnd.NormFloat64()}
	turn := 2 * math.Pi * rnd.Float64()
	for i, lean := range leans {
		li := l
		li.Cx += assumed.CentreU * rnd.NormFloat64()
		li.Cy += assumed.CentreU * rnd.NormFloat64()
		s, c := math.Sincos(turn + 2*math.Pi*float64(i)/float64(len(leans)) + 0.6*rnd.Float64())
		target := Vec3{40 + 10*rnd.NormFloat64(), 35 + 10*rnd.NormFloat64(), 0}
		away := 330 + 80*rnd.Float64()
		st, ct := math.Sincos(lean * math.Pi / 180)
		cam := lookAt(li, target.Add(Vec3{away * st * c, away * st * s, away * ct}), target, 2*math.Pi*rnd.Float64())
		sol, err := SolvePose([]SquareEdges{everyFourth(seenSquare(cam, 1, Point{}, 0, size, 0.03, 0.15, rnd))}, assumed)
		if err != nil {
			t.Fatal(err)
		}
		p.cams = append(p.cams, cam)
		p.views = append(p.views, View{Solution: sol, Lens: "one"})
	}
	for _, made := range madeCircles {
		c := made
		c.Circle = lit(c.Circle, rimU(p.cams[0].PxPerMM(c.Centre, c.z)), rnd)
		track := Track{Start: Circle{c.Centre.Add(Point{0.2, -0.1}), c.R}}
		for v, cam := range p.cams {
			tr, seen := Traced{Points: make([]Point, 80)}, lit(c.Circle, rimU(cam.PxPerMM(c.Centre, c.z)), rnd)
			for k := range tr.Points {
				s, co := math.Sincos(2 * math.Pi * float64(k) / float64(len(tr.Points)))
				px := cam.Project(Vec3{seen.Centre.X + seen.R*co, seen.Centre.Y + seen.R*s, c.z})
				tr.Points[k] = px.Add(Point{0.3 * rnd.NormFloat64(), 0.3 * rnd.NormFloat64()})
			}
			track.Sightings = append(track.Sightings, Sighting{v, tr})
		}
		p.tracks = append(p.tracks, track)
		p.circles, p.heights = append(p.circles, made.Circle), append(p.heights, c.z)
	}
	return p
}

// lit is a rim as light shows it: out of place by as much as it is believed to
// be, in every photo alike and in each anew.
func lit(c Circle, u float64, rnd *rand.Rand) Circle {
	c.Centre = c.Centre.Add(Point{rnd.NormFloat64(), rnd.NormFloat64()}.Mul(u))
	c.R += u * rnd.NormFloat64()
	return c
}

func everyFourth(s SquareEdges) SquareEdges {
	for i := range len(s.Edges) / 4 {
		s.Edges[i] = s.Edges[4*i]
	}
	s.Edges = s.Edges[:len(s.Edges)/4]
	return s
}

// Over many made panels the truth lies within U95 in about 95 of 100, for
// heights and for distances (JCGM 100:2008, G.1.3), and the errors are as small
// as they must be for a part to fit.
func TestBundleIsHonest(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(11, 12))
	var heights, distances tally
	for range 40 {
		p := makePanel(t, rnd, []float64{4, 13, 10})
		b, err := SolveBundle(p.views, p.tracks)
		if err != nil {
			t.Fatal(err)
		}
		m := b.Measured()
		for i := range p.circles {
			heights.add(b.Heights[i].Z-p.heights[i], b.HeightU95(i))
			for j := range i {
				d, u95 := m.Distance(i, j)
				distances.add(d-p.circles[i].Centre.Dist(p.circles[j].Centre), u95)
			}
		}
	}
	heights.report(t, "heights", 0.1)
	distances.report(t, "distances", 0.08) // 0.08 is what the squares' size makes of the longest
}

// tally counts errors against their U95.
type tally struct {
	inside, all int
	sum, worst  float64
}

func (y *tally) add(err, u95 float64) {
	y.all++
	if math.Abs(err) <= u95 {
		y.inside++
	}
	y.sum += err * err
	y.worst = math.Max(y.worst, math.Abs(err))
}

// report fails when fewer than 91 or more than 99 of 100 lie within U95, or the
// rms error is over the limit.
func (y *tally) report(t *testing.T, what string, limit float64) {
	t.Helper()
	share := 100 * float64(y.inside) / float64(y.all)
	rms := math.Sqrt(y.sum / float64(y.all))
	t.Logf("%s: %.1f of 100 within U95, rms %.4f mm, worst %.4f mm", what, share, rms, y.worst)
	if share < 91 || share > 99 {
		t.Errorf("%s: %.1f of 100 lie within U95", what, share)
	}
	if rms > limit {
		t.Errorf("%s: the rms error is %.3f mm", what, rms)
	}
}

// Three views of a square and of circles at three heights, as cv2.projectPoints
// shows them, are solved to where cv2.triangulatePoints puts the circles'
// centres (OpenCV 4.6, Debian's python3-opencv; testdata/three-views.json).
func TestBundleAgainstOpenCV(t *testing.T) {
	var made struct {
		Focal        float64      `json:"focal_px"`
		Cx           float64      `json:"cx_px"`
		Cy           float64      `json:"cy_px"`
		Triangulated [][3]float64 `json:"triangulated_mm"`
		Views        []struct {
			Outer [4][2]float64   `json:"outer_px"`
			Inner [4][2]float64   `json:"inner_px"`
			Rims  [][8][2]float64 `json:"rims_px"`
		}
	}
	b, err := os.ReadFile("testdata/three-views.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &made); err != nil {
		t.Fatal(err)
	}
	lens := testLens(made.Focal)
	lens.Cx, lens.Cy = made.Cx, made.Cy
	tracks := make([]Track, len(made.Triangulated))
	var views []View
	for v, view := range made.Views {
		square := SquareEdges{Number: 1}
		for i, c := range view.Outer {
			square.Corners[i] = Point{c[0], c[1]}
		}
		for inner, corners := range [][4][2]float64{view.Outer, view.Inner} {
			for side := range 4 { // Top begins at the top left corner
				from, to := corners[side], corners[(side+1)%4]
				for k := range 64 {
					u := (float64(k) + 0.5) / 64
					square.Edges = append(square.Edges, EdgePoint{Px: Point{from[0] + u*(to[0]-from[0]), from[1] + u*(to[1]-from[1])}, Side: side, Inner: inner == 1})
				}
			}
		}
		s, err := SolvePose([]SquareEdges{square}, exact(lens))
		if err != nil {
			t.Fatal(err)
		}
		views = append(views, View{Solution: s, Lens: "one"})
		for k, rim := range view.Rims {
			tr := Traced{}
			for _, px := range rim {
				tr.Points = append(tr.Points, Point{px[0], px[1]})
			}
			fit, err := fitTraced(s.Camera, tr)
			if err != nil {
				t.Fatal(err)
			}
			tracks[k].Start = fit.Circle
			tracks[k].Sightings = append(tracks[k].Sightings, Sighting{v, tr})
		}
	}
	got, err := SolveBundle(views, tracks)
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range made.Triangulated {
		c, z := got.Circles[k].Centre, got.Heights[k].Z
		if d := math.Hypot(c.Dist(Point{want[0], want[1]}), z-want[2]); d > 0.005 {
			t.Errorf("circle %d: (%.4f, %.4f, %.4f), want %v", k, c.X, c.Y, z, want)
		}
	}
}

// One rim that a photo shows half a millimetre out of place, as where a shadow
// is taken for it, moves its circle hardly, and is known for what it is.
func TestBundlePutsOneBadRimAside(t *testing.T) {
	p := makePanel(t, rand.New(rand.NewPCG(13, 14)), []float64{4, 13, 10, 12})
	good, err := SolveBundle(p.views, p.tracks)
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.tracks[1].Sightings[2].Points {
		p.tracks[1].Sightings[2].Points[i].X += 4
	}
	bad, err := SolveBundle(p.views, p.tracks)
	if err != nil {
		t.Fatal(err)
	}
	if d := good.Circles[1].Centre.Dist(bad.Circles[1].Centre); d > 0.05 {
		t.Errorf("the circle moved by %.3f mm", d)
	}
	if d := math.Abs(good.Heights[1].Z - bad.Heights[1].Z); d > 0.15 {
		t.Errorf("the circle rose by %.3f mm", d)
	}
	if miss := bad.Misses[1]; slices.Index(miss, slices.Max(miss)) != 2 || slices.Max(miss) < 0.3 {
		t.Errorf("the misses are %.3f mm", miss)
	}
}

// Photos from one place tell no height. That must show in U95, and neither
// fail nor move the circles to where a height out of noise would put them.
func TestBundleWithoutParallax(t *testing.T) {
	rnd := rand.New(rand.NewPCG(15, 16))
	p := makePanel(t, rnd, []float64{5})
	p.views = append(p.views, p.views[0])
	for k := range p.tracks {
		again := p.tracks[k].Sightings[0]
		again.View = 1
		p.tracks[k].Sightings = append(p.tracks[k].Sightings, again)
	}
	b, err := SolveBundle(p.views, p.tracks)
	if err != nil {
		t.Fatal(err)
	}
	for k := range p.circles {
		if u := b.HeightU95(k); u < 10 || math.Abs(b.Heights[k].Z-p.heights[k]) > u {
			t.Errorf("circle %d: height %.2f +-%.2f mm", k, b.Heights[k].Z, u)
		}
	}
	// With the height known, the place is as good as in a single photo.
	for k := range p.tracks {
		p.tracks[k].Known = &Height{p.heights[k], 0.05}
	}
	if b, err = SolveBundle(p.views, p.tracks); err != nil {
		t.Fatal(err)
	}
	for k, c := range p.circles {
		if u := b.HeightU95(k); u > 0.11 || b.Circles[k].Centre.Dist(c.Centre) > 0.3 {
			t.Errorf("circle %d: height +-%.2f mm, centre %.3f mm off", k, u, b.Circles[k].Centre.Dist(c.Centre))
		}
	}
}

// What the inputs contribute makes up the whole: the parts of the joint
// covariance add up to what the solver says, and given heights leave less to
// the heights.
func TestBundleBudget(t *testing.T) {
	p := makePanel(t, rand.New(rand.NewPCG(17, 18)), []float64{4, 13, 10})
	b, err := SolveBundle(p.views, p.tracks)
	if err != nil {
		t.Fatal(err)
	}
	_, budget := b.Measured().distance(0, Point{}, 1, Point{})
	for _, g := range []Group{GroupSize, GroupEdges, GroupRim, GroupFocal} {
		if budget[g] <= 0 {
			t.Errorf("%s contributes nothing: %v", g, budget)
		}
	}
	// The square's size is all that sets the scale: 0.05 mm of 60 mm each way, and
	// the mean of both, as its sides' ratio is seen.
	mm := p.circles[0].Centre.Dist(p.circles[1].Centre)
	if got, want := budget[GroupSize], mm*0.05/60/math.Sqrt2; math.Abs(got/want-1) > 0.15 {
		t.Errorf("the square's size contributes %.4f mm to %.0f mm, want about %.4f", got, mm, want)
	}
}
