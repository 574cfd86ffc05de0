package vision

import (
	"cmp"
	"math"
	"slices"

	"trimscribe/calib"
	"trimscribe/calib/lsq"
)

// Beside a mouth there is often a second edge a pixel or five inside it: the far
// end of the wall, where the camera looks along it, or the edge of the mouth's
// own shadow on what lies behind, where the lamp does. An edge filter that sees
// both at once puts each in the wrong place, and a different one first on every
// side. So a rim that has been traced is fitted once more, as what it is. Both
// the wall's end and the shadow are circles as wide as the mouth, moved to one
// side; so along each ray the photo should show three levels, blurred: the
// face, a band, and what lies behind. The levels are free on every ray; the
// mouth, the second circle's place and the blur are the same all round.
type rimProfile struct {
	start   calib.Circle
	px      float64 // mm of one pixel at the rim
	rays    []profiledRay
	samples int // on each ray
}

// A profiledRay is the luminance along one ray, at the rim.
type profiledRay struct {
	dir   calib.Point
	light []float64
	noise float64 // what a residual is measured in: noise grows with light
}

// The stretch of each ray that is fitted, in pixels from the traced rim.
const (
	profileIn      = 6.0
	profileOut     = 4.0
	profileSpacing = 0.5
)

// leastBand is the width in pixels below which a band cannot be told
// from its neighbours.
const leastBand = 0.5

// farthest is how far, in pixels, the fit may leave the traced rim before it is
// taken for another edge.
const farthest = 6.0

// The parameters of the fit.
const (
	pX    = iota // of the mouth's centre, mm from the start
	pY           //
	pR           // radius, mm more than at the start
	pU           // of the second circle's centre, mm from the mouth's
	pV           //
	pBlur        // sigma, px, as a logarithm
	pCount
)

// bandU is how far the second circle may plausibly be moved, mm.
const bandU = 1.5

// fitProfile refines a traced rim. ok is false when the profiles do not tell
// more than the trace did.
func fitProfile(p *Photo, cam calib.Camera, rim Rim) (calib.Circle, [3][3]float64, bool) {
	m := newRimProfile(p, cam, rim)
	best, err := m.solve(m.guess())
	if err != nil {
		return calib.Circle{}, [3][3]float64{}, false
	}
	moved := math.Hypot(best.X[pX], best.X[pY]) + math.Abs(best.X[pR])
	if moved > farthest*m.px || math.Exp(best.X[pBlur]) > 4 {
		return calib.Circle{}, [3][3]float64{}, false
	}
	var cov [3][3]float64
	for i := range 3 {
		for j := range 3 {
			cov[i][j] = best.Cov.At(i, j)
		}
	}
	return m.mouth(best.X), cov, true
}

func newRimProfile(p *Photo, cam calib.Camera, rim Rim) rimProfile {
	px := 1 / cam.PxPerMM(rim.Centre, rim.Z)
	m := rimProfile{start: rim.Circle, px: px}
	m.samples = int((profileIn+profileOut)/profileSpacing) + 1
	n := min(closeLook(cam, rim.Z, rim.Circle).rays, 180)
	sector := 2 * math.Pi / float64(n)
	low := math.Max(0, rim.R-profileIn*px)
	high := low + float64(m.samples-1)*profileSpacing*px
	for k := range n {
		s, c := math.Sincos(float64(k) * sector)
		ray := profiledRay{dir: calib.Point{X: c, Y: s}, light: make([]float64, m.samples)}
		for _, side := range []float64{-0.3, 0, 0.3} {
			s, c := math.Sincos((float64(k) + side) * sector)
			sight := newSightline(cam, rim.Centre, calib.Point{X: c, Y: s}, rim.Z, low, high)
			for i := range ray.light {
				ray.light[i] += p.At(sight.at(float64(i)/float64(m.samples-1))) / 3
			}
		}
		sum := 0.0
		for _, v := range ray.light {
			sum += v / float64(m.samples)
		}
		ray.noise = 0.01 * (sum + 0.02)
		m.rays = append(m.rays, ray)
	}
	return m
}

func (m rimProfile) solve(x0 []float64) (*lsq.Result, error) {
	h := 0.02 * m.px
	return lsq.Problem{
		Data: len(m.rays) * m.samples, Priors: 3, Eval: m.eval,
		Alike: 1 / profileSpacing, Floor: 0.2,
	}.Solve(x0, []float64{h, h, h, h, h, 0.01})
}

// guess looks for the mouth and the second circle about the trace, on every few
// rays. The trace is the mouth, or mixes the two: on one side it may have
// followed the second circle, and then the mouth is wider and lies to the other
// side. The guess is the best of a few fits from the likeliest of these.
func (m rimProfile) guess() []float64 {
	few := m
	few.rays = nil
	for k := 0; k < len(m.rays); k += max(1, len(m.rays)/45) {
		few.rays = append(few.rays, m.rays[k])
	}
	type try struct {
		x    []float64
		left float64
	}
	var tries []try
	add := func(x []float64) { tries = append(tries, try{x, few.left(x)}) }
	add(make([]float64, pCount))
	for _, band := range []float64{2, 4, 7} { // px
		for k := range 12 {
			s, c := math.Sincos(2 * math.Pi * float64(k) / 12)
			u, v := band*m.px*c, band*m.px*s
			for _, mixed := range []float64{0, 0.5} {
				add([]float64{-mixed * u, -mixed * v, mixed * band * m.px, u, v, 0})
			}
		}
	}
	slices.SortFunc(tries, func(a, b try) int { return cmp.Compare(a.left, b.left) })
	best := tries[0]
	for _, t := range tries[:4] {
		if fit, err := few.solve(t.x); err == nil {
			if left := few.left(fit.X); left < best.left {
				best = try{fit.X, left}
			}
		}
	}
	return best.x
}

// left is how much a guess leaves unexplained; what is far off counts no more
// than what is off.
func (m rimProfile) left(x []float64) float64 {
	r := make([]float64, len(m.rays)*m.samples+3)
	m.eval(x, r)
	sum := 0.0
	for _, v := range r[:len(r)-3] {
		sum += math.Min(math.Abs(v), 30)
	}
	return sum
}

func (m rimProfile) mouth(x []float64) calib.Circle {
	return calib.Circle{Centre: m.start.Centre.Add(calib.Point{X: x[pX], Y: x[pY]}), R: m.start.R + x[pR]}
}

// eval compares the profiles with the model (lsq's residuals).
func (m rimProfile) eval(x, r []float64) {
	mouth := m.mouth(x)
	second := calib.Circle{Centre: mouth.Centre.Add(calib.Point{X: x[pU], Y: x[pV]}), R: mouth.R}
	blur := math.Exp(x[pBlur])
	low := math.Max(0, m.start.R-profileIn*m.px)
	k := 0
	for _, ray := range m.rays {
		// In pixels from the first sample.
		at := (crossingOf(m.start.Centre, ray.dir, mouth) - low) / m.px
		far := (crossingOf(m.start.Centre, ray.dir, second) - low) / m.px
		threeLevels(ray, at, math.Min(far, at), blur, r[k:k+m.samples])
		k += m.samples
	}
	r[k], r[k+1] = x[pU]/bandU, x[pV]/bandU
	r[k+2] = x[pBlur] / 0.7
}

// crossingOf is how far from a point inside it a ray meets a circle.
func crossingOf(from, dir calib.Point, c calib.Circle) float64 {
	d := from.Sub(c.Centre)
	b := d.Dot(dir)
	return -b + math.Sqrt(math.Max(0, b*b-d.Dot(d)+c.R*c.R))
}

// threeLevels fits the face's, the band's and the inside's luminance to one
// ray, with edges at the mouth and at the band's end, and leaves what remains
// in r. A band of wall is never darker than black nor much lighter than both
// its neighbours: without that, a narrow one could be anything.
func threeLevels(ray profiledRay, mouth, end, blur float64, r []float64) {
	band := mouth-end > leastBand
	var ff, fw, fi, ww, wi, ii, fy, wy, iy float64
	for i, y := range ray.light {
		f, w, in := shares(float64(i)*profileSpacing, mouth, end, blur, band)
		ff += f * f
		fw += f * w
		fi += f * in
		ww += w * w
		wi += w * in
		ii += in * in
		fy += f * y
		wy += w * y
		iy += in * y
	}
	const tiny = 1e-9
	two := func(wall float64) (face, inside float64) {
		a, b := fy-wall*fw, iy-wall*wi
		det := (ff+tiny)*(ii+tiny) - fi*fi
		return (a*(ii+tiny) - b*fi) / det, ((ff+tiny)*b - fi*a) / det
	}
	wall := 0.0
	if band {
		wall = wallLevel(ff, fw, fi, ww, wi, ii, fy, wy, iy)
		face, inside := two(wall)
		wall = clamp(wall, 0, 1.1*math.Max(face, inside))
	}
	face, inside := two(wall)
	for i, y := range ray.light {
		f, w, in := shares(float64(i)*profileSpacing, mouth, end, blur, band)
		r[i] = (y - f*face - w*wall - in*inside) / ray.noise
	}
}

// wallLevel is the band's luminance by the normal equations of the three.
func wallLevel(ff, fw, fi, ww, wi, ii, fy, wy, iy float64) float64 {
	det := ff*(ww*ii-wi*wi) - fw*(fw*ii-wi*fi) + fi*(fw*wi-ww*fi)
	if math.Abs(det) < 1e-9 {
		return 0
	}
	return (ff*(wy*ii-wi*iy) - fy*(fw*ii-wi*fi) + fi*(fw*iy-wy*fi)) / det
}

// shares says how much of the face, the band and the inside a sample sees.
func shares(at, mouth, end, blur float64, band bool) (face, wall, inside float64) {
	face = step((at - mouth) / blur)
	if !band {
		return face, 0, 1 - face
	}
	inside = 1 - step((at-end)/blur)
	return face, 1 - face - inside, inside
}

// step is a blurred step: the normal distribution function.
func step(u float64) float64 { return 0.5 * (1 + math.Erf(u/math.Sqrt2)) }
