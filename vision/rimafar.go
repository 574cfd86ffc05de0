package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// The profiles are a narrow band about the trace, a few pixels each way, for that is where a
// sharp edge, its wall and its shadow are. A mould's rounding of half a millimetre is wider
// than that in a photo of many pixels a millimetre: the band shows a part of it, and the fit
// takes that for something else. So where the band is narrow, the rim is fitted from afar too,
// in one that holds a wide lip. A fit that is right in the narrow band is so in the wide one;
// where it is not, or another is plainly the likelier there, that other is taken.
//
// Of 204 rendered rims with the true cameras, roundings up to 0.7 mm among them, 15 were more
// than 0.1 mm off from near alone and 10 are so, 0.033 mm in the mean and 0.026.
const (
	farUnit   = 0.16 // mm that stand for a pixel, from afar: the band then begins 0.8 mm out of the trace
	leastFar  = 1.3  // how many pixels that must be to show more
	afarWorth = 6.0  // by how much, for each ray, another must be the likelier: from near, an edge is finer
	steady    = 0.5  // px that the fit from near may move by in the wide band
)

// fitRim refines a traced rim from near, and from afar if that shows more. ok is false when
// the profiles do not tell more than the trace did, or the trace denies it.
func fitRim(p *Photo, cam calib.Camera, rim Rim) (f rimFit, ok bool) {
	f, ok = fitNearAndFar(p, cam, rim)
	return f, ok && !rim.denies(f)
}

// denies tells whether a fit has lost a rim in a collar that shows all round: between a mouth and a collar
// of one plastic, all in one light, it finds shades to follow, but the trace then passes along the edge.
func (r Rim) denies(f rimFit) bool {
	return r.around > 0 && r.Coverage > allRound && f.lip == sharp && f.circle().Centre.Dist(r.Centre) > tracedPx*f.px
}

// fitNearAndFar fits a traced rim in the bands from near and from afar.
func fitNearAndFar(p *Photo, cam calib.Camera, rim Rim) (f rimFit, ok bool) {
	px := 1 / cam.PxPerMM(rim.Centre, rim.Z)
	f, ok = fitProfile(p, cam, rim, px)
	if farUnit < leastFar*px {
		return f, ok
	}
	far, seen := fitProfile(p, cam, rim, farUnit)
	switch {
	case !ok:
		return far, seen
	case !seen:
		return f, true
	}
	here, seen := f.in(far.rimProfile)
	if !seen || here.strays(here.X) {
		return f, true
	}
	here.other = f.other
	over := here.over(far)
	near := f.orMaybe(far, mistake(over+afarWorth))
	switch {
	case over < -afarWorth:
		f = far.orMaybe(f, mistake(-over-afarWorth))
	case here.circle().Centre.Dist(f.circle().Centre) > steady*px:
		f = here.orMaybe(f, mistake(0)).orMaybe(far, mistake(over+afarWorth))
	default:
		return near, true
	}
	f.near = &near
	return f, true
}

// kinFromNear takes holes back to their fits from near where more of the others have that
// size: what goes round one hole alone, an insert's edge or a boss's, is no rounding of it.
func kinFromNear(fits []rimFit) {
	for i, f := range fits {
		if f.isHole() && f.near != nil && asWide(fits, f.near.circle().R, i) > asWide(fits, f.circle().R, i) {
			fits[i] = *f.near
		}
	}
}

// asWide is how many holes but the one at the index have such a radius.
func asWide(fits []rimFit, r float64, but int) (n int) {
	for k, o := range fits {
		if k != but && o.isHole() && math.Abs(o.circle().R-r) < o.otherSize() {
			n++
		}
	}
	return n
}

// rescaled is a fit's parameters for another unit of the profiles: the blur is in units.
func rescaled(x []float64, from, to float64) []float64 {
	y := slices.Clone(x)
	y[pBlur] += math.Log(from / to)
	return y
}
