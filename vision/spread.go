package vision

import (
	"math"

	"trimscribe/calib"
)

// EdgeSpread is how far the photo spreads the edges of squares' frames: the
// standard deviation, px, of what blurs an edge, in the direction where that is greater
// (a shaken photo spreads one way). About 0.6 in a photo in focus; 0 when no
// edge can be told.
func EdgeSpread(p *Photo, squares []calib.SquareEdges) float64 {
	worst := 0.0
	for _, s := range squares {
		for _, sides := range [2][2]int{{calib.Top, calib.Bottom}, {calib.Left, calib.Right}} {
			sum, n := 0.0, 0.0
			for _, side := range sides {
				if v, ok := spreadOf(p, s, side); ok {
					sum += v
					n++
				}
			}
			if n > 0 {
				worst = math.Max(worst, sum/n)
			}
		}
	}
	return worst
}

// spreadOf lays the profiles across a frame's outer edge on one another, each
// by its own edge point, and takes half the way from 16 to 84 % of the step:
// the standard deviation of a normal blur.
func spreadOf(p *Photo, s calib.SquareEdges, side int) (float64, bool) {
	var pts []calib.Point
	for _, e := range s.Edges {
		if e.Side == side && !e.Inner {
			pts = append(pts, e.Px)
		}
	}
	if len(pts) < 10 {
		return 0, false
	}
	along := pts[len(pts)-1].Sub(pts[0])
	out := calib.Point{X: -along.Y, Y: along.X}.Mul(1 / along.Norm())
	middle := s.Corners[0].Add(s.Corners[2]).Mul(0.5)
	if out.Dot(pts[0].Sub(middle)) < 0 {
		out = out.Mul(-1)
	}
	cell := s.Corners[0].Dist(s.Corners[1]) / calib.SquareGrid
	const step = 0.25 // px
	half := int(0.45 * cell / step)
	profile := make([]float64, 2*half+1)
	for i := range profile {
		for _, q := range pts {
			profile[i] += p.At(q.Add(out.Mul(float64(i-half) * step)))
		}
	}
	end := max(1, half/6)
	low, high := mean(profile[:end]), mean(profile[len(profile)-end:])
	if high <= low {
		return 0, false
	}
	// From the middle of the step outward, to where it leaves 16 and 84 %.
	cross := func(level float64, dir int) (float64, bool) {
		for i := half; i > 0 && i < len(profile)-1; i += dir {
			a, b := (profile[i]-low)/(high-low), (profile[i+dir]-low)/(high-low)
			if (a-level)*(b-level) <= 0 && a != b {
				return (float64(i-half) + float64(dir)*(level-a)/(b-a)) * step, true
			}
		}
		return 0, false
	}
	from, okFrom := cross(0.1587, -1)
	to, okTo := cross(0.8413, 1)
	return (to - from) / 2, okFrom && okTo
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}
