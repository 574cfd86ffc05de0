package main

import (
	"image"
	"math"
	"math/rand/v2"
)

// developing is what happens between the light in front of the lens and the
// picture in the file.
type developing struct {
	Seed       uint64     `json:"seed"`
	Exposure   float64    `json:"exposure"`     // factor on the rendered light; 1.0 after it is white
	Blur       float64    `json:"blur_px"`      // the lens's spot, standard deviation
	Defocus    float64    `json:"defocus_px"`   // radius of the disc that a point out of focus becomes
	Motion     float64    `json:"motion_px"`    // how far the picture moved while the shutter was open
	MotionTurn float64    `json:"motion_deg"`   // which way, anticlockwise from the picture's right
	FullWell   float64    `json:"full_well_e"`  // electrons at white: sets the shot noise
	ReadNoise  float64    `json:"read_noise_e"` // electrons, standard deviation
	Vignetting float64    `json:"vignetting"`   // share of light lost in the corners
	Tint       [3]float64 `json:"tint"`         // red, green, blue: what the white balance got wrong
	Sharpening float64    `json:"sharpening"`   // share of the detail that the phone adds once more; its edges overshoot by it
	Quality    int        `json:"quality"`      // JPEG, 1 to 100
}

// smoothing is the standard deviation, in pixels, of the noise filter that a
// phone runs on its pictures: noise comes in soft grains, not in single pixels.
const smoothing = 0.55

// sharpenReach is how wide the phone looks for detail to sharpen, standard
// deviation in pixels.
const sharpenReach = 1.4

// develop turns a rendered picture, its values linear in light, into the 8-bit
// picture of a phone's camera. In the order of nature: lens blur, focus, the
// hand's motion and vignetting, shot and read noise in the sensor, then noise
// filter, white balance, tone curve, sRGB's transfer function and sharpening.
// Each blur is even about its point, so that none moves an edge. The same seed
// gives the same picture.
func develop(picture image.RGBA64Image, d developing) *image.RGBA {
	size := picture.Bounds().Size()
	out := image.NewRGBA(image.Rectangle{Max: size})
	curve := toneCurve()
	for channel := range 3 {
		p := newPlane(picture, channel, d.Exposure)
		p.blur(d.Blur)
		p.defocus(d.Defocus)
		p.move(d.Motion, d.MotionTurn)
		p.vignette(d.Vignetting)
		p.expose(d, rand.New(rand.NewPCG(d.Seed, uint64(channel))))
		p.blur(smoothing)
		for i, v := range p.light {
			p.light[i] = curve.at(v * float32(d.Tint[channel]))
		}
		p.sharpen(d.Sharpening)
		for i, v := range p.light {
			out.Pix[4*i+channel] = uint8(min(max(v, 0), 255) + 0.5)
			out.Pix[4*i+3] = 255
		}
	}
	return out
}

// expose adds shot noise, whose variance in electrons is their number, and read
// noise.
func (p *plane) expose(d developing, random *rand.Rand) {
	for i, v := range p.light {
		electrons := math.Max(0, float64(v)) * d.FullWell
		noise := math.Sqrt(electrons+d.ReadNoise*d.ReadNoise) * random.NormFloat64()
		p.light[i] = float32((electrons + noise) / d.FullWell)
	}
}

// curve maps light from 0 to 1 to values from 0 to 255 by a table.
type curve [1 << 14]float32

func (c *curve) at(v float32) float32 {
	i := int(v*float32(len(c)-1) + 0.5)
	return c[min(max(i, 0), len(c)-1)]
}

// toneCurve is a gentle S about middle grey on the sRGB-coded value, as phones
// apply to look crisp.
func toneCurve() *curve {
	const strength = 0.25
	c := new(curve)
	for i := range c {
		v := sRGB(float64(i) / float64(len(c)-1))
		s := v * v * (3 - 2*v)
		c[i] = float32(255 * (v + strength*(s-v)))
	}
	return c
}

// sRGB codes light from 0 to 1 by the transfer function of IEC 61966-2-1.
func sRGB(v float64) float64 {
	if v <= 0.0031308 {
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}
