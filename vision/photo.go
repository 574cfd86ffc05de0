package vision

import (
	"image"
	"math"
	"path/filepath"

	"trimscribe/calib"
)

// Photo is a picture as a person sees it: turned the way Exif says, with its
// light made linear.
type Photo struct {
	File          string // its path, as the user gave it
	Width, Height int    // px, after turning

	// Lin is the luminance of each pixel, row by row, 0 (black) to 1 (white),
	// proportional to light: the sRGB curve is undone, because an edge blurred
	// by a lens is symmetric in light and not in stored values. An sRGB
	// picture is assumed, as phones make it.
	Lin []float32

	// RGB is the picture as stored (not linear), for showing; it is opaque.
	RGB *image.RGBA

	Exif // what it says of the camera
}

// Exif is what a photo's Exif block says of the camera. Zero values are unknown.
type Exif struct {
	FocalEquiv  float64 // 35 mm-equivalent focal length, mm (CIPA DC-008, tag 0xA405), by the 43.27 mm diagonal
	FocalLength float64 // true focal length, mm
	Make, Model string  // of the camera
	LensModel   string
	Orientation int  // how the stored picture was turned, 1 to 8 (tag 0x0112); 0 when it is not told
	Cropped     bool // the picture's shape is not the one Exif tells, so that FocalEquiv no longer holds and is left 0
}

// Name returns the photo's file name without its folder.
func (p *Photo) Name() string { return filepath.Base(p.File) }

// At returns the linear luminance at a place between pixels, by bilinear
// interpolation; beyond the border the border's value goes on.
func (p *Photo) At(q calib.Point) float64 {
	ix, iy := int(q.X), int(q.Y)
	if !(q.X >= 0 && q.Y >= 0 && ix < p.Width-1 && iy < p.Height-1) {
		q.X = math.Min(math.Max(q.X, 0), float64(p.Width-1))
		q.Y = math.Min(math.Max(q.Y, 0), float64(p.Height-1))
		ix, iy = min(int(q.X), p.Width-2), min(int(q.Y), p.Height-2)
	}
	fx, fy := q.X-float64(ix), q.Y-float64(iy)
	i := iy*p.Width + ix
	top, low := p.Lin[i:i+2], p.Lin[i+p.Width:i+p.Width+2]
	a := float64(top[0]) + fx*float64(top[1]-top[0])
	b := float64(low[0]) + fx*float64(low[1]-low[0])
	return a + fy*(b-a)
}

// colour is the linear red, green and blue of the pixel nearest to a place; beyond the border
// the border's.
func (p *Photo) colour(q calib.Point) [3]float64 {
	x := min(max(int(math.Round(q.X)), 0), p.Width-1)
	y := min(max(int(math.Round(q.Y)), 0), p.Height-1)
	if p.RGB == nil { // made of luminance alone
		v := float64(p.Lin[y*p.Width+x])
		return [3]float64{v, v, v}
	}
	px := p.RGB.Pix[p.RGB.PixOffset(x, y):]
	return [3]float64{float64(linearOf8[px[0]]), float64(linearOf8[px[1]]), float64(linearOf8[px[2]])}
}

// inside tells whether q is at least margin pixels from the photo's border.
func (p *Photo) inside(q calib.Point, margin float64) bool {
	return q.X >= margin && q.Y >= margin && q.X <= float64(p.Width-1)-margin && q.Y <= float64(p.Height-1)-margin
}
