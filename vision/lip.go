package vision

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib"
	"trimscribe/calib/lsq"
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

// A lipBand is a lip on one ray.
type lipBand struct {
	lip
	lit   float64 // how light it is against the face; a fillet, at the wall
	bound bool    // lit is as low or as high as it can be
	free  bool    // lit is not known
}

// lipTerms is how many terms of a Fourier series tell how light a lip is all
// round: the mean, the cosine and sine of the direction, which is what one far
// lamp makes of it (Lambert), and of twice that, for what hides or gleams. That the light
// goes round so smoothly tells a lip from the grain of the face.
const lipTerms = 5

func lipSeries(dir calib.Point) [lipTerms]float64 {
	cos2, sin2 := twice(dir)
	return [lipTerms]float64{1, dir.X, dir.Y, cos2, sin2}
}

// bounds are the least and the most light of a lip as a share of the face's: one
// that faces a lamp low above the panel is up to twice as light (Lambert), and a
// fillet's wall that is turned away takes away of the face's light.
func (b lipBand) bounds() (least, most float64) {
	if b.lip == fillet {
		return -1, 2
	}
	return 0, 2
}

// meanLit is the most light of a lip, in the mean all round, as a share of the
// face's. What one side gains of a lamp the other loses, so the lamp's mean goes
// with the cosine of the slope, 45 degrees or in the mean 90, but for what is
// never darker than dark; and a slope sees less of the sky than the face.
var meanLit = [...]float64{chamfer: 0.95, fillet: 0.55}

// isLit tells whether the fit's lip, if it has one, is lit as a lip can be.
func (m rimProfile) isLit(x []float64) bool { return m.lip == sharp || x[pLit] < meanLit[m.lip] }

// band is the lip on a ray.
func (m rimProfile) band(ray profiledRay, x []float64) lipBand {
	b := lipBand{lip: m.lip}
	if m.lip != sharp {
		for k, v := range lipSeries(ray.Out) {
			b.lit += x[pLit+k] * v
		}
		least, most := b.bounds()
		lit := clamp(b.lit, least, most)
		b.lit, b.bound = lit, lit != b.lit
	}
	return b
}

// opening is the circle inside the lip, as it is seen in the mouth's plane.
func (m rimProfile) opening(x []float64) calib.Circle {
	c := m.mouth(x)
	width := math.Max(0, x[pNarrow])
	return calib.Circle{Centre: c.Centre.Add(m.sink.Mul(width)), R: (c.R - width) * (1 - width*m.shrink)}
}

// light fills in how light the lip is, as the rays have it that show it.
func (m rimProfile) light(x []float64) {
	edges := make([]float64, 0, mostEdges)
	normal := mat.NewSymDense(lipTerms, nil)
	right := mat.NewVecDense(lipTerms, nil)
	for k := range lipTerms {
		normal.SetSym(k, k, 1/(plausible[pLit+k]*plausible[pLit+k]))
	}
	for _, ray := range m.rays {
		on := m.edgesOn(ray, x, edges)
		width := on[0] - on[1]
		fit := fitRay(ray, modelRay(on, lipBand{lip: m.lip, free: true}, m.soft(ray, x)))
		if width < leastBand || fit.level[0] <= 0 {
			continue
		}
		series := lipSeries(ray.Out)
		row := mat.NewVecDense(lipTerms, series[:])
		normal.SymRankOne(normal, width, row)
		right.AddScaledVec(right, width*fit.level[1]/fit.level[0], row)
	}
	var chol mat.Cholesky
	chol.Factorize(normal) // its diagonal keeps it positive definite
	lit := mat.NewVecDense(lipTerms, x[pLit:pLit+lipTerms])
	_ = chol.SolveVecTo(lit, right)
}

// lipWorth is by how much, for each ray, a lip must make a fit the likelier (in
// left's unit) to be as likely as none. Sharpening by the camera, and the gleam on
// a broken edge, go all round as a lip does and are worth some. Where another
// hole of the kind has the lip, little is needed.
const (
	lipWorth  = 8.0
	likeWorth = 1.5
)

// A lipFit is a rim with a lip, the guesses to begin from, and its fit from them; nil
// before it was asked for or where there is none.
type lipFit struct {
	rimProfile
	tries []try
	*lsq.Result
}

// fit fits the lip from its guesses, if that was not done.
func (l *lipFit) fit() {
	if l.Result == nil {
		if fit, err := fitModel(l.rimProfile, l.shortFits(l.tries, 8), 0); err == nil {
			l.Result = fit
		}
	}
}

// orLip is the fit, or the likeliest with a lip.
func (f rimFit) orLip(worth float64, lips ...lipFit) rimFit {
	var forms []rimFit
	for _, with := range lips {
		with.fit()
		if fit := with.Result; fit != nil && !with.strays(fit.X) && with.isLit(fit.X) && with.shows(fit.X) {
			forms = append(forms, rimFit{rimProfile: with.rimProfile, Result: fit})
		}
	}
	if len(forms) == 0 {
		return f
	}
	best := slices.MinFunc(forms, func(a, b rimFit) int { return cmp.Compare(a.left(a.X), b.left(b.X)) })
	return f.orWith(best, forms, worth)
}

// orWith is the fit, or one of its forms with a lip if that is worth so much more; what it is without a
// lip is kept.
func (f rimFit) orWith(o rimFit, forms []rimFit, worth float64) rimFit {
	with := f.or(o, worth)
	with.forms, with.bare = forms, f.bare
	if with.lip != sharp && f.lip == sharp {
		with.bare = &f
	}
	return with
}

// oneLip gives all holes that have a lip the one that suits them best together:
// holes of one panel are made in one way. To one that can only have the other it
// is worth what a lip is.
func oneLip(fits []rimFit) {
	worse := 0.0 // a fillet than a chamfer, in all
	var of []int
	for i, f := range fits {
		if !f.isHole() || f.lip == sharp || len(f.forms) == 0 {
			continue
		}
		of = append(of, i)
		has := [...]float64{chamfer: lipWorth, fillet: lipWorth}
		for _, o := range f.forms {
			has[o.lip] = (o.left(o.X) - f.left(f.X)) / float64(len(f.rays))
		}
		worse += has[fillet] - has[chamfer]
	}
	better := fillet
	if worse > 0 {
		better = chamfer
	}
	for _, i := range of {
		for _, o := range fits[i].forms {
			if o.lip == better {
				o.plain, o.other, o.bare, o.forms = fits[i].plain, fits[i].other, fits[i].bare, fits[i].forms
				fits[i] = o
			}
		}
	}
}

// noLoneLip takes a lip back that no other hole has, where two others are as wide as what is
// inside it, or as the fit without it: what goes round one hole alone is a shadow on the face, or
// a stain. Either may be true still.
func noLoneLip(fits []rimFit) {
	found := slices.Clone(fits)
	Parallel(len(fits), func(i int) {
		f := found[i]
		if !f.isHole() || f.bare == nil || asWide(found, f.circle().R, i) > 0 {
			return
		}
		if asWide(found, f.bare.circle().R, i) > 1 {
			fits[i] = f.bare.orMaybe(f, mistake(0))
		} else if r := f.circle().R - f.X[pNarrow]; asWide(found, r, i) > 1 {
			if o := f.bare.heldAt(r); o.Result != nil {
				fits[i] = o.orMaybe(f, mistake(0))
			}
		}
	})
}

// lipTries are guesses of a lip, from a fit without one: that may have found
// the lip's outer edge, its inner, or a mixture.
func (f rimFit) lipTries(l lip) lipFit {
	with := lipFit{rimProfile: f.rimProfile}
	with.lip = l
	few := with.few(18)
	bare := slices.Clone(f.X)
	bare[pDepth], bare[pU], bare[pV] = 0, 0, 0
	for _, wider := range []float64{0, 1.5, 3, 4.5, 6} { // px
		for _, off := range around(8, 0, 1.5, 3) {
			if off.Norm() > wider+1.5 {
				continue
			}
			for _, width := range []float64{1.5, 3, 5} { // px
				for _, base := range [][]float64{f.X, bare} {
					x := few.withLip(base, width*f.px)
					x[pX] += off.X * f.px
					x[pY] += off.Y * f.px
					x[pR] += wider * f.px
					few.light(x)
					with.tries = append(with.tries, try{x, few.left(x)})
				}
			}
		}
	}
	sortTries(with.tries)
	return with
}

// withLip is x, of a rim with or without a lip, with a lip of the given width.
func (m rimProfile) withLip(x []float64, width float64) []float64 {
	out := make([]float64, m.params())
	copy(out, x[:pNarrow])
	out[pNarrow] = width
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
	with := lipFit{rimProfile: f.rimProfile}
	with.lip = o.lip
	with.tries = with.lipsAbout(mouth, width, f.X, make([]float64, pNarrow))
	sortTries(with.tries)
	worth := likeWorth
	if f.lip != sharp {
		worth = -likeWorth
	}
	got := f.orLip(worth, with)
	if math.Abs(got.circle().R-mouth) > 0.3*width {
		return f
	}
	return got
}

// lipsAbout are guesses of a rim whose radius and width of lip are known, but not quite
// where it is; what else there is to know is as in one of the bases.
func (m rimProfile) lipsAbout(radius, width float64, bases ...[]float64) []try {
	few := m.few(18)
	var tries []try
	for _, off := range around(12, 0, 1.2, 2.5, 4) {
		for _, base := range bases {
			x := few.withLip(base, width)
			x[pX], x[pY], x[pR] = off.X*m.px, off.Y*m.px, radius-m.start.R
			few.light(x)
			tries = append(tries, try{x, few.left(x)})
		}
	}
	return tries
}

// facets is how many flat pieces stand for a fillet's quarter circle.
const facets = 4

// A facet is a flat piece of a lip: where it ends, as a share of the band from the
// mouth's edge inwards, and by how much its light is the face's and that of the
// wall beneath.
type facet struct{ end, face, wall float64 }

// lipFacets are a lip's pieces. A chamfer is one. On a fillet, a matt surface's light
// goes with the cosine to the lamp (Lambert), and so, as the surface turns from
// the face (normal up) to the wall (normal across), with both of theirs by the
// turn's cosine and sine. Seen from above, the sine is the way across the band.
var lipFacets = func() (f [fillet + 1][]facet) {
	f[chamfer] = []facet{{end: 1, wall: 1}}
	for i := range facets {
		mid := (float64(i) + 0.5) / facets
		f[fillet] = append(f[fillet], facet{float64(i+1) / facets, math.Sqrt(1 - mid*mid), mid})
	}
	return f
}()

// stretch is one facet of the lip on a ray.
func (b lipBand) stretch(f facet) stretch {
	s := stretch{facet: f.end, face: f.face}
	if b.free {
		s.own, s.level = f.wall, 1
	} else {
		s.face += f.wall * b.lit
		s.turn = f.wall
	}
	return s
}
