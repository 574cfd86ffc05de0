package calib

import (
	"fmt"
	"math"
	"slices"
)

// clearlyMissing is the log odds by which holes must lie better as some of a
// larger even set than as a set of their own, for one to be thought missed.
const clearlyMissing = 1.0

// nearMissing is how near to where a hole may be missing a circle lies "there",
// as a share of the distance from the grille's centre: about as far as angles
// are off even ones.
const nearMissing = 0.3

// missing tells whether a set of holes about a grille lies as two of three, or
// two or three of four, and where the rest would be. Holes that are missed are
// the likeliest way to a wrong template: what is left may still look like a
// set.
func missing(cands []Candidate, set []int, grille int) (rest []Point) {
	if grille < 0 || len(set) < 2 || len(set) >= mostHoles {
		return nil
	}
	hub := cands[grille].Centre
	var angle []float64
	reach := 0.0
	for _, i := range set {
		d := cands[i].Centre.Sub(hub)
		angle = append(angle, math.Atan2(d.Y, d.X))
		reach += d.Norm() / float64(len(set))
	}
	slices.Sort(angle)
	most := unevenness(evenness(angle)) - clearlyMissing
	for slots := len(set) + 1; slots <= mostHoles; slots++ {
		forSlots(slots, len(set), func(taken []int) {
			off := make([]float64, len(set))
			turn := 0.0
			for k, s := range taken {
				off[k] = angle[k] - 2*math.Pi*float64(s)/float64(slots)
				turn += off[k] / float64(len(set))
			}
			if cost := unevenness(off); cost < most {
				most, rest = cost, nil
				for s := range slots {
					if !slices.Contains(taken, s) {
						sin, cos := math.Sincos(turn + 2*math.Pi*float64(s)/float64(slots))
						rest = append(rest, hub.Add(Point{reach * cos, reach * sin}))
					}
				}
			}
		})
	}
	return rest
}

// An Expected hole would make a set whole.
type Expected struct {
	At    Point   // mm
	Like  int     // a hole of the set, by index
	Reach float64 // how far it would be from the grille's centre, mm
}

// expected lists the holes that sets about as likely as one another seem to want: what stands in
// the best for a hole that was missed may be none, and without it another is whole but for one.
func expected(cands []Candidate, sets []Choice) (out []Expected) {
	for _, s := range sets {
		for _, at := range missing(cands, s.Holes, s.Grille) {
			e := Expected{at, s.Holes[0], at.Dist(cands[s.Grille].Centre)}
			if !slices.ContainsFunc(out, func(o Expected) bool { return o.Like == e.Like && o.At.Dist(at) < cands[e.Like].R }) {
				out = append(out, e)
			}
		}
	}
	return out
}

// unevenness is the log odds lost by angles that are so far off even ones, up
// to a common turn.
func unevenness(off []float64) (cost float64) {
	mean := 0.0
	for _, o := range off {
		mean += o / float64(len(off))
	}
	for _, o := range off {
		u := (o - mean) / angleSpread
		cost += u * u / 2
	}
	return cost
}

// forSlots calls f with each way to put n holes, in order, on slots of which
// the first is taken.
func forSlots(slots, n int, f func(taken []int)) {
	all := make([]int, slots-1)
	for i := range all {
		all[i] = i + 1
	}
	subsets(all, n-1, func(rest []int) { f(append([]int{0}, rest...)) })
}

// missingDoubt says that holes may have been missed.
func missingDoubt(cands []Candidate, c Choice) string {
	n, all := len(c.Holes), len(c.Holes)+len(c.Missing)
	names := []string{"", "one", "two", "three", "four"}
	where := fmt.Sprintf("the other would be near (%.0f, %.0f) mm", c.Missing[0].X, c.Missing[0].Y)
	if len(c.Missing) > 1 {
		where = fmt.Sprintf("the others would be near (%.0f, %.0f) and (%.0f, %.0f) mm", c.Missing[0].X, c.Missing[0].Y, c.Missing[1].X, c.Missing[1].Y)
	}
	reach := cands[c.Grille].Centre.Dist(c.Missing[0])
	for i, o := range cands {
		if o.Kind == KindHole && slices.ContainsFunc(c.Missing, func(at Point) bool { return at.Dist(o.Centre) < nearMissing*reach }) {
			where += fmt.Sprintf(" (circle %d lies there)", i+1)
			break
		}
	}
	return fmt.Sprintf("the %s holes lie as %s of %s about the grille would; %s, marked ? in the overlay picture; say --holes %d if there are no more, or --pick or --near what was missed",
		names[n], names[n], names[all], where, n)
}
