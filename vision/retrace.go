package vision

import (
	"cmp"
	"math"
	"slices"

	"trimscribe/calib"
)

// Retrace fits a rim once more, in the plane at height z.
func (r Rim) Retrace(p *Photo, cam calib.Camera, z float64) Rim {
	r = r.Moved(cam, cam, z)
	if r.Fitted {
		if fit, ok := fitRim(p, cam, r.toRing()); ok {
			r = r.toRing()
			r.fit(fit.within(p, cam, r))
		}
	}
	return r
}

// Refined is the rim as its profiles have it, if that has not been asked yet; as it is where
// they tell no more than the trace.
func (r Rim) Refined(p *Photo, cam calib.Camera) Rim {
	if !r.Fitted {
		if fit, ok := fitRim(p, cam, r); ok {
			r.fit(fit.within(p, cam, r))
		}
	}
	return r
}

// SizeU is the standard uncertainty of the radius against those of other rims of the photo, mm:
// what its fit's own noise makes it, or so much of a trace. What other form the edge may have is
// not in it, for that is alike for all holes of a kind.
func (r Rim) SizeU(cam calib.Camera) float64 {
	if r.Fitted {
		return r.sizeU
	}
	return r.TraceU(cam)
}

// Moved is the same rim in the photo, told by another camera and in another
// plane.
func (r Rim) Moved(before, now calib.Camera, z float64) Rim {
	seen := before.Around(r.Circle, r.Z)
	on := make([]calib.Point, len(seen))
	for i, px := range seen {
		on[i] = now.ToPlane(px, z)
	}
	if fit, err := calib.FitCircle(on); err == nil {
		grown := fit.R / r.R
		for i := range r.Cov {
			for j := range r.Cov[i] {
				r.Cov[i][j] *= grown * grown
			}
		}
		r.Circle, r.Z = fit.Circle, z
		r.spread, r.lip, r.sizeU = grown*r.spread, grown*r.lip, grown*r.sizeU
		r.Boss, r.bore, r.around = grown*r.Boss, grown*r.bore, grown*r.around
	}
	return r
}

// TraceAt traces a circle that is expected at a place. ok is false when the
// photo shows none there.
func TraceAt(p *Photo, cam calib.Camera, c calib.Circle, z float64) (r Rim, ok bool) {
	if !Sees(p, cam, c, z) {
		return Rim{}, false
	}
	r, ok = traceRim(p, cam, z, c, leastCoverage)
	if !ok || r.Centre.Dist(c.Centre) > expectedPlace || math.Abs(r.R-c.R) > expectedRadius+0.02*c.R {
		return Rim{}, false
	}
	return r.Refined(p, cam), true
}

// TraceKin looks about a place, as far as the slack (mm), for a hole of the kind of another:
// made by the same core pin, in a boss if that is in one. What its size is known of is told
// from the circles about it, a boss's edge or its shadow, that hid it when all sizes were
// looked for. ok is false when the photo shows none there.
func TraceKin(p *Photo, cam calib.Camera, kin Rim, place calib.Point, slack float64) (r Rim, ok bool) {
	step := searchCentre * kin.R // from each guess the search reaches as far
	n := int(slack/step) + 1
	found := findEach((2*n+1)*(2*n+1), func(i int) (Rim, bool) {
		off := calib.Point{X: float64(i%(2*n+1) - n), Y: float64(i/(2*n+1) - n)}.Mul(step)
		at := calib.Circle{Centre: place.Add(off), R: kin.R}
		if off.Norm() > slack || !Sees(p, cam, at, kin.Z) {
			return Rim{}, false
		}
		r, ok := traceRim(p, cam, kin.Z, at, leastCoverage)
		return r, ok && math.Abs(r.R-kin.R) < expectedRadius+0.02*kin.R
	})
	if len(found) == 0 {
		return Rim{}, false
	}
	r = slices.MaxFunc(found, func(a, b Rim) int { return cmp.Compare(a.Odds(), b.Odds()) })
	r.Boss = r.bossAs(p, cam, kin)
	return r.Refined(p, cam), true
}

// How far what is traced may be from what was expected, mm, and still be it.
const (
	expectedPlace  = 0.4
	expectedRadius = 0.12
)
