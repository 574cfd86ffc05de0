package calib

import (
	"math"
	"math/rand/v2"
	"testing"
)

// spot is what each camera shows of the circles, on the square's face, in an
// order of its own.
func spot(cams []Camera, circles []Circle, heights []float64, rnd *rand.Rand) (spotted [][]Spotted, order [][]int) {
	for _, cam := range cams {
		perm := rnd.Perm(len(circles))
		var seen []Spotted
		for _, i := range perm {
			fit, _ := fitTraced(cam, Traced{Points: cam.Around(circles[i], heights[i])})
			fit.Centre = fit.Centre.Add(Point{rnd.NormFloat64(), rnd.NormFloat64()}.Mul(0.1))
			seen = append(seen, Spotted{Circle: fit.Circle, Odds: 2})
		}
		spotted, order = append(spotted, seen), append(order, perm)
	}
	return spotted, order
}

// Circles at unknown heights are matched across photos taken from all sides,
// among twice as many of like size that each photo shows anywhere: shine and
// shadows.
func TestMatchCircles(t *testing.T) {
	rnd := rand.New(rand.NewPCG(21, 22))
	for range 20 {
		p := makePanel(t, rnd, []float64{4, 13, 10})
		spotted, order := spot(p.cams, p.circles, p.heights, rnd)
		for v := range spotted {
			for range 10 {
				at := Point{rnd.Float64()*200 - 80, rnd.Float64()*200 - 80}
				spotted[v] = append(spotted[v], Spotted{Circle: Circle{at, 2 + 2*rnd.Float64()}, Odds: -1})
			}
		}
		matches := MatchCircles(p.cams, spotted)
		found := 0
		for _, m := range matches {
			if m.Count < 3 || m.In[0] >= len(p.circles) {
				continue
			}
			k := order[0][m.In[0]]
			for v, i := range m.In {
				if i >= len(p.circles) || order[v][i] != k {
					t.Errorf("circle %d was matched with another in photo %d", k, v)
				}
			}
			if math.Abs(m.Z-p.heights[k]) > 3 || m.Centre.Dist(p.circles[k].Centre) > 1 {
				t.Errorf("circle %d: height %.2f for %.1f, centre %v for %v", k, m.Z, p.heights[k], m.Centre, p.circles[k].Centre)
			}
			found++
		}
		if found != len(p.circles) {
			t.Errorf("%d of %d circles were matched in all photos", found, len(p.circles))
		}
	}
}

// A photo in which the square lay elsewhere is told from the others, and so is
// one with a square of another size; with two photos it is not known which is
// wrong.
func TestApart(t *testing.T) {
	rnd := rand.New(rand.NewPCG(23, 24))
	p := makePanel(t, rnd, []float64{4, 13, 10})
	good, _ := spot(p.cams, p.circles, p.heights, rnd)
	all := func(s [][]Spotted) ([]int, bool) {
		n := len(s)
		common, plain := make([][]int, n), make([][]int, n)
		for i := range n {
			common[i], plain[i] = make([]int, n), make([]int, n)
			for j := range n {
				plain[i][j] = len(s[i])
			}
		}
		for _, m := range MatchCircles(p.cams[:n], s) {
			for i, a := range m.In {
				for j, b := range m.In {
					if a >= 0 && b >= 0 {
						common[i][j]++
					}
				}
			}
		}
		return Apart(common, plain)
	}
	if odd, known := all(good); len(odd) > 0 || !known {
		t.Errorf("photos that agree: odd %v", odd)
	}
	moved := func(c Circle) Circle { return Circle{place(c.Centre, Point{9, -5}, 0.12), c.R} }
	larger := func(c Circle) Circle { return Circle{c.Centre.Mul(60.0 / 50), c.R * 60 / 50} }
	for name, c := range map[string]struct {
		change func(Circle) Circle
		cause  Cause
	}{"moved": {moved, CauseMoved}, "larger": {larger, CauseSize}} {
		s := [][]Spotted{good[0], good[1], nil}
		for _, q := range good[2] {
			q.Circle = c.change(q.Circle)
			s[2] = append(s[2], q)
		}
		if odd, known := all(s); len(odd) != 1 || odd[0] != 2 || !known {
			t.Errorf("%s: odd %v, known %v", name, odd, known)
		}
		if odd, known := all([][]Spotted{s[0], s[2]}); len(odd) != 2 || known {
			t.Errorf("%s, two photos: odd %v, known %v", name, odd, known)
		}
		if got := Why(circlesOf(s[0]), circlesOf(s[2])); got != c.cause {
			t.Errorf("%s: cause %v", name, got)
		}
	}
	other := []Circle{{Point{10, 70}, 2}, {Point{-60, 20}, 3}, {Point{80, 10}, 2.5}, {Point{40, 90}, 30}}
	if got := Why(circlesOf(good[0]), other); got != CauseUnknown {
		t.Errorf("another panel: cause %v", got)
	}
}

func circlesOf(s []Spotted) (out []Circle) {
	for _, c := range s {
		out = append(out, c.Circle)
	}
	return out
}
