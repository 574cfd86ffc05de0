package main

import (
	"cmp"
	"image"
	"math"
	"slices"
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

// defocus spreads each point over a disc of the given radius, in pixels.
func (p *plane) defocus(radius float64) {
	if radius <= 0 {
		return
	}
	var taps []tap
	reach := int(math.Ceil(radius))
	for y := -reach; y <= reach; y++ {
		for x := -reach; x <= reach; x++ {
			if share := inDisc(x, y, radius); share > 0 {
				taps = append(taps, tap{x, y, share})
			}
		}
	}
	p.spread(taps)
}

// inDisc is how much of a pixel lies in a disc about the origin, by a grid of
// 16 x 16 places in it.
func inDisc(x, y int, radius float64) float32 {
	const fine = 16
	n := 0
	for i := range fine {
		for j := range fine {
			dx, dy := float64(x)+(float64(i)+0.5)/fine-0.5, float64(y)+(float64(j)+0.5)/fine-0.5
			if dx*dx+dy*dy <= radius*radius {
				n++
			}
		}
	}
	return float32(n) / (fine * fine)
}

// move spreads each point evenly along a line of the given length, in pixels,
// about it.
func (p *plane) move(length, degrees float64) {
	if length <= 0 {
		return
	}
	const fine = 8 // places a pixel
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	n := int(math.Ceil(length * fine))
	shares := map[[2]int]float32{}
	for i := range n {
		s := length * ((float64(i)+0.5)/float64(n) - 0.5)
		x, y := s*cos, -s*sin
		x0, y0 := math.Floor(x), math.Floor(y)
		for _, c := range [][2]float64{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
			share := (1 - math.Abs(x-x0-c[0])) * (1 - math.Abs(y-y0-c[1]))
			shares[[2]int{int(x0 + c[0]), int(y0 + c[1])}] += float32(share)
		}
	}
	var taps []tap
	for at, share := range shares {
		taps = append(taps, tap{at[0], at[1], share})
	}
	// Sums must not hang on a map's order.
	slices.SortFunc(taps, func(a, b tap) int { return cmp.Or(a.y-b.y, a.x-b.x) })
	p.spread(taps)
}

// tap is a share of the light that comes from a pixel so far away.
type tap struct {
	x, y  int
	share float32
}

// spread makes each pixel the mean of those about it, weighed by their shares.
// At the border it repeats the last pixel.
func (p *plane) spread(taps []tap) {
	var sum float32
	for _, t := range taps {
		sum += t.share
	}
	out := make([]float32, len(p.light))
	for _, t := range taps {
		w := t.share / sum
		for y := range p.height {
			from := p.light[min(max(y+t.y, 0), p.height-1)*p.width:]
			row := out[y*p.width:]
			for x := range p.width {
				row[x] += w * from[min(max(x+t.x, 0), p.width-1)]
			}
		}
	}
	p.light = out
}

// sharpen adds a share of what is finer than sharpenReach once more.
func (p *plane) sharpen(share float64) {
	if share <= 0 {
		return
	}
	soft := &plane{p.width, p.height, slices.Clone(p.light)}
	soft.blur(sharpenReach)
	for i, v := range soft.light {
		p.light[i] += float32(share) * (p.light[i] - v)
	}
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
