package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// A disc printed on a card is no circle of the panel, and a hole beside the card is
// one, also where a square's sheet has its margin: that may have been cut off.
func TestPrintIsNoHole(t *testing.T) {
	t.Parallel()
	cam := flatCamera(600, 300)
	printed, hole := calib.Point{X: -20.03, Y: 1.06}, calib.Point{X: 11.02, Y: -2.04}
	p := drawn(cam, func(q calib.Point) float64 {
		switch {
		case q.Dist(printed) < 2.5 || q.Dist(hole) < 2.5:
			return 0.02
		case q.X < -5:
			return 0.7
		}
		return 0.3
	})
	at := func(rims []Rim, q calib.Point) bool {
		for _, r := range rims {
			if r.Centre.Dist(q) < 0.1 {
				return true
			}
		}
		return false
	}
	card := calib.PlacedSquare{Rectangle: true, Centre: calib.Point{X: -22}, Turn: 0.1, Size: [2]float64{30, 25}}
	sheet := card
	sheet.Rectangle, sheet.Centre.X, sheet.Turn = false, -7, 0
	for name, c := range map[string]struct {
		papers        []Paper
		printed, hole bool
	}{
		"nothing on the panel":            {nil, true, true},
		"a card":                          {[]Paper{NewPaper(card)}, false, true},
		"a sheet, the hole in its margin": {[]Paper{NewPaper(sheet)}, false, true},
	} {
		rims := FindCircles(p, cam, Search{Papers: c.papers})
		if got := at(rims, printed); got != c.printed {
			t.Errorf("%s: the printed disc is found: %v", name, got)
		}
		if got := at(rims, hole); got != c.hole {
			t.Errorf("%s: the hole is found: %v", name, got)
		}
	}
}

// What a sheet prints beside its square, to say which way is up, is no hole. The reference is the sheet's own drawing
// (template's topMark): its triangle lies 37.2 mm above the middle of a 60 mm square, a few to the left of it.
func TestTheMarkOnASheetIsNoHole(t *testing.T) {
	t.Parallel()
	p := NewPaper(calib.PlacedSquare{Centre: calib.Point{X: 5, Y: -3}, Turn: math.Pi / 2, Size: [2]float64{60, 60}})
	for _, c := range []struct {
		at    calib.Point // from the middle, to the square's right and top
		hides bool
	}{
		{calib.Point{X: -6, Y: 37.2}, true}, {calib.Point{X: 6, Y: 37.2}, true},
		{calib.Point{X: -14, Y: 37.2}, false}, {calib.Point{X: 0, Y: -37.2}, false}, {calib.Point{X: 37.2, Y: 0}, false},
		{calib.Point{X: 0, Y: 33}, false}, {calib.Point{X: 0, Y: 40}, false},
	} {
		turned := calib.Point{X: 5 - c.at.Y, Y: -3 + c.at.X}
		if got := p.hides(turned); got != c.hides {
			t.Errorf("%v: hidden %v", c.at, got)
		}
	}
}
