package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// A lip is what is between the face and an opening's wall. The opening is then
// a narrower circle about the mouth's axis, as deep as it is narrower: at 45
// degrees, as chamfers mostly are, and on a quarter of a torus.
type lip int

const (
	sharp   lip = iota // nothing
	chamfer            // a cone, of one level on a ray
	fillet             // a quarter of a torus, whose light changes as it turns away
)

// By how much, for each ray, a lip must make a fit the likelier (in left's unit)
// to be as likely as none. Sharpening by the camera, and the gleam on a broken
// edge, go all round as a chamfer does and are worth some; they look less like a
// fillet. Where another hole of the kind has the lip, little is needed.
var (
	lipWorth  = [...]float64{chamfer: 14, fillet: 9}
	likeWorth = [...]float64{chamfer: 2, fillet: 2}
)

// opening is the circle inside the lip, as it is seen in the mouth's plane.
func (m rimProfile) opening(x []float64) calib.Circle {
	c := m.mouth(x)
	width := math.Max(0, x[pNarrow])
	return calib.Circle{Centre: c.Centre.Add(m.sink.Mul(width)), R: (c.R - width) * (1 - width*m.shrink)}
}

// orLip is the fit, or the likeliest with a lip, from the best of the guesses,
// if that is worth enough. The other form may be the true one: its distance is
// taken for uncertainty, as much as it is likely.
func (f rimFit) orLip(tries []try, worth [fillet + 1]float64, lips ...lip) rimFit {
	best, least, most := f, f.left(f.X), 0.0
	for _, lip := range lips {
		with := f.rimProfile
		with.lip = lip
		fit, err := fitModel(with, with.shortFits(tries, 8), 0)
		if err != nil || with.strays(fit.X) {
			continue
		}
		left := with.left(fit.X)
		share := (f.left(f.X) - left) / float64(len(f.rays)) / worth[lip]
		if left < least && (share >= 1 || share > most) {
			best, least, most = rimFit{rimProfile: with, Result: fit}, left, share
		}
	}
	apart := best.circle().Centre.Sub(f.circle().Centre)
	if most < 1 {
		f.other = apart.Mul(mixedU(0.5 * most * most))
		return f
	}
	best.plain = most
	best.other = apart.Mul(mixedU(0.5 / (most * most)))
	return best
}

// mixedU is the standard deviation of what is 1 with probability p and else 0.
func mixedU(p float64) float64 { return math.Sqrt(p * (1 - p)) }

// lipTries are guesses of a lip, from a fit without one: that may have found
// the lip's outer edge, its inner, or a mixture.
func (f rimFit) lipTries() []try {
	few := f.few(18)
	few.lip = chamfer
	trace := make([]float64, len(f.X))
	bare := slices.Clone(f.X)
	bare[pDepth], bare[pU], bare[pV] = 0, 0, 0
	var out []try
	for _, wider := range []float64{0, 1.5, 3, 4.5, 6} { // px
		for _, off := range around(8, 0, 1.5, 3) {
			if off.Norm() > wider+1.5 {
				continue
			}
			for _, width := range []float64{1.5, 3, 5} { // px
				for _, base := range [][]float64{f.X, bare, trace} {
					y := append(slices.Clone(base), width*f.px)
					y[pX] += off.X * f.px
					y[pY] += off.Y * f.px
					y[pR] += wider * f.px
					out = append(out, try{y, few.left(y)})
				}
			}
		}
	}
	sortTries(out)
	return out
}

// like fits a rim anew as another is found to be, when that has a plainer lip:
// holes of one kind are made by one core pin or one countersink, so what is plain
// on one need hardly show on the next, or shows as something else.
func (f rimFit) like(o rimFit) rimFit {
	mouth, width := o.circle().R, o.X[pNarrow]
	if o.plain <= f.plain || f.start.R < mouth-1.5*width || f.start.R > mouth+0.5*width {
		return f
	}
	few := f.few(18)
	few.lip = o.lip
	var tries []try
	for _, off := range around(12, 0, 1.2, 2.5, 4) {
		for _, base := range [][]float64{f.X[:pNarrow], make([]float64, pNarrow)} {
			x := append(slices.Clone(base), width)
			x[pX], x[pY], x[pR] = off.X*f.px, off.Y*f.px, mouth-f.start.R
			tries = append(tries, try{x, few.left(x)})
		}
	}
	sortTries(tries)
	worth := likeWorth
	if f.lip != sharp {
		worth[o.lip] = 0.01
	}
	got := f.orLip(tries, worth, o.lip)
	if math.Abs(got.circle().R-mouth) > 0.3*width {
		return f
	}
	return got
}

// bounds are the least and the most level of a lip's band, where the face has the
// given one: one that faces a lamp low above the panel is up to twice as light as
// the face (Lambert), and a fillet's wall that is turned away takes away of the
// face's light.
func (l lip) bounds(face float64) (least, most float64) {
	if l == fillet {
		least = -face
	}
	return least, 2 * face
}

// facets is how many flat pieces stand for a fillet's quarter circle.
const facets = 4

// A facet is a flat piece of a fillet: where it ends, as a share of the band
// from the mouth's edge inwards, and by how much its light is the face's and
// that of the wall beneath. A matt surface's light goes with the cosine to the
// lamp (Lambert), and so, as the surface turns from the face (normal up) to the
// wall (normal across), with both of theirs by the turn's cosine and sine. Seen
// from above, the sine is the way across the band.
type facet struct{ end, face, wall float64 }

var filletFacets = func() (f [facets]facet) {
	for i := range f {
		mid := (float64(i) + 0.5) / facets
		f[i] = facet{float64(i+1) / facets, math.Sqrt(1 - mid*mid), mid}
	}
	return f
}()
