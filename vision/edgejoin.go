package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// Two ends are one edge's when they lie within mostGap, mm, and their ways
// agree by cos(30 degrees): a joint, a scratch or a change of what lies beside has
// parted them. The two ends of one chain may also meet in a corner.
const (
	mostGap   = 1.2
	agreement = 0.87
)

// An end is the first or the last point of a chain, and the way out there.
type end struct {
	chain int
	last  bool
	at    calib.Point
	out   calib.Point // unit
}

// endsOf returns both ends of an open chain, none of a closed one.
func endsOf(i int, c chain) []end {
	if c.closed || len(c.points) < 2 {
		return nil
	}
	out := func(from int, step int) calib.Point { // over about a millimetre
		k := from
		for k+step >= 0 && k+step < len(c.points) && c.points[k].Dist(c.points[from]) < 1 {
			k += step
		}
		d := c.points[from].Sub(c.points[k])
		return d.Mul(1 / math.Max(d.Norm(), 1e-9))
	}
	n := len(c.points) - 1
	return []end{{i, false, c.points[0], out(0, 1)}, {i, true, c.points[n], out(n, -1)}}
}

// meets tells whether two ends are one edge's, and how far apart they are.
func (a end) meets(b end) (gap float64, ok bool) {
	way := b.at.Sub(a.at)
	gap = way.Norm()
	if gap > mostGap {
		return gap, false
	}
	if a.chain == b.chain {
		return gap, true
	}
	straight := a.out.Dot(b.out) < -agreement
	if gap > mostGap/4 {
		straight = straight && a.out.Dot(way) > agreement*gap
	}
	return gap, straight
}

// joinChains joins the chains whose ends meet, the nearest first.
func joinChains(chains []chain) []chain {
	for {
		var ends []end
		for i, c := range chains {
			ends = append(ends, endsOf(i, c)...)
		}
		var a, b end
		least := math.Inf(1)
		for i := range ends {
			for j := i + 1; j < len(ends); j++ {
				if gap, ok := ends[i].meets(ends[j]); ok && gap < least && (ends[i].chain != ends[j].chain || length(chains[ends[i].chain].points) > 4*mostGap) {
					a, b, least = ends[i], ends[j], gap
				}
			}
		}
		switch {
		case math.IsInf(least, 1):
			return chains
		case a.chain == b.chain:
			chains[a.chain].closed = true
		default:
			c, d := chains[a.chain], chains[b.chain]
			if !a.last {
				c = c.reversed()
			}
			if b.last {
				d = d.reversed()
			}
			chains[a.chain] = chain{points: slices.Concat(c.points, d.points), light: slices.Concat(c.light, d.light)}
			chains = slices.Delete(chains, b.chain, b.chain+1)
		}
	}
}

func (c chain) reversed() chain {
	c.points, c.light = slices.Clone(c.points), slices.Clone(c.light)
	slices.Reverse(c.points)
	slices.Reverse(c.light)
	return c
}
