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
	inBands(len(pix), func(from, to int) {
		for i := from; i < to; i++ {
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

// srgbCurve maps linear luminance in 4096 steps to an sRGB byte
// (IEC 61966-2-1).
var srgbCurve = func() (table [4097]byte) {
	for i := range table {
		v := float64(i) / 4096
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		table[i] = byte(math.Round(255 * v))
	}
	return table
}()

func encodeSRGB(v float32) byte {
	return srgbCurve[int(4096*min(max(v, 0), 1)+0.5)]
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
		for _, tolerance := range []float64{0.02, 0.05} {
			poly := gocv.ApproxPolyDP(c, tolerance*length, true)
			pts := poly.ToPoints()
			poly.Close()
			if q, ok := convexQuad(pts, least); ok {
				out = append(out, q)
				break
			}
		}
	}
	return out
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

// readSquare takes a quad for a frame's outer edge, its inner edge, or the
// paper's cut edge, in turn, and reads the code that would lie inside.
func readSquare(p *Photo, q [4]calib.Point) (sighting, bool) {
	for _, inset := range []float64{0, 1, -calib.SquareMargin} {
		lo, hi := inset, calib.SquareGrid-inset
		corners := []calib.Point{{X: lo, Y: lo}, {X: hi, Y: lo}, {X: hi, Y: hi}, {X: lo, Y: hi}}
		grid, err := calib.Homography(corners, q[:])
		if err != nil {
			continue
		}
		s := sighting{grid: grid}
		cells, ok := sampleCells(p, s)
		if !ok {
			continue
		}
		for _, read := range []func([10][10]float64) [10][10]bool{blackByFrame, blackByNeighbours} {
			black := read(cells)
			number, turns, ok := calib.ReadSquareArt(codeOf(black))
			if !ok || !frameFits(black) {
				continue
			}
			// The code stands turned clockwise: so the square's own top left is
			// the quad's corner that many places on.
			var own [4]calib.Point
			for i := range own {
				own[i] = q[(i+turns)%4]
			}
			s.number = number
			s.grid, _ = calib.Homography(corners, own[:])
			return s, true
		}
	}
	return sighting{}, false
}

// sampleCells returns the mean luminance in the middle of each of the ten by
// ten cells, row by row; ok is false when some lie outside the photo.
func sampleCells(p *Photo, s sighting) (cells [10][10]float64, ok bool) {
	for r := range 10 {
		for c := range 10 {
			const n = 5
			for i := range n {
				for j := range n {
					q := s.at(float64(c)+0.3+0.4*float64(j)/(n-1), float64(r)+0.3+0.4*float64(i)/(n-1))
					if !p.inside(q, 0) {
						return cells, false
					}
					cells[r][c] += p.At(q) / (n * n)
				}
			}
		}
	}
	return cells, true
}

func ring(r, c int) int { return min(r, c, 9-r, 9-c) }

// blackByFrame compares each cell with the frame and the white around it:
// black and white levels are weighted by nearness, the limit is their
// geometric mean, halfway as the eye sees it.
func blackByFrame(cells [10][10]float64) (black [10][10]bool) {
	for r := range 10 {
		for c := range 10 {
			var level, weight [2]float64
			for i := range 10 {
				for j := range 10 {
					k := ring(i, j)
					if k > 1 {
						continue
					}
					d2 := float64((i-r)*(i-r) + (j-c)*(j-c))
					w := 1 / ((d2 + 1) * (d2 + 1))
					level[k] += w * cells[i][j]
					weight[k] += w
				}
			}
			dark, light := level[0]/weight[0], level[1]/weight[1]
			black[r][c] = cells[r][c] < math.Sqrt(math.Max(dark, 1e-4)*math.Max(light, 1e-4))
		}
	}
	return black
}

// blackByNeighbours compares each cell with the darkest and lightest of the
// cells around it: it copes with a shadow's edge across the code.
func blackByNeighbours(cells [10][10]float64) (black [10][10]bool) {
	for r := range 10 {
		for c := range 10 {
			lo, hi := math.Inf(1), 0.0
			for i := max(0, r-2); i <= min(9, r+2); i++ {
				for j := max(0, c-2); j <= min(9, c+2); j++ {
					lo = math.Min(lo, cells[i][j])
					hi = math.Max(hi, cells[i][j])
				}
			}
			black[r][c] = cells[r][c] < math.Sqrt(math.Max(lo, 1e-4)*math.Max(hi, 1e-4))
		}
	}
	return black
}

func codeOf(black [10][10]bool) (code [calib.SquareCode][calib.SquareCode]bool) {
	for r := range code {
		for c := range code[r] {
			code[r][c] = black[r+2][c+2]
		}
	}
	return code
}

// frameFits tells whether the frame is mostly black and the ring inside it
// mostly white. A part may be covered; the code's check is what guards.
func frameFits(black [10][10]bool) bool {
	var right, all [2]int
	for r := range 10 {
		for c := range 10 {
			if k := ring(r, c); k < 2 {
				all[k]++
				if black[r][c] == (k == 0) {
					right[k]++
				}
			}
		}
	}
	return 4*right[0] >= 3*all[0] && 4*right[1] >= 3*all[1]
}
