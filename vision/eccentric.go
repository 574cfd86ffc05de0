package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// A mounting boss and the hole in it are about one axis. Where the sun or a lamp fills half a countersink with shade, the
// lit half's bore and the shaded half's outer edge together look like a hole, a millimetre or more off that axis; in
// all the holes of a kind alike, for the light comes from one side. So where circles of one radius stand round the
// holes of a kind, all about as far off their middles and in one direction, and none about them, the holes are in doubt.
const (
	roundFrom   = 1.2  // radii looked at, as shares of the hole's
	roundTo     = 2.2  // as far as bosses are wide
	roundAside  = 0.45 // how far off the middle, likewise
	roundVotes  = 0.5  // least share of rays that meet an edge on such a circle
	roundTraced = 0.6  // least share of its circumference that is traced
	mostRound   = 4    // circles looked at round each hole
	eccentric   = 0.08 // least distance of the middles that counts, as a share of the hole's radius, and
	eccentricMM = 0.3  // mm
	oneWay      = 0.35 // most difference of one hole's from the others', as a share of it
)

// Eccentric tells how far off the middles of the circles round them the holes of one kind lie, mm; ok is false where no such
// circles are found, or some that lie about the holes.
func Eccentric(p *Photo, cam calib.Camera, holes []Rim) (off calib.Point, ok bool) {
	if len(holes) < 2 {
		return off, false
	}
	round := make([][]Rim, len(holes))
	Parallel(len(holes), func(i int) { round[i] = circlesRound(p, cam, holes[i]) })
	for _, first := range slices.Concat(round...) {
		var offs []calib.Point
		for i, h := range holes {
			for _, o := range round[i] {
				if math.Abs(math.Log(o.R/first.R)) < ofOneSize {
					offs = append(offs, o.Centre.Sub(h.Centre))
					break
				}
			}
		}
		if len(offs) < len(holes)-len(holes)/4 { // of four, one may not show
			continue
		}
		mean, spread := calib.Point{}, 0.0
		for _, o := range offs {
			mean = mean.Add(o.Mul(1 / float64(len(offs))))
		}
		for _, o := range offs {
			spread = math.Max(spread, o.Dist(mean))
		}
		far := math.Max(eccentric*holes[0].R, eccentricMM)
		switch d := mean.Norm(); {
		case d < far && spread < far:
			return calib.Point{}, false
		case d > far && spread < oneWay*d && d > off.Norm():
			off, ok = mean, true
		}
	}
	return off, ok
}

// circlesRound are the plainest circles round a hole, about its axis or not.
func circlesRound(p *Photo, cam calib.Camera, h Rim) (out []Rim) {
	px := 1 / cam.PxPerMM(h.Centre, h.Z)
	look := closeLook(cam, h.Z, calib.Circle{Centre: h.Centre, R: 1.5 * h.R})
	aside := roundAside * h.R
	v := vote{bin: math.Max(0.75*px, searchStep*h.R), low: roundFrom * h.R, high: roundTo * h.R, reach: aside, prefer: 1}
	all := raysFrom(p, cam, h.Z, h.Centre, look.rays).crossings(v.low-aside, v.high+aside, look)
	rings := v.peaks(all, h.Centre, look.rays, roundVotes)
	for _, ring := range rings[:min(len(rings), mostRound)] {
		o, ok := traceSized(p, cam, h.Z, ring.circle, 2*v.bin, 2*v.bin, leastJump, roundTraced)
		if ok && o.Centre.Dist(h.Centre)+h.R < 1.1*o.R {
			out = append(out, o)
		}
	}
	return out
}
