package vision

import (
	"image"
	"math"

	"gocv.io/x/gocv"

	"trimscribe/calib"
)

// boardSearchWidth is the longer side, in pixels, of the reduced photo in
// which a chessboard is looked for first.
const boardSearchWidth = 1600

// The smallest and the largest chessboard, inner corners each way. OpenCV
// takes none below three.
const (
	MinBoard = 3
	MaxBoard = 40
)

// FindBoard returns the inner corners of a chessboard of columns by rows, row
// by row, to a few hundredths of a pixel; ok is false when it is not seen
// whole. Which corner comes first is open.
func FindBoard(p *Photo, columns, rows int) (corners []calib.Point, ok bool) {
	if min(columns, rows) < MinBoard || max(columns, rows) > MaxBoard {
		return nil, false
	}
	withGray(p, func(gray gocv.Mat) { corners, ok = boardInPhoto(gray, columns, rows) })
	return corners, ok
}

// boardInPhoto finds the board in the photo made smaller, and its corners'
// places in the photo itself.
func boardInPhoto(gray gocv.Mat, columns, rows int) ([]calib.Point, bool) {
	small := gocv.NewMat()
	defer small.Close()
	w, h := float64(gray.Cols()), float64(gray.Rows())
	scale := math.Min(1, boardSearchWidth/math.Max(w, h))
	size := image.Pt(int(math.Round(w*scale)), int(math.Round(h*scale)))
	gocv.Resize(gray, &small, size, 0, 0, gocv.InterpolationArea)
	corners, ok := boardIn(small, columns, rows)
	if !ok {
		return nil, false
	}
	for i, c := range corners {
		// Pixel centres: (c + 0.5) * scale - 0.5.
		corners[i] = calib.Point{
			X: (c.X+0.5)*w/float64(size.X) - 0.5,
			Y: (c.Y+0.5)*h/float64(size.Y) - 0.5,
		}
	}
	return refineCorners(gray, corners, columns), true
}

// boardIn looks for the board by OpenCV's two detectors in turn: by outlines
// of dark cells, which is fast and steady, then by radial sectors, which sees
// what blur and glare hide from the first.
func boardIn(gray gocv.Mat, columns, rows int) ([]calib.Point, bool) {
	found := gocv.NewMat()
	defer found.Close()
	size := image.Pt(columns, rows)
	if !gocv.FindChessboardCorners(gray, size, &found, gocv.CalibCBAdaptiveThresh|gocv.CalibCBNormalizeImage|gocv.CalibCBFastCheck) &&
		!gocv.FindChessboardCornersSB(gray, size, &found, gocv.CalibCBNormalizeImage) {
		return nil, false
	}
	v, err := found.DataPtrFloat32()
	if err != nil || len(v) != 2*columns*rows {
		return nil, false
	}
	out := make([]calib.Point, columns*rows)
	for i := range out {
		out[i] = calib.Point{X: float64(v[2*i]), Y: float64(v[2*i+1])}
	}
	return out, true
}

// The window in which a corner is refined: as large as it can be for the sake
// of noise, and clear of the lines of the neighbouring corners.
const (
	windowShare = 0.4 // of the way to the nearest of those lines
	leastWindow = 2   // px each way from the corner
	mostWindow  = 30
)

// refineCorners moves each corner to where the grey's gradients all around it
// point past it (OpenCV's cornerSubPix, after Förstner and Gülch, 1987).
func refineCorners(gray gocv.Mat, corners []calib.Point, columns int) []calib.Point {
	until := gocv.NewTermCriteria(gocv.Count|gocv.EPS, 100, 0.0005)
	out := make([]calib.Point, len(corners))
	for i, c := range corners {
		w := min(max(int(windowShare*clearance(corners, columns, i)), leastWindow), mostWindow)
		out[i] = refineCorner(gray, c, w, until)
	}
	return out
}

func refineCorner(gray gocv.Mat, c calib.Point, window int, until gocv.TermCriteria) calib.Point {
	at := gocv.NewMatWithSize(1, 1, gocv.MatTypeCV32FC2)
	defer at.Close()
	v, err := at.DataPtrFloat32()
	if err != nil {
		return c
	}
	v[0], v[1] = float32(c.X), float32(c.Y)
	gocv.CornerSubPix(gray, &at, gocvPoint(window), gocvPoint(-1), until)
	return calib.Point{X: float64(v[0]), Y: float64(v[1])}
}

// clearance is the half width, px, at which an upright square window about a
// corner meets the first grid line that is not one of its own.
func clearance(corners []calib.Point, columns, i int) float64 {
	rows := len(corners) / columns
	// at is the corner in a column and row; one step beyond the board it goes
	// on evenly, for the outer cells end there.
	var at func(c, r int) calib.Point
	at = func(c, r int) calib.Point {
		switch {
		case c < 0:
			return at(0, r).Mul(2).Sub(at(1, r))
		case c >= columns:
			return at(columns-1, r).Mul(2).Sub(at(columns-2, r))
		case r < 0:
			return at(c, 0).Mul(2).Sub(at(c, 1))
		case r >= rows:
			return at(c, rows-1).Mul(2).Sub(at(c, rows-2))
		}
		return corners[r*columns+c]
	}
	c, r := i%columns, i/columns
	least := math.Inf(1)
	for _, step := range [4]image.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		// The line through the neighbour runs across the step.
		line := at(c+step.X+step.Y, r+step.Y+step.X).Sub(at(c+step.X-step.Y, r+step.Y-step.X))
		normal := calib.Point{X: -line.Y, Y: line.X}.Mul(1 / line.Norm())
		far := math.Abs(normal.Dot(at(c+step.X, r+step.Y).Sub(corners[i])))
		least = math.Min(least, far/(math.Abs(normal.X)+math.Abs(normal.Y)))
	}
	return least
}
