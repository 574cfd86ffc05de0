package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// A crossing is an edge that a ray meets.
type crossing struct {
	ray    int
	at     calib.Point // mm
	weight float64     // 0.5 to 1: how far it stands out from the grain
}

// A look is how finely rays sample the photo for edges.
type look struct {
	rays    int
	lines   int     // that make one ray, as profile has it
	spacing float64 // between samples, mm
	sigma   float64 // of the step filter, mm
	grain   float64 // the least step that counts, as a share of the brighter side
}

// coarseRays is enough to tell whether a guess is worth a close look.
const coarseRays = 72

// closeLook samples a circle as finely as the photo shows it: a line in every two
// pixels of its circumference, three at least to a ray, a sample every half pixel.
// A large circle has more lines to a ray, not more rays: what is averaged
// all along its edge stands out from the grain of the face.
func closeLook(cam calib.Camera, z float64, c calib.Circle) look {
	scale := cam.PxPerMM(c.Centre, z)
	around := 2 * math.Pi * c.R * scale
	rays := clamp(around/1.5, 48, mostRays)
	return look{int(rays), max(3, int(around/rays/2)), 0.5 / scale, 1 / scale, leastJump}
}

// mostRays is how many rays are enough for any circle.
const mostRays = 150

// crossings returns every edge that stands out from the grain, ray by ray, between
// two distances from where the rays start, the nearest first.
func (s rays) crossings(low, high float64, l look) []crossing {
	f := newStepFilter(l.sigma, l.spacing)
	from := low - float64(f.margin())*l.spacing
	n := int((high-low)/l.spacing) + 2*f.margin() + 1
	var all []crossing
	profile, response := make([]float64, n), make([]float64, n)
	for k := range s.n {
		s.profile(k, from, from+float64(n-1)*l.spacing, l.lines, profile)
		ray := s.ray(float64(k))
		f.respondInto(response, profile)
		for i := f.margin() + 1; i < n-f.margin()-1; i++ {
			v := math.Abs(response[i])
			jump := response[i] / brightest(profile, i, f.margin())
			if v < math.Abs(response[i-1]) || v <= math.Abs(response[i+1]) || math.Abs(jump) < l.grain {
				continue
			}
			at := ray.At.Add(ray.Out.Mul(from + peak(response, i)*l.spacing))
			all = append(all, crossing{k, at, weigh(jump, l.grain)})
		}
	}
	return all
}

// weigh says how far a step stands out from the grain, 0.5 (just) to 1.
func weigh(jump, grain float64) float64 {
	u := jump / grain
	return u * u / (1 + u*u)
}

// behind is what an edge's weight is worth for each edge that lies outside it
// on the same ray. Walking in from the face, a mouth's edge comes first, or
// right after a shadow or a scratch; the wall, the far side's rim and a mesh
// come behind it, often with more contrast.
var behind = [...]float64{1, 0.4, 0.25}

// outer keeps each ray's outermost edges, the first with the most weight.
func outer(all []crossing) []crossing {
	var kept []crossing
	for i := len(all) - 1; i >= 0; {
		ray := all[i].ray
		for rank := 0; i >= 0 && all[i].ray == ray; rank, i = rank+1, i-1 {
			if rank < len(behind) {
				c := all[i]
				c.weight *= behind[rank]
				kept = append(kept, c)
			}
		}
	}
	return kept
}

// nearestEach picks of each ray the crossing that lies nearest the curve, if it is
// within the tolerance; off is how far one lies off.
func nearestEach(all []crossing, tolerance float64, off func(crossing) float64) []calib.Point {
	var pts []calib.Point
	for i := 0; i < len(all); {
		ray := all[i].ray
		best, at := tolerance, calib.Point{}
		for ; i < len(all) && all[i].ray == ray; i++ {
			if d := math.Abs(off(all[i])); d < best {
				best, at = d, all[i].at
			}
		}
		if best < tolerance {
			pts = append(pts, at)
		}
	}
	return pts
}

// nearCircle is nearestEach for a circle.
func nearCircle(all []crossing, c calib.Circle, tolerance float64) []calib.Point {
	return nearestEach(all, tolerance, func(x crossing) float64 { return x.at.Dist(c.Centre) - c.R })
}

// faceGrain is the least step that stands out from the grain of the face
// round a circle: noise of the photo, texture of the plastic. What goes all round with a hole
// is an edge, of the insert or the boss that it is in, and no grain.
func faceGrain(p *Photo, cam calib.Camera, z float64, c calib.Circle, l look) float64 {
	f := newStepFilter(l.sigma, l.spacing)
	n := 4*f.margin() + 1
	low := 1.1*c.R + 2*l.sigma
	high := low + float64(n-1)*l.spacing
	at := make([][]float64, n-2*f.margin()) // so far out, ray by ray
	profile := make([]float64, n)
	face := raysFrom(p, cam, z, c.Centre, l.rays)
	for k := 0; k < face.n; k += max(1, face.n/48) {
		face.profile(k, low, high, l.lines, profile)
		steps := f.respond(profile)[f.margin() : n-f.margin()]
		for i, v := range steps {
			at[i] = append(at[i], v/brightest(profile, i+f.margin(), f.margin()))
		}
	}
	var jumps []float64
	for _, steps := range at {
		round := 0.0
		if 2*c.R <= MaxHole {
			round = median(steps)
		}
		for _, v := range steps {
			jumps = append(jumps, math.Abs(v-round))
		}
	}
	return math.Max(leastJump, 3*median(jumps))
}

// leastJump is the least step that counts, as a share of the brighter side:
// the lit wall of a hole is often nearly as bright as the face.
const leastJump = 0.05

// brightest is the greatest luminance within reach samples of i, kept above
// the noise of black.
func brightest(profile []float64, i, reach int) float64 {
	return math.Max(0.02, slices.Max(profile[max(0, i-reach):min(len(profile), i+reach+1)]))
}
