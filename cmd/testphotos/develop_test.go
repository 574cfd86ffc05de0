package main

import (
	"bytes"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"
)

// grey is an evenly lit picture, linear in light.
func grey(width, height int, light float64) image.RGBA64Image {
	p := image.NewRGBA64(image.Rect(0, 0, width, height))
	v := uint16(math.Round(light * 0xffff))
	for y := range height {
		for x := range width {
			p.SetRGBA64(x, y, color.RGBA64{v, v, v, 0xffff})
		}
	}
	return p
}

var plain = developing{Seed: 7, Exposure: 1, Blur: 0.8, FullWell: 3000, ReadNoise: 4, Tint: [3]float64{1, 1, 1}, Quality: 90}

func TestDevelopIsDeterministicBySeed(t *testing.T) {
	picture := grey(64, 48, 0.3)
	first := develop(picture, plain).Pix
	if !bytes.Equal(first, develop(picture, plain).Pix) {
		t.Error("the same seed gave two pictures")
	}
	other := plain
	other.Seed++
	if bytes.Equal(first, develop(picture, other).Pix) {
		t.Error("another seed gave the same picture")
	}
}

// Shot noise has the variance of the count of electrons, on top of read noise
// (Poisson's law).
func TestExposeNoise(t *testing.T) {
	const light = 0.25
	p := newPlane(grey(400, 400, light), 0, 1)
	p.expose(plain, rand.New(rand.NewPCG(1, 2)))
	mean, square := 0.0, 0.0
	for _, v := range p.light {
		mean += float64(v)
		square += float64(v) * float64(v)
	}
	n := float64(len(p.light))
	mean /= n
	deviation := math.Sqrt(square/n - mean*mean)
	want := math.Sqrt(light*plain.FullWell+plain.ReadNoise*plain.ReadNoise) / plain.FullWell
	if math.Abs(mean-light) > 4*want/math.Sqrt(n) {
		t.Errorf("noise moved the mean from %.4f to %.4f", light, mean)
	}
	if math.Abs(deviation/want-1) > 0.01 {
		t.Errorf("noise deviates by %.5f, want %.5f", deviation, want)
	}
}

// A blur keeps the light and its centre, and has the deviation it was asked for.
func TestBlurOfAPoint(t *testing.T) {
	const sigma = 1.3
	p := newPlane(grey(41, 41, 0), 0, 1)
	p.light[23*41+17] = 1
	p.blur(sigma)
	var sum, mx, my, xx float64
	for y := range 41 {
		for x := range 41 {
			v := float64(p.light[y*41+x])
			sum += v
			mx += v * float64(x)
			my += v * float64(y)
			xx += v * float64(x-17) * float64(x-17)
		}
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"light", sum, 1}, {"x", mx, 17}, {"y", my, 23}, {"deviation", math.Sqrt(xx), sigma}} {
		if math.Abs(c.got-c.want) > 2e-3 {
			t.Errorf("%s is %.4f, want %.4f", c.what, c.got, c.want)
		}
	}
}

// Focus and motion keep the light and its centre; a disc's deviation along an
// axis is half its radius, a line's is its length / sqrt(12).
func TestFocusAndMotionOfAPoint(t *testing.T) {
	const size = 61
	for name, c := range map[string]struct {
		blur func(p *plane)
		want [3]float64 // variances xx, yy, xy; y points down
	}{
		"focus":  {func(p *plane) { p.defocus(4.3) }, [3]float64{4.3 * 4.3 / 4, 4.3 * 4.3 / 4, 0}},
		"motion": {func(p *plane) { p.move(12, 30) }, [3]float64{12 * 0.75, 12 * 0.25, -12 * math.Sqrt(3) / 4}},
	} {
		p := newPlane(grey(size, size, 0), 0, 1)
		p.light[29*size+33] = 1
		c.blur(p)
		var sum, mx, my, xx, yy, xy float64
		for y := range size {
			for x := range size {
				v, dx, dy := float64(p.light[y*size+x]), float64(x-33), float64(y-29)
				sum, mx, my, xx, yy, xy = sum+v, mx+v*dx, my+v*dy, xx+v*dx*dx, yy+v*dy*dy, xy+v*dx*dy
			}
		}
		if math.Abs(sum-1) > 1e-4 || math.Hypot(mx, my) > 1e-4 {
			t.Errorf("%s: light %.5f, centre off by %.5f, %.5f", name, sum, mx, my)
		}
		for i, got := range []float64{xx, yy, xy} {
			if math.Abs(got-c.want[i]) > 0.25 { // bilinear and pixels add up to 1/4
				t.Errorf("%s: variances %.3f %.3f %.3f, want %.3f", name, xx, yy, xy, c.want)
				break
			}
		}
	}
}

// Sharpening leaves flat parts as they are and overshoots on both sides of an
// edge, which it does not move.
func TestSharpenOvershoots(t *testing.T) {
	p := newPlane(grey(40, 9, 0), 0, 1)
	for i := range p.light {
		p.light[i] = 50
		if x := i % 40; x > 20 {
			p.light[i] = 150
		} else if x == 20 {
			p.light[i] = 100
		}
	}
	p.sharpen(0.8)
	row := p.light[4*40 : 5*40]
	for x, want := range map[int]float64{2: 50, 20: 100, 37: 150} {
		if math.Abs(float64(row[x])-want) > 0.01 {
			t.Errorf("at %d: %.2f, want %g", x, row[x], want)
		}
	}
	if row[19] > 45 || row[21] < 155 {
		t.Errorf("no overshoot: %.1f and %.1f beside an edge from 50 to 150", row[19], row[21])
	}
}

// Values of sRGB's transfer function: IEC 61966-2-1 (memory). Middle grey of
// 18 % light is 46 % of the code, 50 % light is 73.5 %.
func TestSRGB(t *testing.T) {
	for light, want := range map[float64]float64{0: 0, 0.0031308: 0.04045, 0.18: 0.4614, 0.5: 0.7354, 1: 1} {
		if got := sRGB(light); math.Abs(got-want) > 1e-4 {
			t.Errorf("sRGB(%g) is %.5f, want %.5f", light, got, want)
		}
	}
}

func TestToneCurveRises(t *testing.T) {
	c := toneCurve()
	if c.at(0) != 0 || c.at(1) != 255 || c.at(-3) != 0 || c.at(3) != 255 {
		t.Errorf("the curve's ends are %g and %g, beyond them %g and %g", c.at(0), c.at(1), c.at(-3), c.at(3))
	}
	for i := 1; i < len(c); i++ {
		if c[i] < c[i-1] {
			t.Fatalf("the curve falls at %d", i)
		}
	}
}

func TestVignetteLosesItsShareInTheCorner(t *testing.T) {
	p := newPlane(grey(41, 31, 0.5), 0, 1)
	p.vignette(0.2)
	if middle, corner := p.light[15*41+20], p.light[0]; math.Abs(float64(middle)-0.5) > 1e-4 || math.Abs(float64(corner)-0.4) > 1e-4 {
		t.Errorf("middle %.4f and corner %.4f, want 0.5 and 0.4", middle, corner)
	}
}
