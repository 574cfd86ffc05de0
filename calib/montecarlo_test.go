package calib

import (
	"flag"
	"maps"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"testing"
)

// sweep runs the long versions of what draws made scenes: go test ./calib -run Made -sweep.
var sweep = flag.Bool("sweep", false, "draw made scenes by the thousand")

// A madeScene is a square and some circles as a camera would see them, with
// every input of the uncertainty drawn from what is said of it. The user knows
// none of the draws.
type madeScene struct {
	edges  SquareEdges
	a      Assumptions
	traced []Traced
	truth  []Circle // as they are on the panel
}

// draw says by how much each input is off: the size of what is drawn, in its own
// standard uncertainties. 0 leaves an input out.
type draw map[Group]float64

var everything = draw{
	GroupEdges: 1, GroupSize: 1, GroupFlat: 1, GroupBloom: 1, GroupFocal: 1, GroupCentre: 1,
	GroupDistortion: 1, GroupHeight: 1, GroupRim: 1, GroupLight: 1,
}

const (
	madeSizeBound   = 0.1 // mm, of a rectangular distribution
	madeHeightBound = 0.2
)

// What is known of the lens of a photo as most are.
func exifLens() Assumptions {
	return Assumptions{
		Lens: testLens(3100), FocalU: exifFocalU, CentreU: CentreU * 4032, K1U: AssumedK1U,
		SquareSize: [2]float64{59.7, 60.2}, SquareSizeU: madeSizeBound / math.Sqrt(3),
	}
}

// flat is a draw from a rectangular distribution (JCGM 100:2008, 4.3.7).
func flat(rnd *rand.Rand, bound float64) float64 { return bound * (2*rnd.Float64() - 1) }

// makeScene draws a phone's photo from 30 to 60 cm, tilted by up to 20 degrees,
// of three holes on bosses and a grille on a collar. Edges are seen at n points each.
func makeScene(rnd *rand.Rand, d draw, a Assumptions, n int) madeScene {
	s := madeScene{a: a}
	lens := a.Lens
	lens.Fx *= math.Exp(d[GroupFocal] * s.a.FocalU * rnd.NormFloat64())
	lens.Fy = lens.Fx
	lens.Cx += d[GroupCentre] * s.a.CentreU * rnd.NormFloat64()
	lens.Cy += d[GroupCentre] * s.a.CentreU * rnd.NormFloat64()

	lens.K1 = d[GroupDistortion] * s.a.K1U * rnd.NormFloat64()

	h := 300 + 300*rnd.Float64()
	tilt, way := 0.35*rnd.Float64(), 2*math.Pi*rnd.Float64()
	target := Vec3{20 + 40*rnd.Float64(), -20 + 60*rnd.Float64(), 0}
	eye := target.Add(Vec3{math.Sin(tilt) * math.Cos(way), math.Sin(tilt) * math.Sin(way), math.Cos(tilt)}.Mul(h))
	cam := lookAt(lens, eye, target, 2*math.Pi*rnd.Float64())

	s.edges = madeSquare(rnd, cam, d, s.a.SquareSize, n)
	at := Point{60 + 50*rnd.Float64(), -10 + 40*rnd.Float64()}
	boss := 12 * rnd.Float64()
	bossOff := flat(rnd, madeHeightBound)
	turn := 2 * math.Pi * rnd.Float64()
	for k := range 3 {
		sin, cos := math.Sincos(turn + 2*math.Pi/3*float64(k))
		s.addCircle(rnd, cam, d, Circle{at.Add(Point{36 * cos, 36 * sin}), 2.1}, boss, d[GroupHeight]*bossOff, 1)
	}
	s.addCircle(rnd, cam, d, Circle{at, 22}, 3, d[GroupHeight]*flat(rnd, madeHeightBound), 2)
	return s
}

// madeSquare is what cam sees of a square whose size, sheet and edges are drawn.
func madeSquare(rnd *rand.Rand, cam Camera, d draw, size [2]float64, n int) SquareEdges {
	for i := range size {
		size[i] += d[GroupSize] * flat(rnd, madeSizeBound)
	}
	// The sheet's plane goes through corners that stand off the face each by
	// itself, and the sheet leaves it by its bend.
	var corner [4]float64 // left and right, bottom and top
	for i := range corner {
		corner[i] = d[GroupFlat] * lift * rnd.NormFloat64()
	}
	middle := (corner[0] + corner[1] + corner[2] + corner[3]) / 4
	toRight, toTop := corner[1]+corner[3]-2*middle, corner[2]+corner[3]-2*middle
	var bend [3]float64
	for i := range bend {
		bend[i] = d[GroupFlat] * flatU * rnd.NormFloat64()
	}
	wrinkles := madeWrinkles(rnd, d[groupWrinkles])
	onSheet := func(x, y float64) Vec3 {
		return Vec3{x, y, middle + toRight*x/size[0] + toTop*y/size[1] + bentBy(bend[:], Point{x, y}, size) + wrinkles(x, y)}
	}
	s := SquareEdges{Number: 1}
	for i, k := range [4]Point{{-0.5, 0.5}, {0.5, 0.5}, {0.5, -0.5}, {-0.5, -0.5}} {
		s.Corners[i] = cam.Project(onSheet(k.X*size[0], k.Y*size[1])).Add(Point{2, -1})
	}
	noise := d[GroupEdges] * (0.05 + 0.1*rnd.Float64())
	for side := range 4 {
		bloom := d[GroupBloom] * 0.06 * rnd.NormFloat64()
		for _, inner := range []bool{false, true} {
			e := EdgePoint{Side: side, Inner: inner}
			reach := 0.45
			if inner {
				reach = 0.36
			}
			waves := alongEdge(rnd, n)
			for i := range n {
				o := outward[side]
				t := reach * (2*(float64(i)+0.5)/float64(n) - 1) * size[side%2]
				half := 0.5*size[(side+1)%2] + bloom
				if inner {
					half = 0.4*size[(side+1)%2] - bloom
				}
				e.Px = cam.Project(onSheet(half*o.X-t*o.Y, half*o.Y+t*o.X))
				e.Px.X += noise * waves[i].X
				e.Px.Y += noise * waves[i].Y
				s.Edges = append(s.Edges, e)
			}
		}
	}
	return s
}

// groupWrinkles is how many mm (rms) a crumpled sheet waves by. Few sheets are, so it is not
// among the inputs that every budget has.
const groupWrinkles Group = "wrinkles"

// madeWrinkles are waves all ways, from one side of the square long to two.
func madeWrinkles(rnd *rand.Rand, rms float64) func(x, y float64) float64 {
	if rms == 0 {
		return func(x, y float64) float64 { return 0 }
	}
	var waves [12][3]float64 // radians per mm, radians
	for i := range waves {
		sin, cos := math.Sincos(2 * math.Pi * rnd.Float64())
		k := 2 * math.Pi / (60 * (1 + rnd.Float64()))
		waves[i] = [3]float64{k * cos, k * sin, 2 * math.Pi * rnd.Float64()}
	}
	return func(x, y float64) (z float64) {
		for _, w := range waves {
			z += rms * math.Sqrt(2.0/float64(len(waves))) * math.Cos(w[0]*x+w[1]*y+w[2])
		}
		return z
	}
}

// alongEdge is noise of unit deviation that neighbours share, as grain and JPEG
// blocks have them share it: each point takes 0.7 of its error from the one before.
func alongEdge(rnd *rand.Rand, n int) []Point {
	const share = 0.7
	fresh := math.Sqrt(1 - share*share)
	out := make([]Point, n)
	last := Point{rnd.NormFloat64(), rnd.NormFloat64()}
	for i := range out {
		last = last.Mul(share).Add(Point{rnd.NormFloat64(), rnd.NormFloat64()}.Mul(fresh))
		out[i] = last
	}
	return out
}

// addCircle adds a circle that stands at the height given to the user but for
// off, and that light and noise move.
func (s *madeScene) addCircle(rnd *rand.Rand, cam Camera, d draw, c Circle, given, off float64, reading int) {
	s.truth = append(s.truth, c)
	light := d[GroupLight] * rimU(cam.PxPerMM(c.Centre, given+off))
	seen := Circle{
		c.Centre.Add(Point{rnd.NormFloat64(), rnd.NormFloat64()}.Mul(light)),
		c.R + light*rnd.NormFloat64(),
	}
	t := Traced{Z: given, HeightU: madeHeightBound / math.Sqrt(3), HeightReading: reading}
	for _, px := range cam.Around(seen, given+off) {
		px.X += d[GroupRim] * 0.15 * rnd.NormFloat64()
		px.Y += d[GroupRim] * 0.15 * rnd.NormFloat64()
		t.Points = append(t.Points, px)
	}
	s.traced = append(s.traced, t)
}

// within counts how often the truth lies within U95.
type within struct {
	inside, all int
	worst, sum  float64
}

func (t *within) add(err, u95 float64) {
	t.all++
	if math.Abs(err) <= u95 {
		t.inside++
	}
	t.sum += u95
	t.worst = math.Max(t.worst, math.Abs(err)/u95)
}

func (t within) share() float64 { return float64(t.inside) / float64(t.all) }

// weighScenes makes n scenes, measures each and hands it on with its square, one at a time.
func weighScenes(t *testing.T, n int, seed uint64, scene func(*rand.Rand) madeScene, weigh func(madeScene, *Measured, PlacedSquare)) {
	t.Helper()
	var mutex sync.Mutex
	var group sync.WaitGroup
	queue := make(chan int)
	for range runtime.NumCPU() {
		group.Go(func() {
			for i := range queue {
				s := scene(rand.New(rand.NewPCG(seed, uint64(i))))
				solution, err := SolvePose([]SquareEdges{s.edges}, s.a)
				if err != nil {
					t.Errorf("scene %d: %v", i, err)
					continue
				}
				m, err := Measure(solution, s.traced)
				if err != nil {
					t.Errorf("scene %d: %v", i, err)
					continue
				}
				mutex.Lock()
				weigh(s, m, solution.Squares[0])
				mutex.Unlock()
			}
		})
	}
	for i := range n {
		queue <- i
	}
	close(queue)
	group.Wait()
}

// TestMadeScenesLieWithinU95 draws photos with every input off as is said of it,
// and counts how often the truth lies within U95: 95 of 100 are meant. The
// features of a scene share its square, so that what counts is the scenes.
func TestMadeScenesLieWithinU95(t *testing.T) {
	scenes, points, low, high := 100, 60, 0.91, 0.99
	if *sweep {
		scenes, points, low, high = 400, 120, 0.93, 0.98
	}
	kinds := map[string]Assumptions{"focal length by Exif": exifLens()}
	if *sweep {
		file := exifLens()
		file.FocalU, file.CentreU, file.K1U = 0.003, 3, 0.003
		kinds["lens file"] = file
		none := exifLens()
		none.FocalU = assumedFocalU
		kinds["focal length unknown"] = none
	}
	for name, a := range kinds {
		var places, distances, diameters within
		weighScenes(t, scenes, 20, func(rnd *rand.Rand) madeScene { return makeScene(rnd, everything, a, points) }, func(s madeScene, m *Measured, _ PlacedSquare) {
			for i, truth := range s.truth {
				got := m.Circles[i]
				places.add(got.Centre.Dist(truth.Centre), m.PlaceU95(i))
				diameters.add(2*(got.R-truth.R), m.DiameterU95(i))
				for j := range i {
					mm, u95 := m.Distance(j, i)
					distances.add(mm-s.truth[j].Centre.Dist(truth.Centre), u95)
				}
			}
		})
		for _, c := range []struct {
			what string
			within
		}{{"places", places}, {"distances", distances}, {"diameters", diameters}} {
			t.Logf("%s: %s: %.1f of 100 within U95, the worst at %.2f of it; U95 %.3f mm in the mean", name, c.what, 100*c.share(), c.worst, c.sum/float64(c.all))
			if c.share() < low || c.share() > high {
				t.Errorf("%s: %s: %.1f of 100 lie within U95", name, c.what, 100*c.share())
			}
		}
	}
}

// TestMadeWrinkledSheets lays crumpled sheets, whose edges show how much they wave and
// only some of how they lean: U95 grows by it so far that it holds as often as it says.
func TestMadeWrinkledSheets(t *testing.T) {
	scenes, low := 40, 0.88
	if *sweep {
		scenes, low = 200, 0.93
	}
	d := maps.Clone(everything)
	for _, rms := range []float64{0.1, 0.2, 0.4} {
		d[groupWrinkles] = rms
		var places within
		var warp []float64
		weighScenes(t, scenes, 21, func(rnd *rand.Rand) madeScene { return makeScene(rnd, d, exifLens(), 120) }, func(s madeScene, m *Measured, sheet PlacedSquare) {
			for i, truth := range s.truth {
				places.add(m.Circles[i].Centre.Dist(truth.Centre), m.PlaceU95(i))
			}
			warp = append(warp, sheet.Warp)
		})
		slices.Sort(warp)
		median := warp[len(warp)/2]
		t.Logf("wrinkles of %.2f mm: told to be %.2f; %.1f of 100 within U95, the worst at %.2f of it; U95 %.3f mm in the mean",
			rms, median, 100*places.share(), places.worst, places.sum/float64(places.all))
		if places.share() < low || places.share() > 0.99 {
			t.Errorf("wrinkles of %.2f mm: %.1f of 100 lie within U95", rms, 100*places.share())
		}
		if median < 0.75*rms || median > 1.33*rms {
			t.Errorf("wrinkles of %.2f mm are told to be %.2f", rms, median)
		}
	}
}

// TestMadeScenesOneInputAtATime lets one input alone be off, and weighs each
// error by what the budget says of that input: the root of the mean square is
// to be 1. So no input's part is made up for by another's. It may be less: what
// most photos have none of is held to none, and told as if it were not.
func TestMadeScenesOneInputAtATime(t *testing.T) {
	scenes, points, low, high := 30, 60, 0.6, 1.4
	if *sweep {
		scenes, points, low, high = 200, 120, 0.7, 1.15
	}
	for k, g := range Groups {
		only := draw{GroupEdges: 0.2} // some noise there always is
		only[g] = 1
		sum, n := 0.0, 0.0
		weighScenes(t, scenes, uint64(30+k), func(rnd *rand.Rand) madeScene { return makeScene(rnd, only, exifLens(), points) }, func(s madeScene, m *Measured, _ PlacedSquare) {
			for i, truth := range s.truth {
				for j := range i {
					mm, b := m.distance(j, Point{}, i, Point{})
					e := mm - s.truth[j].Centre.Dist(truth.Centre)
					variance := 0.0
					for input := range only {
						variance += b[input] * b[input]
					}
					sum += e * e / variance
					n++
				}
			}
		})
		rms := math.Sqrt(sum / n)
		t.Logf("%-10s alone: errors of a distance are %.2f of what the budget says", g, rms)
		if rms < low || rms > high {
			t.Errorf("%s: the errors are %.2f of what the budget says", g, rms)
		}
	}
}
