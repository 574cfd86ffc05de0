package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// A trace that has mixed edges, a countersink's on one side with the opening's on the other,
// lies so far aside that no fit finds the way back: the profiles are samples of a narrow band
// about it. Its size then is not its kin's. Where two holes or more agree on a size that
// another nearly has, that one is fitted anew from places about it with their size, with a lip
// and without.

const (
	anewAside  = 3.5 // px, how far aside places are tried
	anewPlaces = 8   // in so many directions
	anewWorth  = 3.0 // by how much, for each ray, a fit from another place must be the likelier
)

// fitAnew is the fits, those of odd holes from another place if that is plainly the better.
func fitAnew(p *Photo, cam calib.Camera, rims []Rim, order []int, fits []rimFit) {
	found := slices.Clone(fits)
	Parallel(len(fits), func(i int) {
		if r, ok := kinRadius(fits, i); ok {
			found[i] = fits[i].anew(p, cam, rims[order[i]], r)
		}
	})
	copy(fits, found)
}

// kinRadius is the radius that at least two other holes agree on and hole i nearly has. ok is
// false when there are none, or it has it.
func kinRadius(fits []rimFit, i int) (r float64, ok bool) {
	f := fits[i]
	if !f.isHole() {
		return 0, false
	}
	var kin []float64
	for k, o := range fits {
		if k != i && o.isHole() && math.Abs(math.Log(o.circle().R/f.circle().R)) < ofOneSize {
			kin = append(kin, o.circle().R)
		}
	}
	most := 1
	for _, a := range kin {
		n, sum := 0, 0.0
		for _, b := range kin {
			if math.Abs(a-b) < f.otherSize() {
				n++
				sum += b
			}
		}
		if n > most {
			most, r = n, sum/float64(n)
		}
	}
	return r, most > 1 && math.Abs(r-f.circle().R) > f.otherSize()
}

// anew is the fit of a rim, or the likeliest with its radius near r from places about it.
func (f rimFit) anew(p *Photo, cam calib.Camera, rim Rim, r float64) rimFit {
	best, least := f, -anewWorth
	for _, off := range around(anewPlaces, 0, anewAside) {
		rim.Circle = calib.Circle{Centre: f.circle().Centre.Add(off.Mul(f.px)), R: r}
		for _, o := range readings(newRimProfile(p, cam, rim, f.px), f) {
			// What lies apart is weighed where both are seen: in a band about the middle between them.
			rim.Circle = midway(f.circle(), o.circle())
			between := newRimProfile(p, cam, rim, f.px)
			a, okA := f.in(between)
			b, okB := o.in(between)
			if !okA || !okB || b.strays(b.X) || !b.isLit(b.X) || !b.shows(b.X) || math.Abs(b.circle().R-r) > f.otherSize() {
				continue
			}
			over := a.over(b)
			if b.lip != sharp {
				over += likeWorth
			}
			if over < least {
				b.other = slices.Clone(f.other)
				best, least = b, over
			}
		}
	}
	return best
}

// readings are fits in a band with the radius held near that of its start: sharp, or with a lip.
func readings(m rimProfile, f rimFit) (out []rimFit) {
	m.held = m.start.R
	base := slices.Clone(f.X[:pNarrow])
	base[pX], base[pY], base[pR] = 0, 0, 0
	bare := slices.Clone(base)
	bare[pDepth], bare[pU], bare[pV] = 0, 0, 0
	for _, l := range []lip{sharp, chamfer, fillet} {
		m := m
		m.lip = l
		var tries []try
		if l == sharp {
			tries = m.tries(0)
		} else {
			for _, width := range []float64{1.5, 3, 4.5} { // px
				tries = append(tries, m.lipsAbout(m.held, width*m.px, base, bare)...)
			}
			sortTries(tries)
		}
		if fit, err := fitModel(m, m.shortFits(tries, 4), 0); err == nil && !m.strays(fit.X) && m.isLit(fit.X) && m.shows(fit.X) {
			out = append(out, rimFit{rimProfile: m, Result: fit})
		}
	}
	return out
}

// in is the fit in another band.
func (f rimFit) in(m rimProfile) (rimFit, bool) {
	m.lip, m.held = f.lip, f.held
	x := rescaled(f.X, f.px, m.px)
	d := f.circle().Centre.Sub(m.start.Centre)
	x[pX], x[pY], x[pR] = d.X, d.Y, f.circle().R-m.start.R
	fit, err := fitModel(m, x, 0)
	return rimFit{rimProfile: m, Result: fit}, err == nil
}
