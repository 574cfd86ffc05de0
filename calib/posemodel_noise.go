package calib

import (
	"math"

	"trimscribe/calib/lsq"
)

// stretch is over how many neighbouring edge points errors are taken to be alike by
// the grain of the paper and JPEG's blocks, and waves into how many parts a side is cut
// to see a wrinkle, whose waves are longer.
const (
	stretch = 16
	waves   = 8
)

// alike is how many edge points tell the same error, because neighbours err
// together.
func (m poseModel) alike(res *lsq.Result) float64 {
	return max(m.leastAlike(), m.alikeOver(res, stretch), m.alikeOver(res, m.wave()))
}

// leastAlike is the least that is believed of it.
func (m poseModel) leastAlike() float64 {
	if m.squares[0].Rectangle {
		return math.Max(1, jpegBlock/m.spacing())
	}
	return 1
}

// wave is how many points of one edge of a side a part of it has.
func (m poseModel) wave() int {
	edges := 8 // outer and inner
	if m.squares[0].Rectangle {
		edges = 4
	}
	return max(stretch, m.points/(edges*len(m.squares)*waves))
}

// alikeOver is that by stretches of n points: the variance of their means against what
// independent points would give.
func (m poseModel) alikeOver(res *lsq.Result, n int) float64 {
	var sum, count float64
	k := 0
	for _, s := range m.squares {
		for j := 0; j+n <= len(s.Edges); j += n {
			if s.Edges[j].Side != s.Edges[j+n-1].Side || s.Edges[j].Inner != s.Edges[j+n-1].Inner {
				continue
			}
			total, seen := 0.0, 0
			for i := range n {
				if res.Weights[k+j+i] > 0 {
					total += res.Residuals[k+j+i]
					seen++
				}
			}
			if seen < n/2 {
				continue
			}
			sum += total * total / float64(seen)
			count++
		}
		k += len(s.Edges)
	}
	// The fit follows slow errors as far as it has parameters that the edges
	// settle; what is left of the stretches is less by so many.
	free := count - float64(len(res.X))
	for _, p := range m.known {
		free += res.Cov.At(p.param, p.param) * p.weight(res.X[p.param])
	}
	if free < 1 {
		return float64(n)
	}
	return sum / free / (res.Scale * res.Scale)
}

// jpegBlock is how far JPEG carries an error, px (ISO/IEC 10918-1, 4.1). A
// rectangle may be so small in the photo that its own edges do not tell.
const jpegBlock = 8

// spacing is how far apart the first square's points lie, px.
func (m poseModel) spacing() float64 {
	s := m.squares[0]
	length := 0.0
	for i, c := range s.Corners {
		length += c.Dist(s.Corners[(i+1)%4])
	}
	return length / float64(len(s.Edges))
}

// floor is the least noise believed of an edge point, px.
func (m poseModel) floor() float64 {
	if m.squares[0].Rectangle {
		return 0.15 // any old edge, as on OpenCV's published chessboards, is not as straight as a printed one
	}
	return 0.005
}

// bloomFloor is the noise allowed for before the camera is known, px: bloom puts points of one
// edge up to a pixel apart, and none of them is to be thrown out for it.
const bloomFloor = 0.3

// looseFloor is that noise at the start, x. There the camera is as the first square alone has it, and
// another may lie many pixels off: all of its points would be thrown out, and then nothing holds it.
func (m poseModel) looseFloor(x []float64) float64 {
	floor := bloomFloor
	if len(m.squares) == 1 {
		return floor
	}
	r := make([]float64, m.points)
	m.edgeResiduals(x, r)
	for _, s := range m.squares {
		floor = math.Max(floor, lsq.MAD(r[:len(s.Edges)]))
		r = r[len(s.Edges):]
	}
	return floor
}
