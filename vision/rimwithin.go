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
	if f.lip != sharp || rim.next() == 0 {
		return f
	}
	px := 1 / cam.PxPerMM(rim.Centre, rim.Z)
	rim.Circle = f.circle()
	m := newRimProfile(p, cam, rim, px)
	m.endAt(math.Max(rim.R+leastFace*px, rim.next()-nextBlur*px))
	if m.widest == 0 {
		return f
	}
	ended, _, ok := fitBand(m, rim)
	if !ok || ended.lip != sharp {
		return f
	}
	if c := ended.circle(); c.Centre.Dist(rim.Centre) > leastFace*px || math.Abs(c.R-rim.R) > leastFace*px {
		return f
	}
	ended.other = append(ended.other, f.other...)
	return ended
}

// endAt ends the profiles at a radius, mm, if they go on beyond it.
func (m *rimProfile) endAt(r float64) {
	n := int((r-m.innermost(m.px))/(profileSpacing*m.px)) + 1
	if n >= profileSamples {
		return
	}
	for k := range m.rays {
		m.rays[k].light = m.rays[k].light[:n]
	}
	m.widest = r - m.px
}

// hidesFace tells whether a mouth is so wide that ended profiles do not show the face outside it.
func (m rimProfile) hidesFace(x []float64) bool { return m.widest > 0 && m.mouth(x).R > m.widest }
