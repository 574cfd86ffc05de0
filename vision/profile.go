package vision

import (
	"math"

	"trimscribe/calib"
)

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

// inside tells whether q is at least margin pixels from the photo's border.
func (p *Photo) inside(q calib.Point, margin float64) bool {
	return q.X >= margin && q.Y >= margin && q.X <= float64(p.Width-1)-margin && q.Y <= float64(p.Height-1)-margin
}

// A stepFilter finds brightness steps along a profile: the response to a
// derivative of a Gaussian, scaled so that an ideal step of height 1 answers 1.
type stepFilter struct {
	kernel []float64
}

// newStepFilter makes a filter for profiles sampled every spacing, smoothing
// with the given sigma in the same unit (px, mm).
func newStepFilter(sigma, spacing float64) stepFilter {
	half := int(math.Ceil(3 * sigma / spacing))
	k := make([]float64, 2*half+1)
	sum := 0.0
	for i := range k {
		u := float64(i-half) * spacing / sigma
		k[i] = u * math.Exp(-u*u/2)
		sum += math.Abs(k[i])
	}
	for i := range k {
		k[i] *= 2 / sum
	}
	return stepFilter{k}
}

// respondInto is respond into a slice of the profile's length, for loops that
// run often.
func (f stepFilter) respondInto(out, profile []float64) {
	m := f.margin()
	clear(out[:m])
	clear(out[len(out)-m:])
	for i := m; i < len(profile)-m; i++ {
		sum := 0.0
		window := profile[i-m : i+m+1]
		for j, k := range f.kernel {
			sum += k * window[j]
		}
		out[i] = sum
	}
}

// margin is how many samples at each end of a profile have no response.
func (f stepFilter) margin() int { return len(f.kernel) / 2 }

// respond returns the response at each sample, positive where the profile
// rises; zero within the margin.
func (f stepFilter) respond(profile []float64) []float64 {
	out := make([]float64, len(profile))
	f.respondInto(out, profile)
	return out
}

// peak refines the extreme at sample i of a response to a fraction of a
// sample, by the parabola through it and its neighbours.
func peak(response []float64, i int) float64 {
	if i <= 0 || i >= len(response)-1 {
		return float64(i)
	}
	a, b, c := response[i-1], response[i], response[i+1]
	d := a - 2*b + c
	if d == 0 {
		return float64(i)
	}
	return float64(i) + math.Max(-0.5, math.Min(0.5, 0.5*(a-c)/d))
}
