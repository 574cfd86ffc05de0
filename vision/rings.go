package vision

import (
	"math"

	"trimscribe/calib"
)

// A brass insert's ring is the plainest circle there is. Its bore hardly shows beside it in the
// vote, and one side of its wall is as bright as the ring; but several rings tell what is in them: a dark
// circle as wide in each. Holes that light comes through have none. A ring and its bore are turned about one
// axis (common practice), so the ring tells the place, and the bores together how wide they are.
const (
	ringContrast = -0.4 // most contrast of the face with a ring
	ringAgrees   = 0.9  // least share of its edge that is so
	boreFrom     = 0.35 // radii looked at, as shares of the ring's
	boreTo       = 0.80
	boreSteps    = 6
	boreAlone    = 0.8 // least share of its circumference that a bore must show where no other is as wide
)

// markRings notes the bores of circles that are rings round them.
func markRings(p *Photo, cam calib.Camera, rims []Rim) {
	bores := make([]Rim, len(rims)) // without a radius where there is none
	isRing := make([]bool, len(rims))
	Parallel(len(rims), func(i int) {
		if !rims[i].isRing() {
			return
		}
		brass := rims[i].isBrass(p, cam)
		if isRing[i] = rims[i].Boss == 0 || brass; isRing[i] {
			bores[i] = boreIn(p, cam, rims[i], brass)
		}
	})
	for i := range rims {
		r := &rims[i]
		if !isRing[i] {
			continue
		}
		var kin []Rim
		for k, b := range bores {
			if b.R > 0 && math.Abs(math.Log(rims[k].R/r.R)) < ofOneSize {
				kin = append(kin, b)
			}
		}
		if bore, ok := sharedBore(kin); ok {
			r.bore, r.Core = bore, r.Contrast // what is inside a ring says nothing against its being one of several
		}
	}
}

// sharedBore is the radius that the bores found in rings of one size have. ok is false when none of them is sure: no
// other is as wide, nor does one show all round.
func sharedBore(bores []Rim) (r float64, ok bool) {
	if len(bores) == 0 {
		return 0, false
	}
	wide := make([]float64, len(bores))
	for i, b := range bores {
		wide[i] = b.R
	}
	r = median(wide)
	alike := 0
	for _, b := range bores {
		ok = ok || b.Coverage > boreAlone
		if math.Abs(math.Log(b.R/r)) < ofOneSize {
			alike++
		}
	}
	return r, ok || alike > 1
}

// isRing tells whether a hole's circle may be a ring's outer edge, as far as its light tells.
func (r Rim) isRing() bool {
	return r.isHole() && r.Contrast < ringContrast && r.Agreement > ringAgrees
}

// isBrass tells whether a hole's circle has another colour along its inside than the face's.
func (r Rim) isBrass(p *Photo, cam calib.Camera) bool {
	inner := r
	inner.R *= boreTo
	return isForeign(p, cam, r, inner)
}

// boreIn is the plainest circle about the middle of a ring; without a radius where there is none. It is dark inside,
// unless the ring is of brass: then light may come through.
func boreIn(p *Photo, cam calib.Camera, ring Rim, brass bool) (best Rim) {
	for k := range boreSteps {
		at := ring.Circle
		at.R *= boreFrom + (boreTo-boreFrom)*(float64(k)+0.5)/boreSteps
		bore, ok := traceRim(p, cam, ring.Z, at, leastCoverage)
		if ok && 2*bore.R >= MinHole && (brass || bore.Contrast > 0) && bore.standsIn(ring) && bore.Coverage > best.Coverage {
			best = bore
		}
	}
	return best
}

// toBore makes a fitted ring the hole in it. That was traced and not fitted: to onRim.
func (r *Rim) toBore(px float64) {
	if r.bore == 0 {
		return
	}
	r.Boss, r.R = r.R, r.bore
	r.Cov[0][2], r.Cov[1][2], r.Cov[2][0], r.Cov[2][1] = 0, 0, 0, 0
	r.sizeU = onRim * px
	r.Cov[2][2] = r.sizeU * r.sizeU
}

// toRing is the ring that a hole was measured by, or the hole itself.
func (r Rim) toRing() Rim {
	if r.bore > 0 && r.Boss > 0 {
		r.R, r.Boss = r.Boss, 0
	}
	return r
}
