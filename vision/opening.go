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
	Appearance                  // of the outline's edge
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
	look := look{rays: 48, lines: 3, spacing: math.Max(0.5*t.px, 0.01*size), sigma: math.Max(t.px, 0.015*size), grain: leastJump}
	t.grain = faceGrain(p, cam, z, calib.Circle{Centre: lifted.box.centre, R: lifted.box.half[0]}, look)

	reach := math.Max(4*t.px, searchShare*size)
	for _, shape := range shapes {
		guess := lifted.start(shape)
		found, coverage, traced := t.trace(guess, reach, look)
		if !traced {
			continue
		}
		o := Opening{Outline: found, Z: z, Appearance: Appearance{Coverage: coverage}}
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
	if !ok || !p.holds(cam, z, best.Stations(24)) {
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
	all := outer(t.across(stations).crossings(-reach, reach, l))
	o, share := shifted(o, stations, all, math.Max(0.06*reach, 0.7*t.px), reach)
	if share < 0.3 {
		return o, 0, false
	}
	l.spacing, l.sigma = 0.5*t.px, t.px
	coverage := 0.0
	for _, tolerance := range []float64{5, 3, 1.6, onRim, onRim} {
		tolerance *= t.px
		stations = o.Stations(t.count(o, 1.5, 300))
		all := t.across(stations).crossings(-tolerance-2*t.px, tolerance+2*t.px, l)
		pts := nearestEach(all, tolerance, func(c crossing) float64 { return c.at.Sub(stations[c.ray].At).Dot(stations[c.ray].Out) })
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

// across are the rays across an outline.
func (t outlineTrace) across(stations []calib.Station) rays {
	return raysAcross(t.photo, t.cam, t.z, stations)
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

// compare sets how the opening looks, but for its coverage.
func (o *Opening) compare(p *Photo, cam calib.Camera) {
	o.Appearance.compare(p, cam, o.Z, o.Centre, o.Round().R, o.Stations(compared))
}
