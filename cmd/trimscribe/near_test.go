package main

import (
	"strings"
	"testing"

	"trimscribe/calib"
)

// What a person reads off the overlay picture is the circle that they point at,
// in a photo that was made smaller for it too.
func TestNearest(t *testing.T) {
	for _, width := range []int{4032, 1200} {
		survey, cam := madeSurvey(width, width*3/4)
		photo := plain(width, width*3/4)
		shrink := min(1, 2400/float64(width))
		var cands []calib.Candidate
		var heights []calib.HeightFound
		for i, f := range append(survey.Features, survey.Candidates...) {
			cands = append(cands, calib.Candidate{Circle: calib.Circle{Centre: calib.Point{X: f.X, Y: f.Y}, R: f.Diameter / 2}, Kind: f.Kind})
			heights = append(heights, calib.HeightFound{MM: float64(i)}) // each at its own height
		}
		pixel := func(x, y, z float64) calib.Point {
			return cam.Project(calib.Vec3{X: x, Y: y, Z: z}).Add(calib.Point{X: 0.5, Y: 0.5}).Mul(shrink)
		}
		for i, c := range cands {
			want := i
			if i == 6 { // about the grille's centre, and less likely than it
				want = 3
			}
			if got, err := nearest(photo, cam, cands, heights, pixel(c.Centre.X+1, c.Centre.Y-1, heights[i].MM)); got != want || err != nil {
				t.Errorf("%d px: circle %d, want %d (%v)", width, got, want, err)
			}
		}
		if _, err := nearest(photo, cam, cands, heights, calib.Point{X: 5, Y: 5}); err == nil || !strings.Contains(err.Error(), "no circle near 5,5") {
			t.Errorf("%d px: %v", width, err)
		}
	}
}
