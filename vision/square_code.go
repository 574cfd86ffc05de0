package vision

import (
	"math"

	"trimscribe/calib"
)

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
