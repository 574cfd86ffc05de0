package vision

import (
	"image"
	"image/color"
	"math"

	"trimscribe/calib"
)

// Region is an upright rectangle on the panel, mm: Min its lower left corner.
type Region struct{ Min, Max calib.Point }

// Flatten draws the part of a photo that shows a region of the plane at height
// z as if seen straight from above: x to the right, y up, pxPerMM pixels a
// millimetre. What the photo does not show is white. It is a picture to look
// at; nothing is measured in it.
func Flatten(p *Photo, cam calib.Camera, r Region, z, pxPerMM float64) *image.RGBA {
	w := int(math.Round((r.Max.X - r.Min.X) * pxPerMM))
	h := int(math.Round((r.Max.Y - r.Min.Y) * pxPerMM))
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	mid := r.Min.Add(r.Max).Mul(0.5)
	// Where many photo pixels fall into one of ours, one sample would flicker.
	samples := min(max(int(math.Ceil(cam.PxPerMM(mid, z)/pxPerMM)), 1), 8)
	step := 1 / (pxPerMM * float64(samples))
	Parallel(h, func(y int) {
		for x := range w {
			corner := calib.Point{X: r.Min.X + float64(x)/pxPerMM, Y: r.Max.Y - float64(y)/pxPerMM}
			var sum [3]float64
			for j := range samples {
				for i := range samples {
					at := calib.Vec3{X: corner.X + (float64(i)+0.5)*step, Y: corner.Y - (float64(j)+0.5)*step, Z: z}
					c := p.seen(cam, at)
					for k := range sum {
						sum[k] += c[k]
					}
				}
			}
			n := float64(samples * samples)
			out.SetRGBA(x, y, color.RGBA{uint8(sum[0]/n + 0.5), uint8(sum[1]/n + 0.5), uint8(sum[2]/n + 0.5), 255})
		}
	})
	return out
}

// seen returns the colour (0 to 255) that a photo has where a point of the
// panel's space is; white when it does not show it.
func (p *Photo) seen(cam calib.Camera, v calib.Vec3) [3]float64 {
	white := [3]float64{255, 255, 255}
	if cam.R.Apply(v).Add(cam.T).Z <= 0 { // behind the camera
		return white
	}
	at := cam.Project(v)
	if !(at.X >= 0 && at.Y >= 0 && at.X <= float64(p.Width-1) && at.Y <= float64(p.Height-1)) {
		return white
	}
	x, y := min(int(at.X), p.Width-2), min(int(at.Y), p.Height-2)
	fx, fy := at.X-float64(x), at.Y-float64(y)
	i := p.RGB.PixOffset(x, y)
	a, b := p.RGB.Pix[i:i+8], p.RGB.Pix[i+p.RGB.Stride:i+p.RGB.Stride+8]
	var c [3]float64
	for k := range c {
		top := float64(a[k])*(1-fx) + float64(a[k+4])*fx
		low := float64(b[k])*(1-fx) + float64(b[k+4])*fx
		c[k] = top*(1-fy) + low*fy
	}
	return c
}
