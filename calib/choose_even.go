package calib

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"
)

// Many sets lie on one bolt circle, all turned by as much (common practice), and then they do so
// to a mould's or a drill's exactness. About the grille they seem to lie a little aside, all
// of them alike, where they stand at another height than it.
const (
	inEven     = 0.3  // share of layouts that do, at least; it is set by hand
	evenAside  = 0.04 // how far the bolt circle's middle is from the grille's, each way, as a share of its radius
	evenSpread = 0.01 // how far a hole is from its place on it, each way, as a share of its radius
	evenFloor  = 0.15 // besides, mm: what a faint edge is measured to
)

// ofOneSize tells whether a set of three or more is: what is evenly placed but of two sizes are two
// sets, and two holes are always opposite one another about some middle.
func ofOneSize(cands []Candidate, set []int) bool {
	size, _ := logSizes(cands, set, set)
	middle := middleSize(size)
	return len(set) > 2 && !slices.ContainsFunc(size, func(s logSize) bool { return math.Abs(s.v-middle) > hintSpread })
}

// evenOdds is the log odds that holes lie evenly on a bolt circle about a grille's centre, against that
// all but one are strays, which lie anywhere. How wide the bolt circle is and how it is turned is not in
// it, for one hole's place sets that: what is left of the places' 2 n numbers is by how much
// the middle lies aside, and 2 n - 4 by how much the holes lie beside theirs.
func evenOdds(at []Point, hub Point) float64 {
	n := len(at)
	places := make([]complex128, n)
	var middle complex128
	for k, p := range at {
		places[k] = complex(p.X-hub.X, p.Y-hub.Y)
		middle += places[k] / complex(float64(n), 0)
	}
	for k := range places {
		places[k] -= middle
	}
	slices.SortFunc(places, func(a, b complex128) int { return cmp.Compare(cmplx.Phase(a), cmplx.Phase(b)) })
	turn := func(k int) complex128 { return cmplx.Rect(1, 2*math.Pi*float64(k)/float64(n)) }
	var first complex128 // the hole in the first place, as all of them have it
	for k, p := range places {
		first += p / turn(k) / complex(float64(n), 0)
	}
	beside := 0.0
	for k, p := range places {
		off := cmplx.Abs(p - first*turn(k))
		beside += off * off
	}
	radius := cmplx.Abs(first)
	spread := math.Hypot(evenSpread*radius, evenFloor)
	aside := math.Sqrt(spread*spread + float64(n)*evenAside*evenAside*radius*radius)
	moved := float64(n) * cmplx.Abs(middle) * cmplx.Abs(middle)
	density := 2*math.Log(normalPeak(aside)) - moved/(2*aside*aside) + float64(2*n-4)*math.Log(normalPeak(spread)) - beside/(2*spread*spread)
	return density - math.Log(float64(n)) - float64(n-1)*math.Log(strays)
}
