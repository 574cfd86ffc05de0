package template

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trimscribe/calib"
)

// squaresOn returns the frames on a page, by number, in mm from the sheet's
// upper left corner.
func squaresOn(p Page) map[int]Rect {
	out := map[int]Rect{}
	sx, sy := p.scale()
	for _, part := range p.Parts {
		for _, l := range part.Drawing.Layers {
			var n int
			if _, err := fmt.Sscanf(l.Name, "square-%d", &n); err == nil {
				b := l.Shapes[0].Bounds()
				out[n] = Rect{b.X0 / sx, p.H - b.Y1/sy, b.X1 / sx, p.H - b.Y0/sy}
			}
		}
	}
	return out
}

// Each square, as poppler draws it at 300 dpi, reads back cell by cell as
// calib's artwork and as its own number, upright; its margin is white but for
// the outer two fifths of its top; and its frame's black has no hairlines.
func TestSquaresReadBackFromThePDF(t *testing.T) {
	for _, o := range []SheetOptions{
		{}, {Count: 7}, {Size: 25, Count: 30}, {Size: 10, Count: 2}, {Size: 120, Paper: mustPaper(t, "letter")},
		{Count: 2, PrintScale: [2]float64{0.98, 1.01}}, {Size: 33.3, Count: 4, Units: Inches},
	} {
		pages, err := SquareSheet(o)
		if err != nil {
			t.Fatal(err)
		}
		pdf := pdfFile(t, pages)
		next := 1
		for i, p := range pages {
			page := poppler(t, pdf, i+1, 300, Rect{0, 0, p.W, p.H})
			squares := squaresOn(p)
			for range squares {
				readSquare(t, page, squares[next], next)
				next++
			}
		}
		if next-1 != max(1, o.Count) {
			t.Errorf("%+v: %d squares", o, next-1)
		}
	}
}

func readSquare(t *testing.T, page raster, r Rect, number int) {
	t.Helper()
	// darkness of a place in cells from the frame's upper left corner
	at := func(x, y float64) uint8 {
		return page.GrayAt(int((r.X0+x*r.W()/calib.SquareGrid)*page.perMM), int((r.Y0+y*r.H()/calib.SquareGrid)*page.perMM)).Y
	}
	const n, inset = calib.SquareGrid, (calib.SquareGrid - calib.SquareCode) / 2
	var code [calib.SquareCode][calib.SquareCode]bool
	for row := range calib.SquareCode {
		for col := range calib.SquareCode {
			code[row][col] = at(float64(col+inset)+0.5, float64(row+inset)+0.5) < 128
		}
	}
	if code != calib.SquareArt(number) {
		t.Errorf("square %d is not its artwork", number)
	}
	if got, turns, ok := calib.ReadSquareArt(code); !ok || got != number || turns != 0 {
		t.Errorf("square %d reads as %d, turned %d, %v", number, got, turns, ok)
	}
	cell := r.W() / n
	edge := 0.25 / cell // keep off the smoothed edge by a quarter of a millimetre
	step := 0.4 / page.perMM / cell
	for u := -calib.SquareMargin + edge; u < n+calib.SquareMargin-edge; u += step {
		for _, v := range []float64{edge, 0.5, 1 - edge} { // along the frame, all four sides
			if u > edge && u < n-edge {
				for _, p := range [][2]float64{{u, v}, {u, n - v}, {v, u}, {n - v, u}} {
					if c := at(p[0], p[1]); c > 40 {
						t.Fatalf("square %d: the frame is %d at cell %.2f, %.2f", number, c, p[0], p[1])
					}
				}
			}
		}
		for v := edge; v < calib.SquareMargin-edge; v += step {
			for i, p := range [][2]float64{{u, -v}, {u, n + v}, {-v, u}, {n + v, u}} {
				if i == 0 && v > 0.6*calib.SquareMargin {
					continue // the number's band
				}
				if p[1] < -0.6*calib.SquareMargin {
					continue
				}
				if c := at(p[0], p[1]); c < 250 {
					t.Fatalf("square %d: the margin is %d at cell %.2f, %.2f", number, c, p[0], p[1])
				}
			}
		}
		for _, v := range []float64{1 + edge, 1.5, 2 - edge} { // the white ring
			if u > 1+edge && u < n-1-edge {
				for _, p := range [][2]float64{{u, v}, {u, n - v}, {v, u}, {n - v, u}} {
					if c := at(p[0], p[1]); c < 250 {
						t.Fatalf("square %d: the white ring is %d at cell %.2f, %.2f", number, c, p[0], p[1])
					}
				}
			}
		}
	}
}

// The frame's outside, measured at 1200 dpi, is its size to 0.05 mm.
func TestSquareFrameMeasuresItsSize(t *testing.T) {
	for _, o := range []SheetOptions{{}, {Size: 42.5}, {Size: 130}, {PrintScale: [2]float64{0.99, 1.003}}} {
		pages, err := SquareSheet(o)
		if err != nil {
			t.Fatal(err)
		}
		size, sx, sy := o.Size, 1.0, 1.0
		if size == 0 {
			size = 60 // DESIGN.md's default
		}
		if o.PrintScale[0] != 0 {
			sx, sy = o.PrintScale[0], o.PrintScale[1]
		}
		r := squaresOn(pages[0])[1]
		e := poppler(t, pdfFile(t, pages), 1, 1200, r.Grow(0.04*size)).extent(128) // within the margin
		near(t, "width", e.W(), size/sx, 0.05)
		near(t, "height", e.H(), size/sy, 0.05)
	}
}

// The black is one area of closed loops whose area is that of its black cells.
func TestSquareFillHasItsCellsArea(t *testing.T) {
	for number := 1; number <= calib.MaxSquare; number++ {
		black := calib.SquareGrid*calib.SquareGrid - (calib.SquareGrid-2)*(calib.SquareGrid-2)
		for _, row := range calib.SquareArt(number) {
			for _, b := range row {
				if b {
					black++
				}
			}
		}
		// Loops run clockwise round black, so the shoelace sum is minus twice the area.
		area := 0.0
		for _, loop := range squareFill(Rect{0, 0, calib.SquareGrid, calib.SquareGrid}, number).Loops {
			for i, p := range loop {
				q := loop[(i+1)%len(loop)]
				area -= (p.X*q.Y - q.X*p.Y) / 2
				if d := p.Dist(q); math.Abs(d-1) > 1e-9 {
					t.Fatalf("square %d: an edge of %g cells", number, d)
				}
			}
		}
		near(t, fmt.Sprintf("black of square %d", number), area, float64(black), 1e-9)
	}
}

func TestSquareSheetSaysHow(t *testing.T) {
	pages, err := SquareSheet(SheetOptions{Count: 9})
	if err != nil {
		t.Fatal(err)
	}
	first := strings.Join(texts(pages[0]), " ")
	for _, part := range []string{"measure here: width across", "measure here: height", "--square-size", "plane", "30 cm", "glare", "Flat", "TOP  1", "TOP  4"} {
		if !strings.Contains(first, part) {
			t.Errorf("the first sheet does not say %q", part)
		}
	}
	for i, p := range pages {
		if !contains(texts(p), "Print at 100 % (no fit to page)") || !contains(texts(p), fmt.Sprintf("sheet %d of %d", i+1, len(pages))) {
			t.Errorf("sheet %d does not say how to print it, or which it is", i+1)
		}
	}
}

func TestSquareSheetNothingOverlaps(t *testing.T) {
	for _, o := range []SheetOptions{{}, {Count: 5}, {Size: 10, Count: 3}, {Size: 130}, {Units: Inches, Count: 3, Paper: mustPaper(t, "letter")}, {Size: 15, Count: 255}} {
		pages, err := SquareSheet(o)
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range pages {
			var boxes []Rect
			for _, part := range p.Parts {
				for _, l := range part.Drawing.Layers {
					for _, s := range l.Shapes {
						b := s.Bounds()
						if !(Rect{sheetMargin, sheetMargin, p.W - sheetMargin, p.H - sheetMargin}).Grow(0.01).Holds(b) {
							t.Errorf("%+v, sheet %d: %v is outside the margins", o, i+1, s)
						}
						if _, ok := s.(Text); ok {
							boxes = append(boxes, b)
						}
						if strings.HasPrefix(l.Name, "cut-line") {
							cut := b
							for _, other := range squaresCut(p) {
								if other != cut && other.Grow(1).Overlaps(cut) {
									t.Errorf("%+v, sheet %d: two squares are not a millimetre apart", o, i+1)
								}
							}
						}
					}
				}
			}
			for j, a := range boxes {
				for _, b := range boxes[:j] {
					if a.Overlaps(b) {
						t.Errorf("%+v, sheet %d: texts overlap at %v", o, i+1, a)
					}
				}
			}
		}
	}
}

func squaresCut(p Page) []Rect {
	var out []Rect
	for _, part := range p.Parts {
		for _, l := range part.Drawing.Layers {
			if strings.HasPrefix(l.Name, "cut-line") {
				out = append(out, l.Shapes[0].Bounds())
			}
		}
	}
	return out
}

func TestSquareSheetRefuses(t *testing.T) {
	for want, o := range map[string]SheetOptions{
		"from 10 to 150 mm": {Size: 9},
		"not fit on A4":     {Size: 150},
		"from 1 to 255":     {Count: 300},
		"-3 squares":        {Count: -3},
		"can't be used":     {Size: math.NaN()},
	} {
		if _, err := SquareSheet(o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v", o, err)
		}
	}
	if _, err := SquareSheet(SheetOptions{Size: 150, Paper: mustPaper(t, "a3")}); err != nil {
		t.Errorf("150 mm on A3: %v", err)
	}
}
