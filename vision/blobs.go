package vision

import (
	"math"
	"slices"
	"unsafe"

	"gocv.io/x/gocv"

	"trimscribe/calib"
)

// A blob is a patch of a view that is darker or lighter than all round it, or
// busier, by its border.
type blob struct {
	border []calib.Point // mm, in the plane z = 0
	box    turnedBox
	seen   int // at how many thresholds it stood out
}

// A turnedBox is the smallest rectangle round a border, whichever way it lies.
type turnedBox struct {
	centre calib.Point
	turn   float64    // radians, of the long side
	half   [2]float64 // of the long and the short side, mm
}

// blobSize is what sizes of blob are looked for, mm.
type blobSize struct{ leastShort, mostShort, mostLong float64 }

// blobLevels are the grey levels at which a view is cut, about a fifth apart:
// a patch that differs from what is round it by more stands out at one at least,
// whatever the light.
var blobLevels = []float32{6, 8, 10, 12, 15, 18, 22, 27, 33, 40, 48, 58, 70, 84, 100, 118, 138, 160, 185, 210, 235}

// leastFill is the least share of its box that a blob fills: a triangle fills
// half, a slot or a disc three quarters and more.
const leastFill = 0.48

// blobs cuts a view at every level and returns the compact patches of the sizes
// wanted, each once, those that stood out at the most levels first.
func blobs(f flat, size blobSize) []blob {
	grey := make([]byte, len(f.pix))
	for i, v := range f.pix {
		grey[i] = byte(math.Max(0, math.Min(float64(v)+0.5, 255)))
	}
	at := make([][]blob, len(blobLevels))
	Parallel(len(blobLevels), func(i int) {
		view, err := gocv.NewMatFromBytes(f.h, f.w, gocv.MatTypeCV8U, grey)
		if err != nil {
			panic(err) // the sizes are ours
		}
		defer view.Close()
		cut := gocv.NewMat()
		defer cut.Close()
		// Openings are mostly dark; one that is lit from behind is lighter by far, so
		// that half the levels serve.
		kinds := []gocv.ThresholdType{gocv.ThresholdBinaryInv, gocv.ThresholdBinary}
		for _, kind := range kinds[:1+i%2] {
			gocv.Threshold(view, &cut, blobLevels[i], 255, kind)
			at[i] = append(at[i], blobsOf(f, cut, size)...)
		}
	})
	var all []blob
	for _, found := range at {
		for _, b := range found {
			all = merge(all, b)
		}
	}
	slices.SortStableFunc(all, func(a, b blob) int { return b.seen - a.seen })
	return all
}

// merge adds a blob, or counts it when it is there already.
func merge(all []blob, b blob) []blob {
	for i := range all {
		o := &all[i].box
		if o.centre.Dist(b.box.centre) < 0.12*o.half[1] && near(o.half[0], b.box.half[0]) && near(o.half[1], b.box.half[1]) {
			all[i].seen++
			return all
		}
	}
	return append(all, b)
}

// near tells whether two lengths are the same to a tenth.
func near(a, b float64) bool { return math.Abs(math.Log(a/b)) < 0.1 }

// Columns of OpenCV's table of connected components (ConnectedComponentsTypes).
const (
	statLeft, statTop, statWidth, statHeight, statArea = 0, 1, 2, 3, 4
)

// blobsOf returns the patches of white of one cut.
func blobsOf(f flat, cut gocv.Mat, size blobSize) []blob {
	labels, stats, middles := gocv.NewMat(), gocv.NewMat(), gocv.NewMat()
	defer labels.Close()
	defer stats.Close()
	defer middles.Close()
	n := gocv.ConnectedComponentsWithStats(cut, &labels, &stats, &middles)
	table, of := wholeNumbers(stats), wholeNumbers(labels)
	if n == 0 {
		return nil
	}
	columns := len(table) / n
	var out []blob
	for i := 1; i < n; i++ {
		row := table[i*columns:]
		w, h, area := float64(row[statWidth])/f.scale, float64(row[statHeight])/f.scale, float64(row[statArea])/(f.scale*f.scale)
		if math.Max(w, h) > size.mostLong || math.Min(w, h) < size.leastShort || area < 0.3*size.leastShort*size.leastShort {
			continue
		}
		if row[statLeft] == 0 || row[statTop] == 0 || int(row[statLeft]+row[statWidth]) == f.w || int(row[statTop]+row[statHeight]) == f.h {
			continue // cut off by the view's border
		}
		border := f.borderOf(of, int32(i), row)
		if len(border) < 8 {
			continue
		}
		box := boxRound(border)
		long, short := 2*box.half[0], 2*box.half[1]
		filled, _ := calib.PolygonArea(border)
		if short < size.leastShort || short > size.mostShort || long > size.mostLong || math.Abs(filled) < leastFill*long*short {
			continue
		}
		out = append(out, blob{border, box, 1})
	}
	return out
}

// wholeNumbers views a Mat of 32-bit numbers; it is good as long as the Mat.
func wholeNumbers(m gocv.Mat) []int32 {
	b, err := m.DataPtrUint8()
	if err != nil || len(b) == 0 {
		return nil
	}
	return unsafe.Slice((*int32)(unsafe.Pointer(unsafe.SliceData(b))), len(b)/4)
}

// borderOf returns the outer border of one component, mm, anticlockwise.
func (f flat) borderOf(labels []int32, label int32, row []int32) []calib.Point {
	x0, y0, w, h := int(row[statLeft]), int(row[statTop]), int(row[statWidth]), int(row[statHeight])
	mask := make([]byte, w*h)
	for y := range h {
		for x := range w {
			if labels[(y0+y)*f.w+x0+x] == label {
				mask[y*w+x] = 255
			}
		}
	}
	m, err := gocv.NewMatFromBytes(h, w, gocv.MatTypeCV8U, mask)
	if err != nil {
		panic(err) // the sizes are ours
	}
	defer m.Close()
	contours := gocv.FindContours(m, gocv.RetrievalExternal, gocv.ChainApproxNone)
	defer contours.Close()
	var border []calib.Point
	for i := range contours.Size() {
		c := contours.At(i)
		if c.Size() > len(border) {
			border = border[:0]
			for _, q := range c.ToPoints() {
				border = append(border, f.mm(float64(x0+q.X), float64(y0+q.Y)))
			}
		}
	}
	if area, _ := calib.PolygonArea(border); area < 0 {
		slices.Reverse(border)
	}
	return border
}

// boxRound turns a rectangle round the border until it is smallest.
func boxRound(border []calib.Point) turnedBox {
	var best turnedBox
	least := math.Inf(1)
	const turns = 60
	for i := range turns {
		turn := math.Pi / 2 * float64(i) / turns
		s, c := math.Sincos(turn)
		x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for _, p := range border {
			x, y := c*p.X+s*p.Y, c*p.Y-s*p.X
			x0, x1, y0, y1 = math.Min(x0, x), math.Max(x1, x), math.Min(y0, y), math.Max(y1, y)
		}
		if area := (x1 - x0) * (y1 - y0); area < least {
			least = area
			x, y := (x0+x1)/2, (y0+y1)/2
			best = turnedBox{calib.Point{X: c*x - s*y, Y: s*x + c*y}, turn, [2]float64{(x1 - x0) / 2, (y1 - y0) / 2}}
		}
	}
	if best.half[0] < best.half[1] {
		best.half[0], best.half[1] = best.half[1], best.half[0]
		best.turn += math.Pi / 2
	}
	return best
}

// roundness is how far the border is off a circle: the rms distance from the
// best circle, as a share of its radius.
func (b blob) roundness() float64 {
	fit, err := calib.FitCircle(b.border)
	if err != nil {
		return 1
	}
	sum := 0.0
	for _, p := range b.border {
		d := p.Dist(fit.Centre) - fit.R
		sum += d * d
	}
	return math.Sqrt(sum/float64(len(b.border))) / fit.R
}

// start is an outline of a shape to begin with: it fills the blob.
func (b blob) start(shape string) calib.Outline {
	o := calib.Outline{Shape: shape, Centre: b.box.centre, Turn: b.box.turn, Half: b.box.half}
	switch shape {
	case calib.ShapeRectangle, calib.ShapeRoundedSquare:
		o.Corner = 0.2 * o.Half[1]
	case calib.ShapeD:
		// The flat is where the border comes nearest to the middle of the round part.
		fit, err := calib.FitCircleRobust(b.border, 0.05)
		if err != nil {
			return o
		}
		least := math.Inf(1)
		for _, p := range b.border {
			if d := p.Dist(fit.Centre); d < least {
				least = d
				o.Turn = math.Atan2(p.Y-fit.Centre.Y, p.X-fit.Centre.X)
			}
		}
		o.Centre, o.Half = fit.Centre, [2]float64{fit.R, math.Min(least, 0.95*fit.R)}
	}
	if fit, err := calib.FitOutline(b.border, o, 0.05); err == nil {
		return fit.Outline
	}
	return o
}
