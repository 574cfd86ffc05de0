package template

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// The board, as poppler draws it, has its cells where they belong, in black
// and white by turns, on white; and each cell has its size to 0.05 mm.
func TestBoardSheetMeasures(t *testing.T) {
	for _, o := range []BoardOptions{
		{}, {Paper: mustPaper(t, "letter"), Units: Inches}, {Paper: mustPaper(t, "a3-landscape"), Columns: 12, Rows: 8},
		{Cell: 12.5}, {PrintScale: [2]float64{0.99, 1.004}},
	} {
		page, err := BoardSheet(o)
		if err != nil {
			t.Fatal(err)
		}
		var fill Fill
		for _, part := range page.Parts {
			if l := part.Drawing.Layer("board"); l != nil {
				fill = l.Shapes[0].(Fill)
			}
		}
		sx, sy := page.scale()
		b := fill.Bounds()
		field := Rect{b.X0 / sx, page.H - b.Y1/sy, b.X1 / sx, page.H - b.Y0/sy} // from the sheet's upper left corner
		cell := fill.Loops[0][1].X - fill.Loops[0][0].X
		if o.Cell != 0 {
			near(t, "cell", cell, o.Cell, 1e-9)
		}
		if title := strings.Join(texts(page), " "); !strings.Contains(title, fmt.Sprintf("cells of %g mm", cell)) {
			t.Errorf("the sheet does not say that its cells are %g mm", cell)
		}
		across, up := int(math.Round(b.W()/cell)), int(math.Round(b.H()/cell))
		if want := max(o.Columns, 9) + 1; max(across, up) != want {
			t.Errorf("%d by %d cells", across, up)
		}
		raster := poppler(t, pdfFile(t, []Page{page}), 1, 600, field.Grow(cell/2))
		for row := -1; row <= up; row++ {
			for col := -1; col <= across; col++ {
				x, y := field.X0+(float64(col)+0.5)*cell/sx, field.Y1-(float64(row)+0.5)*cell/sy
				inside := row >= 0 && col >= 0 && row < up && col < across
				want := uint8(255)
				if inside && (row+col)%2 == 0 {
					want = 0
				}
				if !inside { // the white round the board is half a cell
					x = math.Min(math.Max(x, field.X0-0.4*cell/sx), field.X1+0.4*cell/sx)
					y = math.Min(math.Max(y, field.Y0-0.4*cell/sy), field.Y1+0.4*cell/sy)
				}
				if got := raster.GrayAt(int((x-raster.x0)*raster.perMM), int((y-raster.y0)*raster.perMM)).Y; got != want {
					t.Fatalf("%+v: cell %d, %d is %d, want %d", o, col, row, got, want)
				}
			}
		}
		e := raster.extent(128)
		near(t, "width", e.W()*sx, float64(across)*cell, 0.05)
		near(t, "height", e.H()*sy, float64(up)*cell, 0.05)
	}
}

// The default that `trimscribe lens` assumes is what the A4 sheet prints.
func TestBoardSheetDefault(t *testing.T) {
	page, err := BoardSheet(BoardOptions{})
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(texts(page), " ")
	for _, part := range []string{
		fmt.Sprintf("%d × %d inner corners, cells of %g mm", BoardColumns, BoardRows, BoardCell),
		"then run: trimscribe lens PHOTO", "stiff and flat", "30 to 45 degrees", "Print at 100 %",
	} {
		if !strings.Contains(all, part) {
			t.Errorf("the sheet does not say %q", part)
		}
	}
}

func TestBoardSheetNothingOverlaps(t *testing.T) {
	for _, o := range []BoardOptions{{}, {Units: Inches, Paper: mustPaper(t, "letter")}, {Columns: 20, Rows: 4}, {Paper: mustPaper(t, "a2")}} {
		page, err := BoardSheet(o)
		if err != nil {
			t.Fatal(err)
		}
		var boxes []Rect
		for _, part := range page.Parts {
			for _, l := range part.Drawing.Layers {
				for _, s := range l.Shapes {
					b := s.Bounds()
					if !(Rect{sheetMargin, sheetMargin, page.W - sheetMargin, page.H - sheetMargin}).Grow(0.01).Holds(b) {
						t.Errorf("%+v: %v is outside the margins", o, s)
					}
					if _, ok := s.(Text); ok || l.Name == "board" {
						boxes = append(boxes, b)
					}
				}
			}
		}
		for j, a := range boxes {
			for _, b := range boxes[:j] {
				if a.Overlaps(b) {
					t.Errorf("%+v: %v and %v overlap", o, a, b)
				}
			}
		}
	}
}

func TestBoardSheetRefuses(t *testing.T) {
	for want, o := range map[string]BoardOptions{
		"do not fit on A4": {Cell: 60},
		"no chessboard":    {Columns: 9, Rows: 1},
		"print scale":      {PrintScale: [2]float64{0.5, 1}},
	} {
		if _, err := BoardSheet(o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v", o, err)
		}
	}
}
