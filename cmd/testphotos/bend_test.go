package main

import (
	"image"
	"math"
	"testing"

	"trimscribe/calib"
)

// An oblong square in a corner of a small photo, whose lens draws the corners in
// by some pixels.
const bentScene = `
#include "photo.inc"
#declare Lens_k1 = -0.15;
#declare Photo_width = 900;
#declare Photo_height = 700;
#include "panel.inc"
Camera(<38, -26, 0>, 150, 9, 40, 21)
Lamp(60, 60, 50, 0.8)
Plastic(0.2, 0, 0)
Square(37, 60, 58, <0, 0>, 0)
Bench(3, Mat(<0.3, 0.3, 0.3>))
Write_truth()
`

// The bent picture's edges must bow as the truth's camera projects them, piece
// by piece, and a pinhole must not explain them.
func TestBendAgainstProject(t *testing.T) {
	picture, s := renderText(t, bentScene)
	bent := bend(picture, s, 1)
	p := newPlane(bent, 1, 1)
	c := s.Truth.Camera
	if p.width != c.Width || p.height != c.Height {
		t.Fatalf("the bent picture is %d x %d px, the truth says %d x %d", p.width, p.height, c.Width, c.Height)
	}
	camera := c.Calib()
	straight := camera
	straight.K1 = 0
	a, b := s.Truth.Square.Size[0]/2, s.Truth.Square.Size[1]/2
	corners := []calib.Vec3{{X: -a, Y: b}, {X: a, Y: b}, {X: a, Y: -b}, {X: -a, Y: -b}}
	const pieces, places = 6, 60 // one place is as coarse as the renderer's division of pixels
	away := 0.0
	for i, from := range corners {
		along := corners[(i+1)%4].Sub(from)
		for piece := range pieces {
			mean := 0.0
			for k := range places {
				v := from.Add(along.Mul(0.1 + 0.8*float64(piece*places+k)/(pieces*places)))
				at := camera.Project(v)
				ahead := camera.Project(v.Add(along.Mul(1e-3))).Sub(at)
				mean += p.step(at, calib.Point{X: -ahead.Y, Y: ahead.X}.Mul(1/ahead.Norm())) / places
				away = math.Max(away, straight.Project(v).Dist(at))
			}
			if math.Abs(mean) > 0.03 {
				t.Errorf("edge %d, piece %d lies %.3f px from where the truth's camera puts it", i, piece, mean)
			}
		}
	}
	if away < 5 {
		t.Errorf("the lens moves the edges by %.1f px at most: the test shows nothing", away)
	}
}

// What is rendered must reach to the photo's corners, and no farther than needed.
func TestBendFillsTheCorners(t *testing.T) {
	_, s := renderText(t, bentScene)
	lens := s.Truth.Camera.Calib().Lens
	hole := pinhole(s.Truth.Camera, s.Render, image.Pt(s.Render[0], s.Render[1]))
	corner := hole.Pixel(lens.Ray(calib.Point{}))
	if corner.X < -0.5 || corner.Y < -0.5 || corner.X > 5 || corner.Y > 5 {
		t.Errorf("the photo's first pixel is taken from %.1f, %.1f px of the render", corner.X, corner.Y)
	}
}
