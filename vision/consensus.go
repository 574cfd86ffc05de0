package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// A vote finds the circle that the most rays cross an edge on.
type vote struct {
	bin       float64 // step of centre and radius, mm
	low, high float64 // radii tried, mm
	reach     float64 // how far from the middle centres are tried, mm
	prefer    float64 // share of the best circle's votes that a larger one needs to be preferred
}

// outermost is what a close look prefers by. A hole's mouth is the outermost of
// the edges that go round together: walls, shadows and the far side's rim all
// show inside it, often with more contrast.
const outermost = 0.9

// A ringVote is the circle of its radius that the most rays cross an edge on; share is
// the part of all rays that do.
type ringVote struct {
	circle calib.Circle
	share  float64
}

// consensus returns the circle with the most rays that cross an edge on it,
// or a larger one with nearly as many.
func (v vote) consensus(all []crossing, middle calib.Point, rays int) (c calib.Circle, share float64) {
	rings := v.rings(all, middle, rays)
	most := 0.0
	for _, r := range rings {
		most = max(most, r.share)
	}
	for _, r := range slices.Backward(rings) {
		if r.share > 0 && r.share >= v.prefer*most {
			return r.circle, r.share
		}
	}
	return calib.Circle{Centre: middle}, 0
}

// peaks returns the circles that more rays cross an edge on than on any of about the same
// radius, a share of them at least, the most first and of equals the largest.
func (v vote) peaks(all []crossing, middle calib.Point, rays int, least float64) []ringVote {
	const about = 3 // bins; two overlap
	left := v.rings(all, middle, rays)
	var out []ringVote
	for {
		best := -1
		for b, r := range left {
			if r.share >= least && (best < 0 || r.share >= left[best].share) {
				best = b
			}
		}
		if best < 0 {
			return out
		}
		out = append(out, left[best])
		clear(left[max(0, best-about):min(len(left), best+about+1)])
	}
}

// rings returns the best circle of each radius tried, the smallest first.
func (v vote) rings(all []crossing, middle calib.Point, rays int) []ringVote {
	n := int(math.Ceil(v.reach / v.bin))
	bins := int((v.high-v.low)/v.bin) + 1
	type tally struct {
		votes, rayBest float64
		ray            int // the last ray counted, plus one
	}
	count := make([]tally, bins)
	best := make([]ringVote, bins)
	perBin := 1 / v.bin
	for iy := -n; iy <= n; iy++ {
		for ix := -n; ix <= n; ix++ {
			if ix*ix+iy*iy > n*n {
				continue
			}
			centre := middle.Add(calib.Point{X: float64(ix), Y: float64(iy)}.Mul(v.bin))
			clear(count)
			for _, c := range all {
				// Bin b reaches from b to b + 2, so that bins overlap by half and
				// none splits a circle's votes. A ray counts once in each, by the
				// plainest of its edges there.
				dx, dy := c.at.X-centre.X, c.at.Y-centre.Y
				at := int((math.Sqrt(dx*dx+dy*dy)-v.low)*perBin + 1)
				for b := max(0, at-2); b <= min(at-1, bins-1); b++ {
					t := &count[b]
					if t.ray != c.ray+1 {
						t.ray, t.rayBest = c.ray+1, 0
					}
					if c.weight > t.rayBest {
						t.votes += c.weight - t.rayBest
						t.rayBest = c.weight
					}
				}
			}
			for b, t := range count {
				if share := t.votes / float64(rays); share > best[b].share {
					best[b] = ringVote{calib.Circle{Centre: centre, R: v.low + float64(b)*v.bin}, share}
				}
			}
		}
	}
	return best
}
