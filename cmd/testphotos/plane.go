package main

import (
	"image"
	"math"
)

// plane is one colour of a picture: light, 1.0 for white, row by row.
type plane struct {
	width, height int
	light         []float32
}

// newPlane takes one colour (0 red, 1 green, 2 blue) out of a picture whose
// values are linear in light, times a factor.
func newPlane(picture image.RGBA64Image, channel int, factor float64) *plane {
	b := picture.Bounds()
	p := &plane{b.Dx(), b.Dy(), make([]float32, b.Dx()*b.Dy())}
	i := 0
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			c := picture.RGBA64At(x, y)
			p.light[i] = float32(factor * float64([3]uint16{c.R, c.G, c.B}[channel]) / 0xffff)
			i++
		}
	}
	return p
}

// blur smooths by a Gaussian of standard deviation sigma, in pixels, first along
// rows and then along columns. At the border it repeats the last pixel.
func (p *plane) blur(sigma float64) {
	if sigma <= 0 {
		return
	}
	kernel := gaussian(sigma)
	row := make([]float32, p.width)
	for y := range p.height {
		line := p.light[y*p.width : (y+1)*p.width]
		copy(row, line)
		convolve(line, row, kernel)
	}
	column, smooth := make([]float32, p.height), make([]float32, p.height)
	for x := range p.width {
		for y := range p.height {
			column[y] = p.light[y*p.width+x]
		}
		convolve(smooth, column, kernel)
		for y := range p.height {
			p.light[y*p.width+x] = smooth[y]
		}
	}
}

func convolve(out, in, kernel []float32) {
	reach := len(kernel) / 2
	for i := range out {
		var sum float32
		for k, w := range kernel {
			sum += w * in[min(max(i+k-reach, 0), len(in)-1)]
		}
		out[i] = sum
	}
}

// gaussian returns a kernel of unit sum that reaches four deviations out.
func gaussian(sigma float64) []float32 {
	reach := int(math.Ceil(4 * sigma))
	kernel := make([]float32, 2*reach+1)
	sum := 0.0
	for i := range kernel {
		d := float64(i-reach) / sigma
		sum += math.Exp(-d * d / 2)
	}
	for i := range kernel {
		d := float64(i-reach) / sigma
		kernel[i] = float32(math.Exp(-d*d/2) / sum)
	}
	return kernel
}

// vignette darkens towards the corners, where the given share of the light is
// lost.
func (p *plane) vignette(loss float64) {
	cx, cy := float64(p.width-1)/2, float64(p.height-1)/2
	corner := cx*cx + cy*cy
	for y := range p.height {
		for x := range p.width {
			dx, dy := float64(x)-cx, float64(y)-cy
			p.light[y*p.width+x] *= float32(1 - loss*(dx*dx+dy*dy)/corner)
		}
	}
}
