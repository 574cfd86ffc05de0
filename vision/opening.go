package vision

import (
	"math"

	"trimscribe/calib"
)

// An Opening is an outline that is no circle, traced on the full-size photo in
// the plane at height Z.
type Opening struct {
	calib.Outline               // mm
	Z             float64       // height of its plane, mm
	Cov           [3][3]float64 // of its centre and half its short width, mm^2
	LongU         float64       // standard uncertainty of half its long width, mm
	Coverage      float64       // share of its length that shows an edge, 0 to 1
	Contrast      float64       // as a Rim's
	Agreement     float64       // as a Rim's
	Core          float64       // as a Rim's
	Open          float64       // as a Rim's
}

// outlineTrace is one photo's plane, in which outlines are traced.
type outlineTrace struct {
	photo *Photo
	cam   calib.Camera
	z     float64
	px    float64 // mm of one pixel, about where the outline is
	grain float64
}

// traceOutline traces an outline from a guess, as outlines of the shapes given and
// as a circle, on the same edges. It returns the best outline, and the share of
// a circle's circumference that shows an edge. ok is false when no outline is traced.
func traceOutline(p *Photo, cam calib.Camera, z float64, b blob, shapes []string) (best Opening, round float64, ok bool) {
	lifted := b.lift(cam, z)
	size := lifted.box.half[1]
	t := outlineTrace{p, cam, z, 1 / cam.PxPerMM(lifted.box.centre, z), leastJump}
	look := look{spacing: math.Max(0.5*t.px, 0.01*size), sigma: math.Max(t.px, 0.015*size), grain: leastJump}
	t.grain = faceGrain(p, cam, z, calib.Circle{Centre: lifted.box.centre, R: lifted.box.half[0]}, look)

	reach := math.Max(4*t.px, searchShare*size)
	for _, shape := range shapes {
		guess := lifted.start(shape)
		found, coverage, traced := t.trace(guess, reach, look)
		if !traced {
			continue
		}
		o := Opening{Outline: found, Z: z, Coverage: coverage}
		if worth(o) > worth(best) {
			best, ok = o, true
		}
		if coverage > wholeOutline {
			break // nothing more complicated can be better
		}
	}
	// Where light falls on a round hole's wall, what is dark of it looks like a D.
	rivals := []calib.Circle{}
	if fit, err := calib.FitCircle(lifted.border); err == nil {
		rivals = append(rivals, fit.Circle)
	}
	if best.Shape == calib.ShapeD {
		rivals = append(rivals, calib.Circle{Centre: best.Centre, R: best.Half[0]})
	}
	for _, c := range rivals {
		if rim, traced := traceRim(p, cam, z, c, leastCoverage); traced {
			round = math.Max(round, rim.Coverage)
		}
	}
	if !ok || !p.seesOutline(cam, best) {
		return Opening{}, round, false
	}
	best.compare(p, cam)
	return best, round, true
}

// wholeOutline is the coverage at which a shape is settled.
const wholeOutline = 0.96

// searchShare is how far beside a guess an edge is looked for, as a share of
// half the short width.
const searchShare = 0.3

// worth ranks outlines of different shapes on one blob: the more of the outline shows an
// edge the better, and of two about as good the simpler. A free outline bends to
// whatever edges there are, a mesh's too, and so must be better by far.
func worth(o Opening) float64 {
	simple := map[string]float64{calib.ShapeSlot: 0.06, calib.ShapeD: 0.05, calib.ShapeOval: 0.15, calib.ShapeRoundedSquare: 0.12, calib.ShapeRectangle: 0.03}
	return o.Coverage + simple[o.Shape]
}

// lift moves a blob seen in the plane z = 0 to the plane at height z, along the
// lines of sight.
func (b blob) lift(cam calib.Camera, z float64) blob {
	border := make([]calib.Point, len(b.border))
	for i, q := range b.border {
		border[i] = cam.Carry(calib.Circle{Centre: q}, 0, z).Centre
	}
	return blob{border, boxRound(border), b.seen}
}

// trace moves and sizes the guess to where most of it meets an edge, the
// outermost first, and then follows that edge in ever closer looks.
func (t outlineTrace) trace(o calib.Outline, reach float64, l look) (calib.Outline, float64, bool) {
	l.grain = t.grain
	stations := o.Stations(t.count(o, 3, 120))
	all := outer(t.crossings(stations, -reach, reach, l))
	o, share := shifted(o, stations, all, math.Max(0.06*reach, 0.7*t.px), reach)
	if share < 0.3 {
		return o, 0, false
	}
	l.spacing, l.sigma = 0.5*t.px, t.px
	coverage := 0.0
	for _, tolerance := range []float64{5, 3, 1.6, onRim, onRim} {
		tolerance = math.Max(tolerance*t.px, 0)
		stations = o.Stations(t.count(o, 1.5, 300))
		pts := nearestTo(o, stations, t.crossings(stations, -tolerance-2*t.px, tolerance+2*t.px, l), tolerance)
		fit, err := calib.FitOutline(pts, o, t.px/8)
		if err != nil || fit.Centre.Dist(o.Centre) > 2*reach {
			return o, 0, false
		}
		o = fit.Outline
		coverage = float64(len(pts)) / float64(len(stations))
	}
	return o, coverage, coverage > leastCoverage
}

// count is how many stations an outline gets: one every so many pixels.
func (t outlineTrace) count(o calib.Outline, every float64, most int) int {
	long, short := o.Widths()
	return max(36, min(int((long+short)*1.7/(every*t.px)), most))
}

// crossings samples the photo across the outline at each station, from low to
// high outwards, and returns every edge that stands out from the grain.
func (t outlineTrace) crossings(stations []calib.Station, low, high float64, l look) []crossing {
	f := newStepFilter(l.sigma, l.spacing)
	from := low - float64(f.margin())*l.spacing
	n := int((high-low)/l.spacing) + 2*f.margin() + 1
	var all []crossing
	profile, response := make([]float64, n), make([]float64, n)
	for k, s := range stations {
		t.profile(stations, k, from, from+float64(n-1)*l.spacing, profile)
		f.respondInto(response, profile)
		for i := f.margin() + 1; i < n-f.margin()-1; i++ {
			v := math.Abs(response[i])
			jump := response[i] / brightest(profile, i, f.margin())
			if v < math.Abs(response[i-1]) || v <= math.Abs(response[i+1]) || math.Abs(jump) < l.grain {
				continue
			}
			at := s.At.Add(s.Out.Mul(from + peak(response, i)*l.spacing))
			all = append(all, crossing{k, at, weigh(jump, l.grain)})
		}
	}
	return all
}

// profile fills in the luminance across the outline at a station, from low to
// high, the mean over a little of the outline on either side: less noise.
func (t outlineTrace) profile(stations []calib.Station, k int, low, high float64, profile []float64) {
	n := len(stations)
	clear(profile)
	for _, side := range []int{-1, 0, 1} {
		s := stations[k]
		if side != 0 {
			other := stations[(k+side+n)%n]
			if s.Out.Dot(other.Out) > 0.95 { // not round a corner
				s.At = s.At.Add(other.At.Sub(s.At).Mul(0.3))
				turned := s.Out.Add(other.Out.Sub(s.Out).Mul(0.3))
				s.Out = turned.Mul(1 / turned.Norm())
			}
		}
		sight := newSightline(t.cam, s.At, s.Out, t.z, low, high)
		for i := range profile {
			profile[i] += t.photo.At(sight.at(float64(i)/float64(len(profile)-1))) / 3
		}
	}
}

// shifted returns the outline moved and grown to where the most stations cross
// an edge on it, or to a larger one with nearly as many.
func shifted(o calib.Outline, stations []calib.Station, all []crossing, bin, reach float64) (calib.Outline, float64) {
	n := int(reach / (2 * bin)) // the middle moves half as far as the edge is looked for
	sizes := 2*int(reach/bin) + 1
	offset := make([]float64, len(all))
	for i, c := range all {
		s := stations[c.ray]
		offset[i] = c.at.Sub(s.At).Dot(s.Out)
	}
	type top struct {
		move  calib.Point
		votes float64
	}
	best := make([]top, sizes)
	count := make([]float64, sizes)
	counted := make([]int, sizes)
	most := 0.0
	for iy := -n; iy <= n; iy++ {
		for ix := -n; ix <= n; ix++ {
			move := calib.Point{X: float64(ix), Y: float64(iy)}.Mul(bin)
			clear(count)
			for i := range counted {
				counted[i] = -1
			}
			for i, c := range all {
				// Bins overlap by half, so that none splits an outline's votes. The
				// crossings of a station come outermost first.
				grown := offset[i] - move.Dot(stations[c.ray].Out)
				at := int(math.Floor((grown + reach) / bin))
				for b := max(0, at); b <= min(at+1, sizes-1); b++ {
					if counted[b] != c.ray {
						counted[b] = c.ray
						count[b] += c.weight
					}
				}
			}
			for b, v := range count {
				if v > best[b].votes {
					best[b] = top{move, v}
					most = math.Max(most, v)
				}
			}
		}
	}
	for b := sizes - 1; b >= 0; b-- {
		if best[b].votes > 0 && best[b].votes >= outermost*most {
			o = o.Grown(float64(b)*bin - reach)
			o.Centre = o.Centre.Add(best[b].move)
			return o, best[b].votes / float64(len(stations))
		}
	}
	return o, 0
}

// nearestTo picks each station's crossing nearest to the outline, within the
// tolerance.
func nearestTo(o calib.Outline, stations []calib.Station, all []crossing, tolerance float64) []calib.Point {
	var pts []calib.Point
	for i := 0; i < len(all); {
		ray := all[i].ray
		best, at := tolerance, calib.Point{}
		for ; i < len(all) && all[i].ray == ray; i++ {
			if d := math.Abs(all[i].at.Sub(stations[ray].At).Dot(stations[ray].Out)); d < best {
				best, at = d, all[i].at
			}
		}
		if best < tolerance {
			pts = append(pts, at)
		}
	}
	return pts
}

// seesOutline tells whether the photo holds the whole outline.
func (p *Photo) seesOutline(cam calib.Camera, o Opening) bool {
	for _, s := range o.Stations(24) {
		if !p.inside(cam.Project(calib.Vec3{X: s.At.X, Y: s.At.Y, Z: o.Z}), 2) {
			return false
		}
	}
	return true
}

// compare sets Contrast, Agreement, Core and Open, as a Rim's.
func (o *Opening) compare(p *Photo, cam calib.Camera) {
	px := 1 / cam.PxPerMM(o.Centre, o.Z)
	near := 2 * px
	far := near + math.Max(2*px, 0.15*o.Round().R)
	stations := o.Stations(180)
	see := func(q calib.Point) float64 { return p.At(cam.Project(calib.Vec3{X: q.X, Y: q.Y, Z: o.Z})) }
	all, outside, inmost := make([]float64, len(stations)), make([]float64, len(stations)), make([]float64, len(stations))
	for k, s := range stations {
		const n = 5
		var in float64
		for i := range n {
			d := near + (far-near)*float64(i)/(n-1)
			in += see(s.At.Sub(s.Out.Mul(d))) / n
			outside[k] += see(s.At.Add(s.Out.Mul(d))) / n
			share := 0.6 * math.Sqrt((float64(i)+0.5)/n)
			inmost[k] += see(o.Centre.Add(s.At.Sub(o.Centre).Mul(share))) / n
		}
		all[k] = ratio(outside[k], in)
	}
	o.Contrast = median(all)
	face, core := median(outside), median(inmost)
	o.Core = ratio(face, core)
	for k, v := range all {
		if v*o.Contrast > 0 && math.Abs(v) > 0.08 {
			o.Agreement += 1 / float64(len(stations))
		}
		if math.Abs(ratio(face, outside[k])) > math.Abs(ratio(outside[k], core)) {
			o.Open += 1 / float64(len(stations))
		}
	}
}
