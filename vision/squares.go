package vision

import (
	"image"
	"math"
	"slices"

	"gocv.io/x/gocv"

	"trimscribe/calib"
)

// squareSearchWidth is the longer side, in pixels, of the reduced photo in
// which squares are looked for: a square of a twelfth of it still has a frame
// of a dozen pixels.
const squareSearchWidth = 1600

// FindSquares returns the reference squares in the photo, by number, each
// with its edges traced. A square whose code does not check, or that the
// photo's border cuts off, is not one; finding none is no error.
//
// When a number appears twice, both are returned.
func FindSquares(p *Photo) []calib.SquareEdges {
	var found []sighting
	for _, q := range findQuads(p) {
		s, ok := readSquare(p, q)
		if ok && !seenAlready(found, s) {
			found = append(found, s)
		}
	}
	slices.SortFunc(found, func(a, b sighting) int { return a.number - b.number })
	var out []calib.SquareEdges
	for _, s := range found {
		if e, ok := traceSquare(p, s); ok {
			out = append(out, e)
		}
	}
	return out
}

// A sighting is a square whose code has been read.
type sighting struct {
	number int
	grid   calib.Mat3 // grid cells (0 to 10, x right, y down from the top left) to pixels
}

func (s sighting) at(x, y float64) calib.Point { return s.grid.Apply2(calib.Point{X: x, Y: y}) }

func seenAlready(found []sighting, s sighting) bool {
	for _, f := range found {
		cell := f.at(5, 5).Dist(f.at(6, 5))
		if f.number == s.number && f.at(5, 5).Dist(s.at(5, 5)) < 3*cell {
			return true
		}
	}
	return false
}

// findQuads returns the outlines with four corners in the photo, in its
// pixels, from several ways of telling black from white: no single one serves
// a square in full light and one half in shadow.
func findQuads(p *Photo) [][4]calib.Point {
	small := gocv.NewMat()
	defer small.Close()
	scale := math.Min(1, squareSearchWidth/float64(max(p.Width, p.Height)))
	size := image.Pt(int(math.Round(float64(p.Width)*scale)), int(math.Round(float64(p.Height)*scale)))
	withGray(p, func(full gocv.Mat) {
		gocv.Resize(full, &small, size, 0, 0, gocv.InterpolationArea)
	})
	scaleX := float64(p.Width) / float64(size.X)
	scaleY := float64(p.Height) / float64(size.Y)

	binary := gocv.NewMat()
	defer binary.Close()
	least := 0.6 * float64(p.Width) / scaleX / 12 // a square seen tilted by 30 degrees, and some

	var quads [][4]calib.Point
	collect := func() {
		for _, q := range quadsIn(binary, least) {
			for i, c := range q {
				// Pixel centres: (c + 0.5) * scale - 0.5.
				q[i] = calib.Point{X: (c.X+0.5)*scaleX - 0.5, Y: (c.Y+0.5)*scaleY - 0.5}
			}
			quads = append(quads, q)
		}
	}
	for _, part := range []int{80, 30, 12, 5} {
		block := max(size.X, size.Y)/part | 1
		for _, c := range []float32{12, 4} {
			gocv.AdaptiveThreshold(small, &binary, 255, gocv.AdaptiveThresholdMean, gocv.ThresholdBinaryInv, block, c)
			collect()
		}
	}
	gocv.Threshold(small, &binary, 0, 255, gocv.ThresholdBinaryInv|gocv.ThresholdOtsu)
	collect()
	return quads
}

// withGray lends use the photo as 8-bit grey, with the sRGB curve put back so
// that shadows keep their contrast.
func withGray(p *Photo, use func(gray gocv.Mat)) {
	pix := make([]byte, len(p.Lin))
	Parallel(p.Height, func(y int) {
		for i := y * p.Width; i < (y+1)*p.Width; i++ {
			pix[i] = encodeSRGB(p.Lin[i])
		}
	})
	gray, err := gocv.NewMatFromBytes(p.Height, p.Width, gocv.MatTypeCV8U, pix)
	if err != nil {
		panic(err) // the sizes are ours
	}
	defer gray.Close()
	use(gray)
}

// quadsIn returns the convex four-cornered outlines in a binary picture whose
// sides are all at least least long, clockwise.
func quadsIn(binary gocv.Mat, least float64) [][4]calib.Point {
	contours := gocv.FindContours(binary, gocv.RetrievalList, gocv.ChainApproxSimple)
	defer contours.Close()
	var out [][4]calib.Point
	for i := range contours.Size() {
		c := contours.At(i)
		length := gocv.ArcLength(c, true)
		if length < 4*least || c.Size() < 4 {
			continue
		}
		q, ok := quadOf(c, length, least)
		if !ok { // what lies across the frame makes a C of it
			hull := gocv.NewMat()
			gocv.ConvexHull(c, &hull, false, true)
			round := gocv.NewPointVectorFromMat(hull)
			q, ok = quadOf(round, gocv.ArcLength(round, true), least)
			round.Close()
			hull.Close()
		}
		if ok {
			out = append(out, q)
		}
	}
	return out
}

// quadOf is the quad that an outline of the given length roughly is.
func quadOf(outline gocv.PointVector, length, least float64) (q [4]calib.Point, ok bool) {
	for _, tolerance := range []float64{0.02, 0.05} {
		poly := gocv.ApproxPolyDP(outline, tolerance*length, true)
		pts := poly.ToPoints()
		poly.Close()
		if q, ok = convexQuad(pts, least); ok {
			return q, true
		}
	}
	return q, false
}

func convexQuad(pts []image.Point, least float64) (q [4]calib.Point, ok bool) {
	if len(pts) != 4 {
		return q, false
	}
	for i, p := range pts {
		q[i] = calib.Point{X: float64(p.X), Y: float64(p.Y)}
	}
	turn := 0.0
	for i := range q {
		a, b, c := q[i], q[(i+1)%4], q[(i+2)%4]
		u, v := b.Sub(a), c.Sub(b)
		if u.Norm() < least*0.6 {
			return q, false
		}
		cross := u.X*v.Y - u.Y*v.X
		if turn*cross < 0 || cross == 0 {
			return q, false
		}
		turn = cross
	}
	if turn < 0 { // y is down: positive is clockwise
		q[1], q[3] = q[3], q[1]
	}
	return q, true
}
