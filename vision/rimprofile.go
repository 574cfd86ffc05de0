package vision

import (
	"math"

	"trimscribe/calib"
	"trimscribe/calib/lsq"
)

// Where a wall shows beside the face, two edges lie a pixel or three apart: the
// mouth, and the wall's far end. An edge filter that sees both at once puts
// each in the wrong place, and puts a different one first on every side. So a
// rim that has been traced is fitted once more, as what it is: the mouth of a
// round wall that ends some depth below. Along each ray the photo should show
// three levels, blurred: the face, the wall and what lies behind. The levels are
// free on every side; the mouth, the depth and the blur are the same all round.
type rimProfile struct {
	cam     calib.Camera
	z       float64
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

// leastBand is the width in pixels below which a strip of wall cannot be told
// from its neighbours.
const leastBand = 0.5

// farthest is how far, in pixels, the fit may leave the traced rim before it is
// taken for another edge.
const farthest = 6.0

// The parameters of the fit.
const (
	pX     = iota // of the mouth's centre, mm from the start
	pY            //
	pR            // radius, mm more than at the start
	pDepth        // of the wall's end, mm, as a logarithm
	pBlur         // sigma, px, as a logarithm
	pCount
)

// The first guesses: mouths up to so far from the trace, px, and walls so deep,
// mm. The trace may have taken the wall's end for the mouth on the side where
// the wall shows, and a fit finds only the good one nearest to its guess.
var (
	shiftsTried = []float64{-3.75, -2.5, -1.25, 0, 1.25, 2.5, 3.75}
	widerTried  = []float64{-1.25, 0, 1.25, 2.5, 3.75}
	depthsTried = []float64{0.3, 0.8, 1.6, 4}
)

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
	m := rimProfile{cam: cam, z: rim.Z, start: rim.Circle, px: px}
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
	return lsq.Problem{
		Data: len(m.rays) * m.samples, Priors: 2, Eval: m.eval,
		Alike: 1 / profileSpacing, Floor: 0.2,
	}.Solve(x0, []float64{0.02 * m.px, 0.02 * m.px, 0.02 * m.px, 0.01, 0.01})
}

// guess looks for the mouth and the wall about the trace, on every few rays:
// for each depth the mouth that leaves the least is fitted, and the best of
// these fits is the guess.
func (m rimProfile) guess() []float64 {
	few := m
	few.rays = nil
	for k := 0; k < len(m.rays); k += max(1, len(m.rays)/45) {
		few.rays = append(few.rays, m.rays[k])
	}
	least, best := math.Inf(1), make([]float64, pCount)
	for _, depth := range depthsTried {
		x := few.bestMouth(depth)
		if fit, err := few.solve(x); err == nil {
			x = fit.X
		}
		if left := few.left(x); left < least {
			least, best = left, x
		}
	}
	return best
}

// bestMouth tries mouths all about the trace, with a wall of one depth.
func (m rimProfile) bestMouth(depth float64) []float64 {
	least, best := math.Inf(1), make([]float64, pCount)
	for _, wider := range widerTried {
		for _, dx := range shiftsTried {
			for _, dy := range shiftsTried {
				if math.Hypot(dx, dy) > shiftsTried[len(shiftsTried)-1] {
					continue
				}
				x := []float64{dx * m.px, dy * m.px, wider * m.px, math.Log(depth), 0}
				if left := m.left(x); left < least {
					least, best = left, x
				}
			}
		}
	}
	return best
}

// left is how much a guess leaves unexplained; what is far off counts no more
// than what is off.
func (m rimProfile) left(x []float64) float64 {
	r := make([]float64, len(m.rays)*m.samples+2)
	m.eval(x, r)
	sum := 0.0
	for _, v := range r[:len(r)-2] {
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
	end := m.wallEnd(mouth, math.Exp(x[pDepth]))
	blur := math.Exp(x[pBlur])
	low := math.Max(0, m.start.R-profileIn*m.px)
	k := 0
	for _, ray := range m.rays {
		// In pixels from the first sample.
		at := (crossingOf(m.start.Centre, ray.dir, mouth) - low) / m.px
		far := (crossingOf(m.start.Centre, ray.dir, end) - low) / m.px
		threeLevels(ray, at, math.Min(far, at), blur, r[k:k+m.samples])
		k += m.samples
	}
	r[k] = (x[pDepth] - math.Log(1.5)) / 1.5
	r[k+1] = (x[pBlur] - math.Log(1.0)) / 0.7
}

// wallEnd is the far end of a round wall as seen in the plane of its mouth: a
// circle as wide, so much deeper, sent along the lines of sight.
func (m rimProfile) wallEnd(mouth calib.Circle, depth float64) calib.Circle {
	eye := m.cam.Eye()
	s := (eye.Z - m.z) / (eye.Z - m.z + depth)
	foot := calib.Point{X: eye.X, Y: eye.Y}
	return calib.Circle{Centre: foot.Add(mouth.Centre.Sub(foot).Mul(s)), R: s * mouth.R}
}

// crossingOf is how far from a point inside it a ray meets a circle.
func crossingOf(from, dir calib.Point, c calib.Circle) float64 {
	d := from.Sub(c.Centre)
	b := d.Dot(dir)
	return -b + math.Sqrt(math.Max(0, b*b-d.Dot(d)+c.R*c.R))
}

// threeLevels fits the face's, the wall's and the inside's luminance to one
// ray, with edges at the mouth and at the wall's end, and leaves what remains
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

// wallLevel is the wall's luminance by the normal equations of the three.
func wallLevel(ff, fw, fi, ww, wi, ii, fy, wy, iy float64) float64 {
	det := ff*(ww*ii-wi*wi) - fw*(fw*ii-wi*fi) + fi*(fw*wi-ww*fi)
	if math.Abs(det) < 1e-9 {
		return 0
	}
	return (ff*(wy*ii-wi*iy) - fy*(fw*ii-wi*fi) + fi*(fw*iy-wy*fi)) / det
}

// shares says how much of the face, the wall and the inside a sample sees.
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
