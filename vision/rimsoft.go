package vision

import (
	"math"

	"trimscribe/calib"
)

// A mouth whose edge is broken or rounded, with a lip that no fit made out, shows as one edge
// softer than the photo makes a sharp one. Seen from above such a lip is a ramp of light: of
// width w it has the variance w^2/12 (a uniform distribution's), which adds to the blur's own.
// What is softer may be so for other reasons, a shadow or focus, so that is as likely true as
// not. Where the lip has the face's light, it shows not even so; but what broke the holes'
// edges broke the grille's as likely as not.
//
// Of 144 sharp rims that were rendered, in focus, out of it and shaken, the edge's spread was
// 1.03 times that of the square's frame in the median, 1.10 in the 95th of a hundred and 1.20 at
// most; of 14 with a chamfer that was not made out, 1.15 to 1.9 times, and w was 0.65 to 2.6 times
// what the diameter was too narrow by. Of one more, before a floor in the sun, it was 1.01.

// Edges is what a photo tells of how rims' edges are made, by which is told how uncertain it is
// where a rim's edge lies.
type Edges struct {
	cam    calib.Camera
	spread float64 // how far the photo spreads a sharp edge, px; 0 when that is not known
	lip    float64 // width of the holes' lips in the middle of them, mm
}

// EdgesOf is that of a photo which spreads a sharp edge so far (EdgeSpread, px; 0 when that is
// not known) and shows these rims.
func EdgesOf(cam calib.Camera, spread float64, rims []Rim) Edges {
	e := Edges{cam: cam, spread: spread}
	var lips []float64
	for _, r := range rims {
		if r.Fitted && r.isHole() {
			lips = append(lips, math.Max(r.lip, e.softWidth(r)))
		}
	}
	if spread > 0 && len(lips) > 0 {
		e.lip = median(lips)
	}
	return e
}

// Cov is the covariance of a fitted rim's x, y and R, mm^2, for the sake of what no fit tells of the edge: a
// lip that was not made out, and the camera's tone curve.
//
// With such a lip of width w, at 45 degrees, what was fitted lies 0 to w deeper than the mouth, all evenly
// likely, and is as much narrower: w^2/3 in the mean square. It is seen aside as what lies deeper is. And it is
// nearer the one edge on this side and the other on that, as the light falls, by 0 to w/2: a half of a third of
// the greatest's square each way. Either is as likely as not.
func (e Edges) Cov(r Rim) (cov [3][3]float64) {
	w := e.softWidth(r)
	if r.lip == 0 {
		w = math.Max(w, e.lip)
	}
	line, perMM := parallax(e.cam, r)
	up := [3]float64{line.X * perMM, line.Y * perMM, 1} // how x, y and R go with a millimetre out of the depth
	for i := range 3 {
		for j := range 3 {
			cov[i][j] = up[i] * up[j] * w * w / 6
		}
	}
	cov[0][0] += w * w / 48
	cov[1][1] += w * w / 48
	cov[2][2] += toneShift * toneShift * r.spread * r.spread
	return cov
}

// toneShift is by how many standard deviations of the blur an edge may seem to lie aside, as a
// standard uncertainty: light is told by the sRGB curve, but a camera's own tone curve bends it.
// Taken for a power of 0.7 to 1.4, the middle of the step is then at the 0.37 to 0.61 of its
// light that lies 0.3 deviations (of the normal distribution) either way: by 3^(1/2), as if
// evenly likely (the GUM, 4.3.7). The powers are an estimate of ours.
const toneShift = 0.17

// softWidth is the width of a lip that a rim's edge is soft enough for, mm.
func (e Edges) softWidth(r Rim) float64 {
	if r.spread == 0 || e.spread == 0 {
		return 0
	}
	sharp := e.spread / e.cam.PxPerMM(r.Centre, r.Z)
	return math.Sqrt(12 * math.Max(0, r.spread*r.spread-sharp*sharp))
}

// fit makes the rim what its profiles have it to be.
func (r *Rim) fit(f rimFit) {
	r.Circle, r.Cov, r.Fitted = f.circle(), f.cov(), true
	r.sizeU = math.Sqrt(covOf(f.Result, [3]int{pX, pY, pR})[2][2])
	r.spread = newSoftStep(math.Exp(f.X[pBlur]), f.X[pHalo]).spread() * f.px
	r.lip = 0
	if f.rimProfile.lip != sharp {
		r.lip = math.Max(0, f.X[pNarrow])
	}
	if f.rimProfile.lip == fillet { // where the face begins to turn away is anywhere on it, more or less
		r.sizeU = math.Hypot(r.sizeU, r.lip/math.Sqrt(12))
	}
	r.toBore(f.px)
}
