package calib

import (
	"math"
	"slices"
)

// Apart tells which photos do not show what the others show. common[p][q] is
// how many plain circles photos p and q have in common, and plain[p][q] how
// many of p's lie within q's picture. odd lists the photos outside the largest
// group that agrees; when no group is larger than another, it lists them all
// and known is false.
func Apart(common, plain [][]int) (odd []int, known bool) {
	n := len(common)
	group := make([]int, n)
	for p := range n {
		group[p] = p
	}
	for p := range n {
		for q := p + 1; q < n; q++ {
			if least := min(plain[p][q], plain[q][p]); common[p][q] >= leastCommon(least) {
				from, to := group[q], group[p]
				for k := range group {
					if group[k] == from {
						group[k] = to
					}
				}
			}
		}
	}
	size := make([]int, n)
	for _, g := range group {
		size[g]++
	}
	most := slices.Max(size)
	if most == n {
		return nil, true
	}
	main, ties := -1, 0
	for g, s := range size {
		if s == most {
			main = g
			ties++
		}
	}
	for p, g := range group {
		if ties > 1 || g != main {
			odd = append(odd, p)
		}
	}
	return odd, ties == 1
}

// leastCommon is how many circles two photos must have in common, of so many
// plain ones. Of what looks like an opening in one photo, much is shine or
// shadow and gone in the next; but three in ten are not there by chance.
func leastCommon(plain int) int {
	return max(min(2, max(1, plain)), int(math.Ceil(0.3*float64(plain))))
}

// Cause is why a photo does not agree with another.
type Cause int

// The causes, as far as a photo tells them.
const (
	CauseUnknown Cause = iota // another panel, or too little in common
	CauseMoved                // the square lay elsewhere on the panel
	CauseSize                 // the square was of another size
)

// Why looks for the cause: circles that form the same figure in both photos,
// elsewhere or at another scale, are the same panel with the square moved, or
// with a square of another size. Both are as seen on the square's face.
func Why(a, b []Circle) Cause {
	best, bestScale := 0, 1.0
	for i := range a {
		for j := range a {
			for k := range b {
				for l := range b {
					if i == j || k == l {
						continue
					}
					if t, ok := similarity(a[i], a[j], b[k], b[l]); ok {
						if n := t.agreeing(a, b); n > best {
							best, bestScale = n, t.scale
						}
					}
				}
			}
		}
	}
	if best < 3 || 2*best < min(len(a), len(b)) {
		return CauseUnknown
	}
	if math.Abs(math.Log(bestScale)) > otherSize {
		return CauseSize
	}
	return CauseMoved
}

// How much alike two figures of circles must be.
const (
	figurePlace  = 3.0  // mm: bosses are seen that far out of place from another side
	figureRadius = 0.08 // of the log of a radius
	otherSize    = 0.03 // of the log of the scale
)

// figureMap turns, scales and moves: p goes to scale R p + shift.
type figureMap struct {
	scale, cos, sin float64
	shift           Point
}

func similarity(a1, a2, b1, b2 Circle) (figureMap, bool) {
	u, v := a2.Centre.Sub(a1.Centre), b2.Centre.Sub(b1.Centre)
	if u.Norm() < 4*figurePlace || v.Norm() < 4*figurePlace {
		return figureMap{}, false
	}
	t := figureMap{scale: v.Norm() / u.Norm()}
	if math.Abs(math.Log(b1.R/a1.R/t.scale)) > 2*figureRadius || math.Abs(math.Log(b2.R/a2.R/t.scale)) > 2*figureRadius {
		return figureMap{}, false
	}
	angle := math.Atan2(v.Y, v.X) - math.Atan2(u.Y, u.X)
	t.sin, t.cos = math.Sincos(angle)
	t.shift = b1.Centre.Sub(t.apply(a1.Centre))
	return t, true
}

func (t figureMap) apply(p Point) Point {
	return Point{t.scale * (t.cos*p.X - t.sin*p.Y), t.scale * (t.sin*p.X + t.cos*p.Y)}.Add(t.shift)
}

// agreeing counts the circles that the map lays on one of the other figure.
func (t figureMap) agreeing(a, b []Circle) int {
	n := 0
	for _, c := range a {
		at := t.apply(c.Centre)
		if slices.ContainsFunc(b, func(d Circle) bool {
			return d.Centre.Dist(at) < figurePlace && math.Abs(math.Log(d.R/c.R/t.scale)) < 2*figureRadius
		}) {
			n++
		}
	}
	return n
}
