package vision

import "math"

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
