package vision

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// Three holes in bosses: in one of them light falls on half the floor, which is then as light as the
// face, so that but half its edge shows. It is found by its likeness to the others, and where it is. A
// boss without a hole is not like them. The reference is the drawing.
func TestAHoleIsFoundByItsLikeness(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const bore, boss = 2.1, 4.0
	places := []calib.Point{{X: -16, Y: -12}, {X: 15, Y: -10}, {X: -13, Y: 14}}
	lit, post := places[2], calib.Point{X: 16, Y: 15}
	p := pictured(cam, func(px calib.Point) float64 {
		q := cam.ToPlane(px, 0)
		for _, c := range places {
			off := q.Sub(c)
			switch r := off.Norm(); {
			case r < bore && c == lit && off.X+off.Y < -0.9:
				return 0.3
			case r < bore:
				return 0.03
			case r > boss-0.3 && r < boss:
				return 0.2
			}
		}
		if r := q.Dist(post); r > boss-0.3 && r < boss {
			return 0.2
		}
		return 0.3
	})
	kin, ok := traceRim(p, cam, 0, calib.Circle{Centre: places[0], R: bore}, leastCoverage)
	if !ok {
		t.Fatal("the plain hole is not traced")
	}
	if r, ok := traceRim(p, cam, 0, calib.Circle{Centre: lit, R: bore}, leastCoverage); ok && r.Odds() > 0 {
		t.Fatalf("the lit hole is plain by itself, odds %.1f", r.Odds())
	}
	kin.Boss = boss
	got := Search{}.TraceAlikes(p, cam, kin)
	if len(got) != 2 {
		t.Fatalf("%d holes like it, want 2", len(got))
	}
	for _, want := range places[1:] {
		near := math.Inf(1)
		for _, r := range got {
			if d := r.Centre.Dist(want); d < near && math.Abs(r.R-bore) < 0.1 && r.Odds() > 0 {
				near = d
			}
		}
		if near > 0.1 {
			t.Errorf("none at (%.0f, %.0f): the nearest is %.2f mm off", want.X, want.Y, near)
		}
	}
}
