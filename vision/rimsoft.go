package vision

import (
	"math"

	"trimscribe/calib"
)

// A mouth whose edge is broken or rounded, with a lip that no fit made out, shows as one edge
// softer than the photo makes a sharp one. Seen from above such a lip is a ramp of light: of
// width w it has the variance w^2/12 (a uniform distribution's), which adds to the blur's own;
// and the fit lies in the middle of it, half a width inside the mouth. What is softer may be
// so for other reasons, a shadow or focus, so that is as likely true as not.
//
// Of 144 sharp rims that were rendered, in focus, out of it and shaken, the edge's spread was
// 1.03 times that of the square's frame in the median, 1.10 in the 95th of a hundred and 1.20 at
// most; of 14 with a chamfer that was not made out, 1.15 to 1.9 times, and w was 0.65 to 2.6 times
// what the diameter was too narrow by. Of one more, before a floor in the sun, it was 1.01.

// EdgeU is the standard uncertainty of the radius, mm, for the sake of what no fit tells of the
// edge, in a photo that spreads a sharp one so far (EdgeSpread, px; 0 when that is not known): a
// lip, and the camera's tone curve.
func (r Rim) EdgeU(cam calib.Camera, spread float64) float64 {
	return math.Hypot(r.LipU(cam, spread), toneShift*r.spread)
}

// toneShift is by how many standard deviations of the blur an edge may seem to lie aside, as a
// standard uncertainty: light is told by the sRGB curve, but a camera's own tone curve bends it.
// Taken for a power of 0.7 to 1.4, the middle of the step is then at the 0.37 to 0.61 of its
// light that lies 0.3 deviations (of the normal distribution) either way: by 3^(1/2), as if
// evenly likely (the GUM, 4.3.7). The powers are an estimate of ours.
const toneShift = 0.17

// LipU is the standard uncertainty of the radius for the sake of a lip that was not made out,
// mm, in a photo that spreads a sharp edge so far (EdgeSpread, px; 0 when that is not known).
func (r Rim) LipU(cam calib.Camera, spread float64) float64 {
	if r.spread == 0 || spread == 0 {
		return 0
	}
	sharp := spread / cam.PxPerMM(r.Centre, r.Z)
	width := math.Sqrt(12 * math.Max(0, r.spread*r.spread-sharp*sharp))
	return 0.5 * width / 2 // as of what is one of two with even odds
}

// fit makes the rim what its profiles have it to be.
func (r *Rim) fit(f rimFit) {
	r.Circle, r.Cov, r.Fitted = f.circle(), f.cov(), true
	r.sizeU = math.Sqrt(covOf(f.Result, [3]int{pX, pY, pR})[2][2])
	r.spread = newSoftStep(math.Exp(f.X[pBlur]), f.X[pHalo]).spread() * f.px
}
