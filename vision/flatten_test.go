package vision

import (
	"image"
	"image/color"
	"math"
	"testing"

	"trimscribe/calib"
)

// A photo drawn through a camera and flattened by it is the pattern again, at
// its place and scale: an underlay that is off would have the user trust
// lines that lie beside their holes.
func TestFlattenUndoesTheCamera(t *testing.T) {
	cam := tiltedCamera(1200, 900)
	const z = 4.0
	pattern := func(p calib.Point) float64 { // smooth, and the same nowhere twice
		return 128 + 60*math.Sin(p.X/7) + 50*math.Cos(p.Y/9+p.X/40)
	}
	p := &Photo{Width: 1200, Height: 900, RGB: image.NewRGBA(image.Rect(0, 0, 1200, 900))}
	for y := range 900 {
		for x := range 1200 {
			v := uint8(pattern(cam.ToPlane(calib.Point{X: float64(x), Y: float64(y)}, z)))
			p.RGB.SetRGBA(x, y, color.RGBA{v, 255 - v, 7, 255})
		}
	}
	for _, scale := range []float64{5, 2, 0.5} {
		r := Region{calib.Point{X: -50, Y: -40}, calib.Point{X: 70, Y: 60}}
		m := Flatten(p, cam, r, z, scale)
		if m.Bounds().Dx() != int(120*scale) || m.Bounds().Dy() != int(100*scale) {
			t.Fatalf("scale %g: %v", scale, m.Bounds())
		}
		for y := range m.Bounds().Dy() {
			for x := range m.Bounds().Dx() {
				at := calib.Point{X: r.Min.X + (float64(x)+0.5)/scale, Y: r.Max.Y - (float64(y)+0.5)/scale}
				got := m.RGBAAt(x, y)
				if d := float64(got.R) - pattern(at); math.Abs(d) > 2.5 || got.B != 7 {
					t.Fatalf("scale %g at %v: %v, off by %g", scale, at, got, d)
				}
			}
		}
	}
	// Beyond the photo's edge, and behind the camera, there is nothing to show.
	for _, x := range []float64{-5000, 5000} {
		far := Flatten(p, cam, Region{calib.Point{X: x}, calib.Point{X: x + 10, Y: 10}}, z, 1)
		if c := far.RGBAAt(5, 5); c != (color.RGBA{255, 255, 255, 255}) {
			t.Errorf("outside the photo: %v", c)
		}
	}
}

func BenchmarkFlatten(b *testing.B) {
	cam := tiltedCamera(1200, 900)
	p := &Photo{Width: 1200, Height: 900, RGB: image.NewRGBA(image.Rect(0, 0, 1200, 900))}
	for b.Loop() {
		Flatten(p, cam, Region{calib.Point{X: -100, Y: -75}, calib.Point{X: 100, Y: 75}}, 0, 6)
	}
}
