package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// Openings that are not round come back as the shapes they were drawn as, to a
// few hundredths of a millimetre; a round hole, one with a lit wall, and a blot
// that is none of these give no opening.
func TestSlotsComeBack(t *testing.T) {
	t.Parallel()
	cam := flatCamera(840, 600)
	shapes := []calib.Outline{
		{Shape: calib.ShapeSlot, Centre: calib.Point{X: -33.04, Y: 20.07}, Turn: 0.5, Half: [2]float64{3.72, 2.41}},
		{Shape: calib.ShapeSlot, Centre: calib.Point{X: 20.51, Y: 27.33}, Turn: -1.1, Half: [2]float64{8.03, 2.52}},
		{Shape: calib.ShapeD, Centre: calib.Point{X: 34.02, Y: -18.05}, Turn: 2.5, Half: [2]float64{3.11, 2.07}},
		{Shape: calib.ShapeRectangle, Centre: calib.Point{X: -30.03, Y: -22.06}, Turn: 0.2, Half: [2]float64{7.04, 3.02}, Corner: 0.5},
	}
	p := drawn(cam, func(q calib.Point) float64 {
		for _, o := range shapes {
			if o.Distance(q) < 0 {
				return 0.02
			}
		}
		// A round hole, its wall lit on one side.
		if hole := (calib.Point{X: 1, Y: -2}); q.Dist(hole) < 2.6 {
			if q.Dist(hole.Add(calib.Point{X: 0.7, Y: 0.3})) < 2.6 {
				return 0.02
			}
			return 0.2
		}
		if q.Dist(calib.Point{X: -4, Y: 28}) < 2.5*(1+0.3*math.Cos(3*math.Atan2(q.Y-28, q.X+4))) {
			return 0.02
		}
		return 0.3
	})
	found := FindSlots(p, cam, Search{}, FindCircles(p, cam, Search{}))
	for _, want := range shapes {
		i, near := -1, 1.0
		for k, o := range found {
			if d := o.Centre.Dist(want.Centre); d < near {
				i, near = k, d
			}
		}
		if i < 0 || found[i].Shape != want.Shape {
			t.Errorf("%s at %v: not found as such", want.Shape, want.Centre)
			continue
		}
		o := found[i]
		long, short := o.Widths()
		wantLong, wantShort := want.Widths()
		turn := math.Remainder(o.Turn-want.Turn, math.Pi)
		if near > 0.02 || math.Abs(long-wantLong) > 0.04 || math.Abs(short-wantShort) > 0.04 || math.Abs(turn) > 0.02 {
			t.Errorf("%s: centre %.3f mm off, widths %.3f and %.3f, turn %.3f", want.Shape, near, long-wantLong, short-wantShort, turn)
		}
		if u := math.Sqrt(o.Cov[0][0]); !(u > 0 && u < 0.02) {
			t.Errorf("%s: the centre's uncertainty is %g mm", want.Shape, u)
		}
	}
	if len(found) != len(shapes) {
		for _, o := range found {
			t.Logf("%s at %v, %s", o.Shape, o.Centre, o.Words())
		}
		t.Errorf("%d openings found, %d drawn", len(found), len(shapes))
	}
}

// A slot takes the place of the two circles that its ends make, and of no other.
func TestASlotReplacesItsEnds(t *testing.T) {
	o := Opening{Outline: calib.Outline{Shape: calib.ShapeSlot, Centre: calib.Point{X: 10}, Half: [2]float64{7, 2.5}}}
	for _, c := range []struct {
		at   calib.Point
		r    float64
		want bool
	}{
		{calib.Point{X: 5.5}, 2.5, true}, {calib.Point{X: 14.4, Y: 0.1}, 2.6, true}, {calib.Point{X: 10}, 2.5, true},
		{calib.Point{X: 20}, 2.5, false}, {calib.Point{X: 10, Y: 4}, 2, false}, {calib.Point{X: 10}, 22, false},
	} {
		if got := o.Replaces(Rim{Circle: calib.Circle{Centre: c.at, R: c.r}}); got != c.want {
			t.Errorf("circle at %v, radius %g: %v", c.at, c.r, got)
		}
	}
}

// A grille that is not round is found as what it is, a round one as nothing, under
// a mesh too.
func TestGrilleOutlines(t *testing.T) {
	t.Parallel()
	cam := flatCamera(600, 480)
	meshed := func(q calib.Point) float64 {
		x, y := math.Remainder(q.X, 2.2), math.Remainder(q.Y, 2.2)
		if math.Hypot(x, y) < 0.75 {
			return 0.02
		}
		return 0.16
	}
	round := calib.Outline{Shape: calib.ShapeOval, Centre: calib.Point{X: 3.02, Y: -4.04}, Half: [2]float64{23, 23}}
	d := calib.Outline{Shape: calib.ShapeD, Centre: calib.Point{X: 3.02, Y: -4.04}, Half: [2]float64{25, 14}, Turn: 0.4}
	shapes := []calib.Outline{
		{Shape: calib.ShapeRoundedSquare, Centre: calib.Point{X: 3.02, Y: -4.04}, Turn: 0.2, Half: [2]float64{23.5, 22.5}, Corner: 8},
	}
	if *sweep {
		shapes = append(shapes, round, d, calib.Outline{Shape: calib.ShapeOval, Centre: calib.Point{X: 3.02, Y: -4.04}, Turn: 0.3, Half: [2]float64{30, 22}})
	}
	for _, want := range shapes {
		p := drawn(cam, func(q calib.Point) float64 {
			if want.Distance(q) < 0 {
				return meshed(q)
			}
			return 0.3
		})
		found := FindGrilleOutlines(p, cam, Search{}, FindCircles(p, cam, Search{}))
		switch want.Half {
		case round.Half:
			if len(found) != 0 {
				t.Errorf("a round grille is taken for a %s", found[0].Shape)
			}
			continue
		case d.Half: // of no named shape: its centre is its area's centroid
			want.Shape = calib.ShapeFree
		}
		if len(found) == 0 || found[0].Shape != want.Shape {
			t.Errorf("%s: found %d outlines, not it", want.Shape, len(found))
			continue
		}
		centre := want.Centre
		if want.Shape == calib.ShapeFree {
			_, centre = d.Area()
		}
		if off := found[0].Centre.Dist(centre); off > 0.1 {
			t.Errorf("%s: centre %.3f mm off", want.Shape, off)
		}
	}
}

// Light and shadow that meet behind a round opening enclose no grille of their own.
func TestWhatIsSeenThroughAGrilleIsNone(t *testing.T) {
	t.Parallel()
	cam := flatCamera(600, 480)
	hole, lit := calib.Circle{Centre: calib.Point{X: 3, Y: -4}, R: 23}, calib.Circle{Centre: calib.Point{X: 12, Y: -18}, R: 19}
	p := drawn(cam, func(q calib.Point) float64 {
		switch {
		case q.Dist(hole.Centre) > hole.R:
			return 0.7
		case q.Dist(lit.Centre) < lit.R:
			return 0.45
		}
		return 0.05
	})
	rims := FindCircles(p, cam, Search{})
	if len(rims) == 0 || rims[0].Coverage < allRound || math.Abs(rims[0].R-hole.R) > 0.2 {
		t.Fatalf("the opening was not found: %v", rims)
	}
	if found := FindGrilleOutlines(p, cam, Search{}, rims); len(found) > 0 {
		t.Errorf("found %s at %v, within it", found[0].Shape, found[0].Centre)
	}
}

// Of a round mouth in a collar, the collar in its own shadow steps plainly all round from afar; but no
// circle of chance shows all round, as the mouth does. The figures are of a rendered photo.
func TestACircleAllRoundStands(t *testing.T) {
	o := Opening{Outline: calib.Outline{Shape: calib.ShapeRoundedSquare}, Appearance: Appearance{Coverage: 0.89}}
	steps := func() float64 { return 0.96 }
	if o.beats(1, 0.7, steps) {
		t.Error("the collar's outline stands in the place of a mouth that shows all round")
	}
	if !o.beats(0.75, 0.7, steps) {
		t.Error("a circle of chance stands in the place of a mesh's outline")
	}
}

// The web of a mesh may be just as light as the face: then the outline shows at the
// mesh's openings and where the wall's shadow lies, and must do.
func TestAGrilleOutlineWhoseMeshIsAsLightAsTheFace(t *testing.T) {
	if !*sweep {
		t.Skip("run with -sweep")
	}
	t.Parallel()
	cam := flatCamera(600, 480)
	want := calib.Outline{Shape: calib.ShapeRoundedSquare, Centre: calib.Point{X: 3.02, Y: -4.04}, Turn: 0.7, Half: [2]float64{19, 19}, Corner: 5}
	lit := want
	lit.Centre = lit.Centre.Add(calib.Point{X: 0.8, Y: -0.6})
	p := drawn(cam, func(q calib.Point) float64 {
		hole := math.Hypot(math.Remainder(q.X, 2.2), math.Remainder(q.Y, 2.2)) < 0.6
		switch {
		case want.Distance(q) > 0:
			return 0.3
		case hole || lit.Distance(q) > 0:
			return 0.05
		}
		return 0.3
	})
	found := FindGrilleOutlines(p, cam, Search{}, FindCircles(p, cam, Search{}))
	if len(found) == 0 {
		t.Fatal("not found")
	}
	o := found[0]
	if off := o.Centre.Dist(want.Centre); off > 2*math.Hypot(math.Sqrt(o.Cov[0][0]), math.Sqrt(o.Cov[1][1])) {
		t.Errorf("%s over %.2f of it: centre %.3f mm off, covariance %.3v", o.Shape, o.Coverage, off, o.Cov)
	}
	if o.Coverage > 0.9 {
		t.Errorf("an outline that hardly shows is said to be seen over %.2f", o.Coverage)
	}
	// In a mesh, a circle of chance may show as much of an edge; from afar it has none.
	chance := Rim{Circle: calib.Circle{Centre: want.Centre, R: 19.3}, Appearance: Appearance{Coverage: o.Coverage}}
	if found := FindGrilleOutlines(p, cam, Search{}, []Rim{chance}); len(found) == 0 || found[0].Shape != o.Shape || !found[0].Replaces(chance) {
		t.Error("not found, for a circle in its mesh")
	}
	aside := chance
	aside.R, aside.Centre.X = 12, want.Centre.X+7
	if !o.Replaces(aside) {
		t.Error("a circle aside in its mesh is left")
	}
}

// A tweeter's body is found by its known width between circles nearly as
// wide: its opening's edge, its own foot seen beside it, its shadow, its
// magnet; a third of its rim is covered.
func TestBodyAmongItsKin(t *testing.T) {
	t.Parallel()
	cam := flatCamera(600, 480)
	const r = 21.8
	for _, at := range []calib.Point{{X: 2.03, Y: -1.04}, {X: -11.3, Y: 5.55}} {
		for _, dark := range []bool{true, false} {
			body, foot := 0.4, 0.22
			if dark {
				body, foot = 0.05, 0.03
			}
			p := drawn(cam, func(q calib.Point) float64 {
				from := q.Sub(at)
				angle := math.Atan2(from.Y, from.X)
				covered := math.Abs(math.Remainder(angle-0.4, 2*math.Pi)) < 0.3 || math.Abs(math.Remainder(angle-3, 2*math.Pi)) < 0.4
				switch {
				case covered && math.Abs(from.Norm()-r) < 4:
					return 0.15
				case from.Norm() < 14:
					return 0.35
				case from.Norm() < 17.5:
					return 0.6 * body
				case from.Norm() < r:
					return body
				case q.Dist(at.Add(calib.Point{X: 0.3, Y: -0.4})) < r: // the wall
					return foot
				case q.Dist(calib.Point{X: at.X + 0.4, Y: at.Y - 0.3}) < 23.6: // the gap to the opening
					return 0.015
				}
				return 0.25
			})
			found := FindBodies(p, cam, Search{}, 2*r, 0, nil)
			if len(found) == 0 {
				t.Errorf("dark %v at %v: not found", dark, at)
				continue
			}
			if off := found[0].Centre.Dist(at); off > 0.04 || found[0].BodyOdds(2*r) < 2 {
				t.Errorf("dark %v at %v: centre %.3f mm off, odds %.1f", dark, at, off, found[0].BodyOdds(2*r))
			}
		}
	}
}

// Callipers span a body at its widest; where its edge is rounded the flat back ends
// before that, and this is what shows. The wall's foot on one side and the opening's edge
// on the other make a circle as wide as the callipers say, off to one side.
func TestBodyWithRoundedEdge(t *testing.T) {
	if !*sweep {
		t.Skip("run with -sweep")
	}
	t.Parallel()
	cam := flatCamera(600, 480)
	const r, round = 21.8, 0.3
	at := calib.Point{X: 2.03, Y: -1.04}
	p := drawn(cam, func(q calib.Point) float64 {
		from := q.Dist(at)
		switch {
		case from < r-round:
			return 0.16
		case q.Dist(at.Add(calib.Point{X: 0, Y: -0.25})) < r: // the rounding, and on one side the wall
			return 0.06
		case q.Dist(at.Add(calib.Point{X: -0.2, Y: -0.5})) < r+0.75:
			return 0.01
		}
		return 0.7
	})
	found := FindBodies(p, cam, Search{}, 2*r, 0, nil)
	if len(found) == 0 || found[0].Centre.Dist(at) > 0.06 || found[0].BodyOdds(2*r) < 2 {
		t.Errorf("%+v", found)
	}
	// One that only the circles in the face lead to is looked at too.
	if left := FindBodies(p, cam, Search{}, 2*r, 0, []Rim{{Circle: calib.Circle{Centre: at, R: r}}}); len(left) == 0 || left[0].Centre.Dist(at) > 0.06 {
		t.Errorf("led to it: %+v", left)
	}
}

// A body that sits askew hides the right third of its opening's edge, where its own edge passes for
// it. By what is left in sight the opening is where it is; one that is mostly hidden is not told.
func TestGrilleBesideBody(t *testing.T) {
	t.Parallel()
	cam := flatCamera(600, 480)
	opening := calib.Circle{Centre: calib.Point{X: -0.5, Y: 0.8}, R: 22.4}
	picture := func(body calib.Circle) *Photo {
		return drawn(cam, func(q calib.Point) float64 {
			switch {
			case q.Dist(body.Centre) < body.R:
				return 0.75
			case q.Dist(opening.Centre) < opening.R:
				return 0.02
			}
			return 0.2
		})
	}
	askew := calib.Circle{Centre: opening.Centre.Add(calib.Point{X: 0.9, Y: 0.3}), R: 21.8}
	mixed := Rim{Circle: calib.Circle{Centre: opening.Centre.Add(calib.Point{X: 0.14, Y: 0.05}), R: 22.5}, Fitted: true}
	got, ok := mixed.Beside(picture(askew), cam, Rim{Circle: askew})
	if !ok || got.Centre.Dist(opening.Centre) > 0.03 || math.Abs(got.R-opening.R) > 0.03 {
		t.Errorf("%v: %.3f, want %.3f", ok, got.Circle, opening)
	}
	wide := calib.Circle{Centre: opening.Centre.Add(calib.Point{X: 0.7}), R: 22.5}
	if _, ok := mixed.Beside(picture(wide), cam, Rim{Circle: wide}); ok {
		t.Error("told where most of it is hidden")
	}
	clear := calib.Circle{Centre: opening.Centre, R: 15}
	if got, ok := mixed.Beside(picture(clear), cam, Rim{Circle: clear}); !ok || got.Circle != mixed.Circle {
		t.Error("changed where nothing is hidden")
	}
}
