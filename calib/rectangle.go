package calib

import (
	"errors"
	"fmt"
	"math"
)

// KindRectangle is the kind of a survey's square that is not a printed one but
// a flat rectangle of known size in its place.
const KindRectangle = "rectangle"

// What is known of a rectangle that stands in for the square, mm (standard
// uncertainties).
const (
	// RectangleSizeU is of its size. A bank card's is within -0.13 and +0.12 mm
	// of 85.60 mm across and 0.055 mm of 53.98 mm up (ISO/IEC 7810, ID-1;
	// memory), and callipers on anything else are good for as much.
	RectangleSizeU = 0.07
	// Of an edge's place. A square's frame has two edges a side, which light and
	// blur move in opposite directions; a rectangle has one, so that a light card
	// on dark plastic looks bigger and nothing in the photo says by how much: by
	// its rounded edge, and by some tenths of a pixel for blur and tone curve. (The frames of
	// the test photos are off by 0.3 px, OpenCV's published chessboards by
	// 0.2.)
	rectangleBloomU   = 0.03 // mm
	rectangleBloomUPx = 0.3  // px
)

// bloomOf is how far a side's black edge is out of place, mm, by a square's
// own blooms. A printed frame's are four by themselves. A rectangle's four sides
// bloom alike, by the first, and each but one a little differently besides.
func bloomOf(bloom []float64, side int, rectangle bool) float64 {
	if rectangle && side > 0 {
		return bloom[0] + bloom[side]
	}
	return bloom[side]
}

// bloomPrior is the standard uncertainty of number k of those.
func bloomPrior(k int, rectangle bool, pxPerMM float64) float64 {
	u := math.Hypot(rectangleBloomU, rectangleBloomUPx/pxPerMM)
	switch {
	case !rectangle:
		return bloomU
	case k == 0:
		return u
	}
	return u / 3
}

// InOrder tells whether four corners, px, follow one another round a convex
// outline, either way.
func InOrder(corners [4]Point) bool {
	turn := turnOfCorners(corners, 0)
	for i := range corners {
		if !(turn*turnOfCorners(corners, i) > 0) {
			return false
		}
	}
	return true
}

// turnOfCorners is positive where the outline turns clockwise, as seen in the
// photo, at the corner after i.
func turnOfCorners(c [4]Point, i int) float64 {
	a, b := c[(i+1)%4].Sub(c[i]), c[(i+2)%4].Sub(c[(i+1)%4])
	return a.X*b.Y - a.Y*b.X
}

// How far a rectangle's proportions may seem off, as a factor: its corners are
// pointed at roughly, and the focal length may be a guess.
const (
	surelyOff = 1.15 // so much closer the other way about, it lies the other way
	mostOff   = 1.35 // and it is not that rectangle at all,
	mostSlant = 1.5  // unless it is small and seen at a slant, where perspective tells little
)

// OrderCorners takes a rectangle's corners, in px and in order round it either
// way, and returns them as top left, top right, bottom right and bottom left in
// the rectangle's own frame: x runs along a side of length size[0], from the
// first corner to the second where these lie on such a side, else from the
// second to the third; z comes out of the photo. Its error is a predicate of
// the photo.
//
// Which side is which shows in the proportions that the perspective gives, the
// focal length being known (Z. Zhang, IEEE PAMI 22 (2000), 3.1: the first two
// columns of the homography are as long as the sides).
func OrderCorners(corners [4]Point, size [2]float64, lens Lens) ([4]Point, error) {
	c := corners
	var rays [4]Point
	for i, px := range c {
		rays[i] = lens.Ray(px)
	}
	h, err := Homography([]Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, rays[:])
	if err != nil || !InOrder(c) {
		return c, errors.New("shows no rectangle at the corners given: they are not in order round it")
	}
	first := Vec3{h[0][0], h[1][0], h[2][0]}.Norm()
	second := Vec3{h[0][1], h[1][1], h[2][1]}.Norm()
	off := func(w, h float64) float64 { return math.Abs(math.Log(first / second * h / w)) }
	straight, turned := off(size[0], size[1]), off(size[1], size[0])
	if straight-turned > math.Log(surelyOff) {
		c = [4]Point{c[1], c[2], c[3], c[0]}
		straight = turned
	}
	across, up := c[0].Dist(c[1])+c[2].Dist(c[3]), c[1].Dist(c[2])+c[3].Dist(c[0])
	if straight > math.Log(mostOff) && math.Abs(math.Log(across/up*size[1]/size[0])) > math.Log(mostSlant) {
		return c, fmt.Errorf("shows no rectangle of %g x %g mm at the corners given: its sides there are as %.2f to 1", size[0], size[1], across/up)
	}
	if turnOfCorners(c, 0) < 0 { // anticlockwise in the photo: the first side is the lower one
		c = [4]Point{c[3], c[2], c[1], c[0]}
	}
	return c, nil
}
