package calib

import (
	"math"
	"testing"
)

// Holes on one bolt circle, evenly, are a set though one of them hardly shows or was measured
// badly; and though the grille stands at another height, so that all lie aside of it.
func TestAnEvenBoltCircleIsASet(t *testing.T) {
	bolts := func(last [3]float64) []Candidate {
		cands := about([3]float64{20, 40.8, 5.4}, [3]float64{110, 40.8, 5.4}, [3]float64{200, 40.8, 5.4}, last)
		for i := 1; i < 5; i++ {
			cands[i].RU, cands[i].Boss = 0.01, i < 4 // a boss's edge was not seen about the last
		}
		cands[4].Quality = -1.9
		return cands
	}
	for name, c := range map[string]struct {
		last   [3]float64
		holes  int
		doubts bool
	}{
		"one measured badly":            {[3]float64{290, 40.7, 5}, 4, false},
		"one measured badly, and aside": {[3]float64{300, 44, 5}, 3, true},
	} {
		if got := Choose(bolts(c.last), Hints{}); len(got.Holes) != c.holes || (len(got.Doubts) > 0) != c.doubts {
			t.Errorf("%s: chose %v, doubts %q", name, got.Holes, got.Doubts)
		}
	}
	cands := bolts([3]float64{290, 40.8, 5.2})
	cands[0].Centre.X = 1.2
	if got := Choose(cands, Hints{}); len(got.Holes) != 4 || len(got.Doubts) > 0 {
		t.Errorf("a grille lower than the holes: chose %v, doubts %q", got.Holes, got.Doubts)
	}
}

// The odds are those of what the bolt circle's numbers leave of 2 n normal ones: turned or wider
// it is as likely, but for what goes with its size.
func TestEvenOddsFollowTheBoltCircle(t *testing.T) {
	lay := func(n int, radius, turn float64, aside, beside Point) (at []Point) {
		for k := range n {
			s, c := math.Sincos(turn + 2*math.Pi*float64(k)/float64(n))
			at = append(at, aside.Add(Point{radius * c, radius * s}))
		}
		at[0] = at[0].Add(beside)
		return at
	}
	for _, n := range []int{3, 4} {
		plain := evenOdds(lay(n, 40, 0.3, Point{}, Point{}), Point{})
		for _, turn := range []float64{-3, 1, 2.9} {
			if got := evenOdds(lay(n, 40, turn, Point{}, Point{}), Point{}); math.Abs(got-plain) > 1e-6 {
				t.Errorf("%d holes turned by %g: odds %.3f, else %.3f", n, turn, got, plain)
			}
		}
		spread := math.Hypot(0.4, evenFloor)
		aside := evenOdds(lay(n, 40, 0.3, Point{X: 1}, Point{}), Point{})
		if want := float64(n) / (2 * (spread*spread + float64(n)*1.6*1.6)); math.Abs(plain-aside-want) > 1e-6 {
			t.Errorf("%d holes, 1 mm aside: odds %.3f less, want %.3f", n, plain-aside, want)
		}
		// Of one hole's move inwards a share goes to the bolt circle's radius and its middle.
		beside := evenOdds(lay(n, 40, 0, Point{}, Point{X: -0.1}), Point{})
		if loss := plain - beside; loss < 0.2*0.01/(2*spread*spread) || loss > 0.01/(2*spread*spread) {
			t.Errorf("%d holes, one 0.1 mm beside its place: odds %.4f less", n, loss)
		}
	}
}

// A slot a little wider than two holes that lie opposite one another is another thing, though it lies
// where a third of four might.
func TestASlotOfAnotherWidthIsNotOfTheSet(t *testing.T) {
	cands := about([3]float64{122, 28.3, 5.386}, [3]float64{302, 28.2, 5.384}, [3]float64{210, 27.2, 5.608})
	cands[0].R = 14
	for i := range 2 {
		cands[i+1].RU = 0.001
	}
	cands[3].Outline = &Outline{Shape: ShapeSlot, Centre: cands[3].Centre, Half: [2]float64{6.68, 2.804}}
	if got := Choose(cands, Hints{}); len(got.Holes) != 2 || len(got.Doubts) > 0 {
		t.Errorf("chose %v, doubts %q", got.Holes, got.Doubts)
	}
}
