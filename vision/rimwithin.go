package vision

import (
	"cmp"
	"math"

	"trimscribe/calib"
)

// A bore in an insert's ring, or a grille in a collar, has the next edge some pixels outside its own. What is
// beyond that is not the face: a bright ring's end, taken for the face, made bores too narrow by 0.1 mm. So where a
// rim is sharp, it is fitted once more in profiles that end there. Where it has a lip, that may be what the next
// edge is.

// How far such a profile goes on outside the rim in any case, and how far from the next edge it stays, px.
const (
	leastFace = 2.0
	nextBlur  = 1.5
)

// next is the radius of the next circle round the rim, mm, an insert's or boss's or a collar's; 0 if none was traced.
func (r Rim) next() float64 { return cmp.Or(r.Boss, r.around) }

// within is the fit of a rim, or that in what lies within the next edge round it.
func (f rimFit) within(p *Photo, cam calib.Camera, rim Rim) rimFit {
	px := 1 / cam.PxPerMM(rim.Centre, rim.Z)
	if f.Result == nil || f.lip != sharp || rim.next() == 0 {
		return f
	}
	rim.Circle = f.circle()
	m := newRimProfile(p, cam, rim, px)
	m.endAt(math.Max(rim.R+leastFace*px, rim.next()-nextBlur*px), px)
	if m.perRay() == profileSamples {
		return f
	}
	near, _, ok := fitBand(m, rim)
	if !ok || near.lip != sharp || near.circle().Centre.Dist(rim.Centre) > leastFace*px || math.Abs(near.circle().R-rim.R) > leastFace*px {
		return f
	}
	near.other = append(near.other, f.other...)
	return near
}

// endAt ends the profiles at a radius, mm. A mouth must leave some of the face before that.
func (m *rimProfile) endAt(r, px float64) {
	n := int((r-m.innermost(m.px))/(profileSpacing*m.px)) + 1
	if n >= profileSamples {
		return
	}
	for k := range m.rays {
		m.rays[k].light = m.rays[k].light[:n]
	}
	m.mostR = r - px
}
