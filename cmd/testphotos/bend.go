package main

import (
	"image"
	"image/color"
	"math"

	"trimscribe/calib"
	"trimscribe/cmd/internal/score"
)

// bend turns a pinhole's picture of a scene, its sides divided by scale, into
// that of the scene's own lens: each pixel of the photo takes the light of its
// line of sight, bilinear between the four pixels about it. Their shares have
// their centre on the place that was asked for, so that no edge moves; they soften
// the picture by at most half a pixel. A pinhole's own picture stays as it is.
func bend(picture image.RGBA64Image, s *scene, scale int) image.RGBA64Image {
	c := s.Truth.Camera
	if c.K1 == 0 {
		return picture
	}
	lens := c.Calib().Lens.Scaled(c.Width/scale, c.Height/scale)
	hole := pinhole(c, s.Render, picture.Bounds().Size())
	out := image.NewRGBA64(image.Rect(0, 0, lens.Width, lens.Height))
	for y := range lens.Height {
		for x := range lens.Width {
			ray := lens.Ray(calib.Point{X: float64(x), Y: float64(y)})
			out.SetRGBA64(x, y, lightAt(picture, hole.Pixel(ray)))
		}
	}
	return out
}

// pinhole is the camera that POV-Ray rendered with: the truth's without its
// distortion, wider, its picture of the given size.
func pinhole(c score.Camera, rendered [2]int, size image.Point) calib.Lens {
	return calib.Lens{
		Width: size.X, Height: size.Y,
		Fx: c.Fx * float64(size.X) / float64(rendered[0]),
		Fy: c.Fy * float64(size.Y) / float64(rendered[1]),
		Cx: float64(size.X-1) / 2, Cy: float64(size.Y-1) / 2,
	}
}

// lightAt returns the light at a place between a picture's pixels. At the border
// the last pixel is repeated.
func lightAt(picture image.RGBA64Image, at calib.Point) color.RGBA64 {
	b := picture.Bounds()
	x0, y0 := math.Floor(at.X), math.Floor(at.Y)
	fx, fy := at.X-x0, at.Y-y0
	var sum [3]float64
	for _, n := range [4]struct{ dx, dy, share float64 }{
		{0, 0, (1 - fx) * (1 - fy)}, {1, 0, fx * (1 - fy)}, {0, 1, (1 - fx) * fy}, {1, 1, fx * fy},
	} {
		x := min(max(b.Min.X+int(x0+n.dx), b.Min.X), b.Max.X-1)
		y := min(max(b.Min.Y+int(y0+n.dy), b.Min.Y), b.Max.Y-1)
		p := picture.RGBA64At(x, y)
		for i, v := range [3]uint16{p.R, p.G, p.B} {
			sum[i] += n.share * float64(v)
		}
	}
	value := func(i int) uint16 { return uint16(math.Round(sum[i])) }
	return color.RGBA64{R: value(0), G: value(1), B: value(2), A: 0xffff}
}

// lensFile is what a faultless calibration of the scene's camera would have
// written, its uncertainties unknown. The picture must be stored as it is looked at.
func (s *scene) lensFile() *calib.LensFile {
	return calib.NewLensFile(s.Truth.Camera.Calib().Lens, calib.Lens{}, 0,
		calib.CameraName{Make: "Invented", Model: s.Exif.Model, FocalEquiv: math.Round(s.Exif.Focal35)})
}
