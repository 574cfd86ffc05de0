package vision

import (
	"image"
	"image/color"
	"math"
	"testing"

	"trimscribe/calib"
)

// What lies behind a hole may be just as light as the face, and of another colour: a wooden
// bench behind blue plastic. By that it is told from a ring embossed in the face.
func TestAnotherColourInside(t *testing.T) {
	cam := flatCamera(200, 160)
	hole := calib.Circle{Centre: calib.Point{X: 1, Y: -2}, R: 3}
	const light = 0.3
	face, wood := [3]float64{0.2, 0.3, 0}, [3]float64{0.6, 0.22, 0} // linear red, green; blue makes up the luminance
	p := drawn(cam, func(calib.Point) float64 { return light })
	p.RGB = image.NewRGBA(image.Rect(0, 0, p.Width, p.Height))
	paint := func(q calib.Point, within [3]float64) {
		for y := range p.Height {
			for x := range p.Width {
				c := face
				if cam.ToPlane(calib.Point{X: float64(x), Y: float64(y)}, 0).Dist(q) < hole.R {
					c = within
				}
				c[2] = (light - wRed*c[0] - wGreen*c[1]) / wBlue
				p.RGB.SetRGBA(x, y, color.RGBA{encodeSRGB(float32(c[0])), encodeSRGB(float32(c[1])), encodeSRGB(float32(math.Min(1, c[2]))), 255})
			}
		}
	}
	look := func(within [3]float64) Appearance {
		paint(hole.Centre, within)
		a := Appearance{Coverage: 0.8}
		a.compare(p, cam, 0, hole.Centre, hole.R, stationsOn(hole, compared))
		return a
	}
	if a := look(wood); a.Hue < plainMouth || a.asFace() != 0 || a.words() != "of another colour inside" {
		t.Errorf("wood behind it: hue %.2f, %.2f for being as the face, %q", a.Hue, a.asFace(), a.words())
	}
	if a := look(face); a.Hue > 0.01 || a.asFace() > -2.9 {
		t.Errorf("a ring: hue %.2f, %.2f for being as the face", a.Hue, a.asFace())
	}
}
