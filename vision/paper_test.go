package vision

import (
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
