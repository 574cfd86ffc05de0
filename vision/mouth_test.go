package vision

import (
	"image"
	"image/color"
	"math"
	"testing"

	"trimscribe/calib"
)

// The reference of these tests is the picture's own geometry, drawn by the camera
// model: a cylinder's wall under its mouth, circles about one axis.

// A wall of just the face's light leaves of the mouth's edge only one side.
func TestAWallAsLightAsTheFaceDoesNotMoveTheMouth(t *testing.T) {
	t.Parallel()
	cam := leaning()
	for _, c := range []struct{ r, depth float64 }{{2.6, 3}, {22, 5}} {
		mouth := calib.Circle{Centre: calib.Point{X: 2.3, Y: -1.7}, R: c.r}
		p := pictured(cam, func(px calib.Point) float64 {
			onFace := cam.ToPlane(px, 0).Dist(mouth.Centre) > mouth.R
			onWall := cam.ToPlane(px, -c.depth).Dist(mouth.Centre) > mouth.R
			if onFace || onWall {
				return 0.3
			}
			return 0.02
		})
		guess := mouth
		guess.Centre.X += 0.05 * c.r
		rim, ok := traceRim(p, cam, 0, guess, leastCoverage)
		if !ok {
			t.Errorf("radius %g: not traced", c.r)
			continue
		}
		fit, ok := fitRim(p, cam, rim)
		if !ok {
			t.Errorf("radius %g: not fitted", c.r)
			continue
		}
		got := fit.circle()
		if d := got.Centre.Dist(mouth.Centre); d > 0.05 || math.Abs(got.R-c.r) > 0.05 {
			t.Errorf("radius %g: centre %.3f mm off, radius %+.3f (traced %.3f off)", c.r, d, got.R-c.r, rim.Centre.Dist(mouth.Centre))
		}
	}
}

// A hole on a boss is told from one in the face by the boss's edge: a ring of plastic about
// as light as the face, lit from one side.
func TestAHoleOnABossIsTold(t *testing.T) {
	t.Parallel()
	cam := leaning()
	middle := calib.Point{X: 1.2, Y: -0.8}
	const bore, boss = 2.1, 4.5
	p := pictured(cam, func(px calib.Point) float64 {
		off := cam.ToPlane(px, 0).Sub(middle)
		switch from := off.Norm(); {
		case from < bore:
			return 0.03
		case from > boss && from < boss+0.5:
			return 0.3 + 0.12*off.X/from // its flank
		}
		return 0.3
	})
	both := tracedAll(t, p, cam, middle, boss+0.5, bore)
	if got := oneMouth(p, cam, both); len(got) != 1 || math.Abs(got[0].R-bore) > 0.1 || got[0].Boss == 0 {
		t.Errorf("with its boss: %+v", got)
	}
	if got := oneMouth(p, cam, both[1:]); len(got) != 1 || got[0].Boss != 0 {
		t.Errorf("without: %+v", got)
	}
}

// A boss whose edge shows on one side only is told by a plainer one about a hole of the same
// size; a bare hole has none for it.
func TestABossIsToldByItsKin(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const bore, boss = 2.1, 4.5
	plain, faint, bare := calib.Point{X: -12, Y: 2}, calib.Point{X: 6, Y: 5}, calib.Point{X: 3, Y: -11}
	p := pictured(cam, func(px calib.Point) float64 {
		at := cam.ToPlane(px, 0)
		for _, middle := range []calib.Point{plain, faint, bare} {
			off := at.Sub(middle)
			switch from := off.Norm(); {
			case from < bore:
				return 0.03
			case middle != bare && from > boss && from < boss+0.5 && (middle == plain || off.X > 0.2*from):
				return 0.2
			}
		}
		return 0.3
	})
	rims := oneMouth(p, cam, tracedAll(t, p, cam, plain, boss+0.5, bore))
	rims = append(rims, tracedAll(t, p, cam, faint, bore)...)
	rims = append(rims, tracedAll(t, p, cam, bare, bore)...)
	want := rims[0].Boss
	oneBoss(p, cam, rims)
	if want == 0 || math.Abs(rims[1].Boss-want) > 0.1 || rims[2].Boss != 0 {
		t.Errorf("bosses of %.2f, %.2f and %.2f mm, want two alike and none", want, rims[1].Boss, rims[2].Boss)
	}
}

// A hole is found some way from where others of its kind say that it would be, and whether it
// is on a boss as they are; on the bare face none is.
func TestAHoleIsFoundByItsKin(t *testing.T) {
	t.Parallel()
	cam := leaning()
	mouth, boss := calib.Circle{Centre: calib.Point{X: 6.2, Y: -4.8}, R: 2.1}, 4.5
	bare := calib.Circle{Centre: calib.Point{X: -9, Y: 3}, R: 2.1}
	p := pictured(cam, func(px calib.Point) float64 {
		at := cam.ToPlane(px, 0)
		off := at.Sub(mouth.Centre)
		switch from := off.Norm(); {
		case from < mouth.R || at.Dist(bare.Centre) < bare.R:
			return 0.05
		case from > boss && from < boss+0.5:
			return 0.1 + 0.05*off.X/from // its flank
		}
		return 0.1
	})
	kin := Rim{Circle: calib.Circle{Centre: calib.Point{X: -20}, R: 2.12}, Boss: boss + 0.5}
	for _, c := range []struct {
		about  string
		of     calib.Circle
		onBoss bool
	}{{"on a boss", mouth, true}, {"in the face", bare, false}} {
		r, ok := TraceKin(p, cam, kin, c.of.Centre.Add(calib.Point{X: 1.9, Y: -1.4}), 3)
		if !ok || r.Centre.Dist(c.of.Centre) > 0.05 || math.Abs(r.R-c.of.R) > 0.05 || r.Boss > 0 != c.onBoss {
			t.Errorf("%s: %v, %+v", c.about, ok, r)
		}
	}
	if r, ok := TraceKin(p, cam, kin, calib.Point{X: -2, Y: 10}, 3); ok {
		t.Errorf("on the bare face: %+v", r)
	}
}

// A wall's far end is no better a circle than its mouth, however much of it shows.
func TestTheFarEndOfAWallIsNotItsMouth(t *testing.T) {
	t.Parallel()
	cam := leaning()
	mouth := Rim{Circle: calib.Circle{Centre: calib.Point{X: 12, Y: -9}, R: 22}, Appearance: Appearance{Coverage: 0.9}}
	at := func(z, coverage float64) Rim { // the mouth as it would be seen at a height, drawn in its plane
		r := mouth
		r.Z = z
		r = r.Moved(cam, cam, 0)
		r.Coverage = coverage
		return r
	}
	for _, c := range []struct {
		about string
		other Rim
		keep  float64 // the radius of the one to be kept
	}{
		{"its far end", at(-3, 0.99), mouth.R},
		{"an edge above it, plainer", at(3, 0.99), at(3, 0.99).R},
		{"a circle at its own height, plainer", at(-0.05, 0.99), at(-0.05, 0.99).R},
	} {
		if got := unlike(cam, []Rim{c.other, mouth}); len(got) != 1 || got[0].R != c.keep {
			t.Errorf("%s: kept %+v", c.about, got)
		}
	}
	faint := mouth
	faint.Coverage = 0.6
	if got := unlike(cam, []Rim{at(-3, 0.99), faint}); got[0].R == mouth.R {
		t.Error("what hardly shows was taken for the mouth")
	}
}

// tracedAll traces the circles of these radii about one middle.
func tracedAll(t *testing.T, p *Photo, cam calib.Camera, middle calib.Point, radii ...float64) (rims []Rim) {
	t.Helper()
	for _, r := range radii {
		rim, ok := traceRim(p, cam, 0, calib.Circle{Centre: middle, R: r}, leastCoverage)
		if !ok || math.Abs(rim.R-r) > 0.3 {
			t.Fatalf("no circle of radius %g was traced", r)
		}
		rims = append(rims, rim)
	}
	return rims
}

// Rings between which one looks in are a guard, and the outermost edge the grille's;
// a ring of the face's own light is a collar, and the innermost is.
func TestAGuardsRingsAreNoCollar(t *testing.T) {
	t.Parallel()
	cam := leaning()
	middle := calib.Point{X: 1.2, Y: -0.8}
	guard := pictured(cam, func(px calib.Point) float64 {
		switch r := cam.ToPlane(px, 0).Dist(middle); {
		case r > 24, r > 16 && r < 18, r > 10 && r < 12:
			return 0.3
		}
		return 0.03
	})
	rims := tracedAll(t, guard, cam, middle, 24, 18, 12)
	markCollars(guard, cam, rims)
	if rims[0].Odds() < 3 || rims[1].Odds() > -2 || rims[2].Odds() > -2 {
		t.Errorf("a guard's circles have the odds %.1f, %.1f, %.1f", rims[0].Odds(), rims[1].Odds(), rims[2].Odds())
	}
	for shade, c := range map[string]struct {
		outer float64
		light func(r float64) float64 // of the face and the collar, as a share of the face's
	}{
		"a line at its foot": {26, func(r float64) float64 {
			if math.Abs(r-25.6) < 0.4 {
				return 1.0 / 3
			}
			return 1
		}},
		"the less sky, the nearer": {24, func(r float64) float64 {
			if r > 24 {
				return math.Min(1, 0.4+0.6*(r-24)/5)
			}
			return 1
		}},
	} {
		collar := pictured(cam, func(px calib.Point) float64 {
			r := cam.ToPlane(px, 0).Dist(middle)
			if r > 20 {
				return 0.3 * c.light(r)
			}
			return 0.03
		})
		rims = tracedAll(t, collar, cam, middle, c.outer, 20)
		markCollars(collar, cam, rims)
		if !rims[0].Collar || rims[1].Odds() < 3 {
			t.Errorf("%s: a collar's circles have the odds %.1f, %.1f", shade, rims[0].Odds(), rims[1].Odds())
		}
	}
}

// A countersink is as wide as its outer edge; a boss, or a bright insert, is not the hole.
func TestACountersinksMouthIsItsOuterEdge(t *testing.T) {
	t.Parallel()
	cam := leaning()
	middle := calib.Point{X: 1.2, Y: -0.8}
	for _, c := range []struct {
		what    string
		between float64
		want    float64
	}{{"a countersink", 0.18, 3.4}, {"a boss", 0.3, 1.7}, {"an insert", 0.7, 1.7}, {"a boss and its shadow", 0.1, 1.7}, {"a boss with a counterbore in it", 0.13, 1.7}} {
		p := pictured(cam, func(px calib.Point) float64 {
			switch r := cam.ToPlane(px, 0).Dist(middle); {
			case r < 1.7:
				return 0.02
			case r < 3.4 && r > 3.2 && c.between == 0.3: // a boss's foot
				return 0.2
			case r < 2.4 && c.between == 0.1: // its face
				return 0.3
			case r < 2.1 && c.between == 0.13: // its floor
				return 0.3
			case r < 3.4:
				return c.between
			}
			return 0.3
		})
		kept := oneMouth(p, cam, tracedAll(t, p, cam, middle, 1.7, 3.4))
		if len(kept) != 1 || math.Abs(kept[0].R-c.want) > 0.1 {
			t.Errorf("%s: kept %d, the first of radius %.2f", c.what, len(kept), kept[0].R)
		}
	}
}

// An insert darker than the face is told from a countersink by its colour. Its numbers are those of brass beside grey
// plastic in a rendered photo.
func TestABrassRingIsNoCountersink(t *testing.T) {
	t.Parallel()
	cam := leaning()
	middle := calib.Point{X: 1.2, Y: -0.8}
	p := pictured(cam, func(px calib.Point) float64 {
		switch r := cam.ToPlane(px, 0).Dist(middle); {
		case r < 1.7:
			return 0.02
		case r < 3.4:
			return 0.18
		}
		return 0.3
	})
	both := tracedAll(t, p, cam, middle, 1.7, 3.4)
	p.RGB = image.NewRGBA(image.Rect(0, 0, p.Width, p.Height))
	plastic := color.RGBA{118, 122, 122, 255}
	for _, ring := range []color.RGBA{plastic, {150, 115, 45, 255}, {138, 126, 105, 255}} {
		for y := range p.Height {
			for x := range p.Width {
				at := color.RGBA{150, 155, 155, 255}
				switch r := cam.ToPlane(calib.Point{X: float64(x), Y: float64(y)}, 0).Dist(middle); {
				case r < 1.7:
					at = color.RGBA{30, 30, 30, 255}
				case r < 3.4:
					at = ring
				}
				p.RGB.Set(x, y, at)
			}
		}
		want := 3.4
		if ring != plastic {
			want = 1.7
		}
		if kept := oneMouth(p, cam, both); len(kept) != 1 || math.Abs(kept[0].R-want) > 0.1 {
			t.Errorf("ring %v: kept %d, the first of radius %.2f", ring, len(kept), kept[0].R)
		}
	}
}

// A countersink is told by another of its kind where its own outer edge hardly shows.
func TestAFaintCountersinkIsToldByItsKin(t *testing.T) {
	t.Parallel()
	cam := leaning()
	middles := []calib.Point{{X: -9.3, Y: 2.4}, {X: 9.1, Y: -3.6}}
	p := pictured(cam, func(px calib.Point) float64 {
		q := cam.ToPlane(px, 0)
		switch r := math.Min(q.Dist(middles[0]), q.Dist(middles[1])); {
		case r < 1.7:
			return 0.02
		case r < 3.4:
			return 0.18
		}
		return 0.3
	})
	rims := append(tracedAll(t, p, cam, middles[0], 1.7, 3.4), tracedAll(t, p, cam, middles[1], 1.7, 3.4)...)
	rims[3].Coverage = 0.72 // as of an edge that a lamp leaves no shade on
	if odds := rims[3].Odds(); odds >= 0 || odds < refinedOdds {
		t.Fatalf("the faint one's odds are %.1f", odds)
	}
	if kept := oneMouth(p, cam, rims[2:]); len(kept) != 1 || kept[0].R > 1.8 {
		t.Errorf("alone, it is not faint: kept %v", kept)
	}
	kept := oneMouth(p, cam, rims)
	if len(kept) != 2 || math.Abs(kept[0].R-3.4) > 0.1 || math.Abs(kept[1].R-3.4) > 0.1 {
		t.Errorf("kept %d, the first of radius %.2f", len(kept), kept[0].R)
	}
}

// A ring embossed in the face has as plain an edge as a hole, and the face's own
// light within. Out of focus a hole's edge is faint, and its middle is dark.
func TestAnEmbossedRingIsHardlyAHole(t *testing.T) {
	t.Parallel()
	cam := leaning()
	middle := calib.Point{X: 1.2, Y: -0.8}
	const r = 3.5
	for name, c := range map[string]struct {
		light func(from float64) float64
		hole  bool
	}{
		"ring": {func(from float64) float64 { // a groove, one flank of it to the lamp
			switch off := from - r; {
			case math.Abs(off) > 0.15:
				return 0.3
			case off > 0:
				return 0.36
			}
			return 0.24
		}, false},
		"hole out of focus": {func(from float64) float64 { return 0.17 + 0.15*math.Erf((from-r)/1.6) }, true},
	} {
		p := pictured(cam, func(px calib.Point) float64 { return c.light(cam.ToPlane(px, 0).Dist(middle)) })
		rim := tracedAll(t, p, cam, middle, r)[0]
		if odds := rim.Odds(); c.hole && odds < 0 || !c.hole && odds > -1 {
			t.Errorf("%s: odds %.1f, %s", name, odds, rim.Words())
		}
	}
}
