package vision

import (
	"math"

	"trimscribe/calib"
)

// At returns the linear luminance at a place between pixels, by bilinear
// interpolation; beyond the border the border's value goes on.
func (p *Photo) At(q calib.Point) float64 {
	x := math.Min(math.Max(q.X, 0), float64(p.Width-1))
	y := math.Min(math.Max(q.Y, 0), float64(p.Height-1))
	ix, iy := min(int(x), p.Width-2), min(int(y), p.Height-2)
	fx, fy := x-float64(ix), y-float64(iy)
	i := iy*p.Width + ix
	top := float64(p.Lin[i])*(1-fx) + float64(p.Lin[i+1])*fx
	low := float64(p.Lin[i+p.Width])*(1-fx) + float64(p.Lin[i+p.Width+1])*fx
	return top*(1-fy) + low*fy
}

// inside tells whether q is at least margin pixels from the photo's border.
func (p *Photo) inside(q calib.Point, margin float64) bool {
	return q.X >= margin && q.Y >= margin && q.X <= float64(p.Width-1)-margin && q.Y <= float64(p.Height-1)-margin
}

// A stepFilter finds brightness steps along a profile: the response to a
// derivative of a Gaussian, scaled so that an ideal step of height 1 answers 1.
type stepFilter struct {
	spacing float64 // between samples, px (or any unit the caller works in)
	kernel  []float64
}

// newStepFilter makes a filter for profiles sampled every spacing, smoothing
// with the given sigma in the same unit.
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
	return stepFilter{spacing, k}
}

// margin is how many samples at each end of a profile have no response.
func (f stepFilter) margin() int { return len(f.kernel) / 2 }

// respond returns the response at each sample, positive where the profile
// rises; zero within the margin.
func (f stepFilter) respond(profile []float64) []float64 {
	m := f.margin()
	out := make([]float64, len(profile))
	for i := m; i < len(profile)-m; i++ {
		sum := 0.0
		for j, k := range f.kernel {
			sum += k * profile[i+j-m]
		}
		out[i] = sum
	}
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
