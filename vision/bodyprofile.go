package vision

import (
	"math"

	"trimscribe/calib"
)

// bodyProfile fits a body's rim as rimProfile fits a mouth, turned inside out:
// going outwards along each ray the photo shows the body's back, a band and what
// lies beyond. The band is the body's own wall where the camera sees it, the
// shadow, or the gap to the opening; its far end is a circle too, moved to one side
// and a little wider or narrower.
type bodyProfile struct {
	profiles
	start calib.Circle
	known float64 // radius, mm
}

// The parameters: the centre and radius as rimProfile's, the far circle's place
// against the rim's, the blur, and how much wider it is.
const (
	bU     = pR + 1 + iota // of the far circle's centre, mm from the rim's
	bV                     //
	bBlur                  // sigma, px, as a logarithm
	bWider                 // mm
	bCount
)

// secondU is how far the far circle may plausibly lie off the rim, mm: it is the
// wall's foot or the shadow.
const secondU = 2.0

func newBodyProfile(p *Photo, cam calib.Camera, rim Rim, known float64) bodyProfile {
	px := 1 / cam.PxPerMM(rim.Centre, rim.Z)
	look := closeLook(cam, rim.Z, rim.Circle)
	// From outside inwards, for threeLevels goes from the inside out.
	rays := raysFrom(p, cam, rim.Z, rim.Centre, look.rays)
	return bodyProfile{rays.profiles(px, rim.R+profileIn*px, rim.R-profileOut*px, look.lines), rim.Circle, known}
}

// fit refines the circle. ok is false when the profiles do not tell more than
// the trace did.
func (m bodyProfile) fit() (c calib.Circle, cov [3][3]float64, ok bool) {
	got, err := fitModel(m, m.guess(), 0)
	if err != nil || math.Hypot(got.X[pX], got.X[pY]) > 0.5*farthest*m.px || math.Exp(got.X[bBlur]) > mostBlur {
		return calib.Circle{}, cov, false
	}
	return m.rim(got.X), covOf(got, [3]int{pX, pY, pR}), true
}

// guess is the best of a few fits from the likeliest places of the far circle.
func (m bodyProfile) guess() []float64 {
	few := m
	few.profiles = m.profiles.few(50)
	var tries []try
	for _, off := range around(8, 0, 2, 4) { // px
		for _, wider := range []float64{0, 2.5} {
			x := make([]float64, bCount)
			x[bU], x[bV], x[bWider] = off.X*m.px, off.Y*m.px, wider*m.px
			tries = append(tries, try{x, few.left(x)})
		}
	}
	return bestOf(few, tries, 3)
}

func (m bodyProfile) rim(x []float64) calib.Circle {
	return calib.Circle{Centre: m.start.Centre.Add(calib.Point{X: x[pX], Y: x[pY]}), R: m.start.R + x[pR]}
}

// priors is one for each of the far circle's parameters, and one for the radius.
func (m bodyProfile) priors() int { return 5 }

func (m bodyProfile) steps() []float64 {
	h := 0.02 * m.px
	return []float64{h, h, h, h, h, 0.01, h}
}

func (m bodyProfile) left(x []float64) float64 { return unexplained(m, x) }

// eval compares the profiles with the model (lsq's residuals).
func (m bodyProfile) eval(x, r []float64) {
	rim := m.rim(x)
	second := calib.Circle{Centre: rim.Centre.Add(calib.Point{X: x[bU], Y: x[bV]}), R: rim.R + x[bWider]}
	blur := math.Exp(x[bBlur])
	high := m.start.R + profileIn*m.px
	k := 0
	for _, ray := range m.rays {
		at := (high - crossingOf(ray.Station, rim)) / m.px
		far := (high - crossingOf(ray.Station, second)) / m.px
		threeLevels(ray, at, math.Min(far, at), blur, r[k:k+profileSamples])
		k += profileSamples
	}
	r[k], r[k+1], r[k+2] = x[bU]/secondU, x[bV]/secondU, x[bWider]/secondU
	r[k+3] = x[bBlur] / plausibleBlur
	r[k+4] = bodyOff(rim.R, m.known)
}
