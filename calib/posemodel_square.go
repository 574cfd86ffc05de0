package calib

import (
	"math"

	"trimscribe/calib/lsq"
)

// bentBy is how high a bent sheet stands at p, a point in the square's own
// frame: the general surface of second order, less its mean plane over the
// frame. A sheet bent more finely than that is noise to the edges.
func bentBy(bend []float64, p Point, size [2]float64) float64 {
	u, v := 2*p.X/size[0], 2*p.Y/size[1]
	const mean = 2.0 / 3 // of u² round the frame, where |u| or |v| is 1
	return bend[0]*(u*u-mean) + bend[1]*u*v + bend[2]*(v*v-mean)
}

// unplace takes a point of the panel into a square's own frame.
func unplace(p, centre Point, turn float64) Point {
	d := p.Sub(centre)
	c, s := math.Cos(turn), math.Sin(turn)
	return Point{c*d.X + s*d.Y, -s*d.X + c*d.Y}
}

// place is the inverse of unplace.
func place(p, centre Point, turn float64) Point {
	c, s := math.Cos(turn), math.Sin(turn)
	return centre.Add(Point{c*p.X - s*p.Y, s*p.X + c*p.Y})
}

// outward is each side's direction out of the square, in its own frame.
var outward = [4]Point{Top: {0, 1}, Right: {1, 0}, Bottom: {0, -1}, Left: {-1, 0}}

// edgePlace is how far an edge lies from the square's middle, mm; bloom moves
// the outer edge outward and the inner edge inward, and a rectangle's edge to
// its light side.
func edgePlace(e EdgePoint, rectangle bool, size [2]float64, bloom float64) float64 {
	full := size[(e.Side+1)%2] // top and bottom lie across y
	switch {
	case !e.Inner:
		return full*0.5 + bloom
	case rectangle:
		return full*0.5 - bloom
	}
	return full*(0.5-1.0/SquareGrid) - bloom
}

func (m poseModel) placed(res *lsq.Result, square int) PlacedSquare {
	out := PlacedSquare{Number: m.squares[square].Number, Rectangle: m.squares[square].Rectangle}
	out.Size = m.size(res.X)
	out.Centre, out.Turn = m.whereabouts(res.X, square)
	own := res.X[m.own(square):]
	for b := range 4 {
		out.Bloom += bloomOf(own[ownBloom:], b, out.Rectangle) / 4
	}
	out.Warp = m.warp(res, square)
	scale := m.camera(res.X).PxPerMM(out.Centre, 0)
	k, sum, n := 0, 0.0, 0.0
	for i, s := range m.squares {
		for range s.Edges {
			if i == square && res.Weights[k] > 0 {
				d := res.Residuals[k] / scale
				sum += d * d
				n++
			}
			k++
		}
	}
	out.RMS = math.Sqrt(sum / math.Max(1, n))
	return out
}
