package vision

import (
	"math"

	"trimscribe/calib"
)

// A flat is the photo as seen straight on: the plane z = 0 resampled to a
// regular grid, in grey as the eye sees it (sRGB coded, 0 to 255).
type flat struct {
	region calib.Rect // mm on the panel
	scale  float64    // px per mm
	w, h   int
	pix    []float32
}

// flatPixels is the most pixels a flattened view gets; above it the view is
// made coarser than the photo.
const flatPixels = 8_000_000

// flatten resamples the part of the plane z = 0 that the photo shows, at most
// reach mm from the panel's origin, at the photo's own scale there.
func flatten(p *Photo, cam calib.Camera, reach float64) flat {
	return flattenRegion(p, cam, visible(p, cam, reach), cam.PxPerMM(calib.Point{}, 0))
}

// flattenAt is flatten at a scale of at most so many pixels a millimetre.
func flattenAt(p *Photo, cam calib.Camera, reach, scale float64) flat {
	return flattenRegion(p, cam, visible(p, cam, reach), scale)
}

// flattenRegion resamples a region of the plane z = 0 at a scale, px per mm,
// or at a lower one where that makes too many pixels.
func flattenRegion(p *Photo, cam calib.Camera, region calib.Rect, scale float64) flat {
	f := flat{scale: scale, region: region}
	if n := f.region.Width() * f.region.Height() * f.scale * f.scale; n > flatPixels {
		f.scale *= math.Sqrt(flatPixels / n)
	}
	f.w = max(1, int(f.region.Width()*f.scale))
	f.h = max(1, int(f.region.Height()*f.scale))
	f.pix = make([]float32, f.w*f.h)
	Parallel(f.h, func(y int) {
		for x := range f.w {
			q := f.mm(float64(x), float64(y))
			px := cam.Project(calib.Vec3{X: q.X, Y: q.Y})
			f.pix[y*f.w+x] = float32(encodeSRGB(float32(p.At(px))))
		}
	})
	return f
}

// mm returns the panel's point under a pixel of the view.
func (f flat) mm(x, y float64) calib.Point {
	return calib.Point{X: f.region.Min.X + (x+0.5)/f.scale, Y: f.region.Max.Y - (y+0.5)/f.scale}
}

// at is the view's grey nearest to a place on the panel, of its border for what it does not
// show.
func (f flat) at(q calib.Point) float64 {
	x := min(max(int((q.X-f.region.Min.X)*f.scale), 0), f.w-1)
	y := min(max(int((f.region.Max.Y-q.Y)*f.scale), 0), f.h-1)
	return float64(f.pix[y*f.w+x])
}

// visible is the rectangle of the plane z = 0 that holds all of the photo's
// border, cut to reach.
func visible(p *Photo, cam calib.Camera, reach float64) calib.Rect {
	r := calib.Rect{Min: calib.Point{X: math.Inf(1), Y: math.Inf(1)}, Max: calib.Point{X: math.Inf(-1), Y: math.Inf(-1)}}
	for i := range 41 {
		t := float64(i) / 40
		x, y := t*float64(p.Width-1), t*float64(p.Height-1)
		for _, px := range []calib.Point{{X: x}, {X: x, Y: float64(p.Height - 1)}, {Y: y}, {X: float64(p.Width - 1), Y: y}} {
			q := cam.ToPlane(px, 0)
			r.Min.X, r.Min.Y = math.Min(r.Min.X, q.X), math.Min(r.Min.Y, q.Y)
			r.Max.X, r.Max.Y = math.Max(r.Max.X, q.X), math.Max(r.Max.Y, q.Y)
		}
	}
	r.Min.X, r.Min.Y = math.Max(r.Min.X, -reach), math.Max(r.Min.Y, -reach)
	r.Max.X, r.Max.Y = math.Min(r.Max.X, reach), math.Min(r.Max.Y, reach)
	return r
}
