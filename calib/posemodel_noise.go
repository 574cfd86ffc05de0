package calib

import (
	"math"

	"trimscribe/calib/lsq"
)

// stretch is over how many neighbouring edge points errors are taken to be
// alike.
const stretch = 16

// alike is how many edge points tell the same error, because neighbours err
// together (grain of the paper, JPEG blocks, a wavy sheet): the variance of
// means over stretches of an edge against what independent points would give.
func (m poseModel) alike(res *lsq.Result) float64 {
	var sum, count float64
	k := 0
	for _, s := range m.squares {
		for j := 0; j+stretch <= len(s.Edges); j += stretch {
			if s.Edges[j].Side != s.Edges[j+stretch-1].Side || s.Edges[j].Inner != s.Edges[j+stretch-1].Inner {
				continue
			}
			mean, n := 0.0, 0.0
			for i := range stretch {
				if res.Weights[k+j+i] > 0 {
					mean += res.Residuals[k+j+i]
					n++
				}
			}
			if n < stretch/2 {
				continue
			}
			sum += mean * mean / n
			count++
		}
		k += len(s.Edges)
	}
	least := 1.0
	if m.squares[0].Rectangle {
		least = math.Max(1, jpegBlock/m.spacing())
	}
	// The fit follows slow errors as far as it has parameters that the edges
	// settle; what is left of the stretches is less by so many.
	free := count - float64(len(res.X))
	for _, p := range m.known {
		free += res.Cov.At(p.param, p.param) * p.weight(res.X[p.param])
	}
	if free < 1 {
		return stretch
	}
	return math.Max(least, sum/free/(res.Scale*res.Scale))
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
