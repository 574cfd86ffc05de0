package vision

import (
	"math"

	"trimscribe/calib"
)

// Retrace fits a rim once more, in the plane at height z.
func (r Rim) Retrace(p *Photo, cam calib.Camera, z float64) Rim {
	r = r.Moved(cam, cam, z)
	if r.Fitted {
		if fit, ok := fitProfile(p, cam, r); ok {
			r.Circle, r.Cov = fit.circle(), fit.cov()
		}
	}
	return r
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
	if fit, ok := fitProfile(p, cam, r); ok {
		r.Circle, r.Cov, r.Fitted = fit.circle(), fit.cov(), true
	}
	return r, true
}

// How far what is traced may be from what was expected, mm, and still be it.
const (
	expectedPlace  = 0.4
	expectedRadius = 0.12
)
