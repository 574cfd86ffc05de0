package template

import (
	"fmt"
	"math"
)

// The lens board as the sheet has it on A4 when nothing else is asked for:
// inner corners along and across, and the size of a cell in mm.
const (
	BoardColumns = 9
	BoardRows    = 6
	BoardCell    = 19.0
)

// BoardOptions say how the chessboard for a lens calibration is printed.
type BoardOptions struct {
	Paper         Paper      // none is A4
	Columns, Rows int        // inner corners along and across; 0 is BoardColumns and BoardRows
	Cell          float64    // size of a cell, mm; 0 is the largest whole number that fits
	Units         Units      // Inches adds a scale check in inches
	PrintScale    [2]float64 // as in Options
}

// boardWhite is the white kept round the board, in cells: finders of
// chessboards need some.
const boardWhite = 0.5

var boardHelp = []Block{
	list{title: "Print and mount", texts: []string{
		"On matt white paper. Glue it on something stiff and flat: a sheet of glass, a tile, thick card.",
		"If the 100 mm scales are off, say what they measure across and up, and print again: trimscribe lens --sheet --print-scale 99.6,100.2 (use your own figures).",
	}},
	list{title: "Take 8 to 15 photos", texts: []string{
		"From about as far as you photograph panels, same zoom, no flash. All of the board in view, and sharp.",
		"Half of them tilted by 30 to 45 degrees: to the left, the right, the front, the back. The board in each corner of the picture in turn, and once in its middle.",
	}},
}

// BoardSheet lays out a chessboard for printing. The error is a sentence for
// the user.
func BoardSheet(o BoardOptions) (Page, error) {
	if o.Paper.W == 0 {
		o.Paper = papers[0]
	}
	if o.Columns == 0 {
		o.Columns, o.Rows = BoardColumns, BoardRows
	}
	if err := checkPrintScale(o.PrintScale); err != nil {
		return Page{}, err
	}
	if o.Columns < 2 || o.Rows < 2 {
		return Page{}, fmt.Errorf("a board of %d x %d inner corners is no chessboard", o.Columns, o.Rows)
	}
	plain := o.sheet(0)
	columnCount, columnWidth := columns(plain.body.W())
	help := flowHeight(boardHelp, columnCount, columnWidth)
	room := plain.body
	room.Y0 += help + 2*pad

	along, across := o.Columns+1, o.Rows+1 // cells
	if (room.H() > room.W()) == (along > across) {
		along, across = across, along
	}
	// along is now the number of cells from left to right.
	most := math.Min(room.W()/(float64(along)+2*boardWhite), room.H()/(float64(across)+2*boardWhite))
	if o.Cell == 0 {
		o.Cell = math.Floor(most)
	}
	if o.Cell > most || o.Cell < 1 {
		return Page{}, fmt.Errorf("cells of %g mm do not fit on %s %d by %d: at most %.0f mm do, or take larger paper",
			o.Cell, o.Paper.Name, o.Columns+1, o.Rows+1, math.Floor(most))
	}

	s := o.sheet(o.Cell)
	w, h := float64(along)*o.Cell, float64(across)*o.Cell
	mid := room.Centre()
	field := Rect{mid.X - w/2, mid.Y - h/2, mid.X + w/2, mid.Y + h/2}
	art := &Drawing{}
	art.NewLayer("board", 0, Ink).Add(boardFill(field, along, across))
	s.put(Part{Drawing: art})
	placed, _ := flow(boardHelp, columnWidth, help)
	drawFlow(s, placed, Rect{s.body.X0, s.body.Y0, s.body.X1, s.body.Y0 + help}, columnWidth)
	return s.done(), nil
}

func (o BoardOptions) sheet(cell float64) *sheet {
	command := "trimscribe lens"
	if o.Columns != BoardColumns || o.Rows != BoardRows {
		command += fmt.Sprintf(" --board %dx%d", o.Columns, o.Rows)
	}
	if cell != BoardCell {
		command += fmt.Sprintf(" --cell %g", cell)
	}
	return newSheet(o.Paper, o.PrintScale, o.Units, heading{
		title: fmt.Sprintf("Lens board, %d × %d inner corners, cells of %g mm", o.Columns, o.Rows, cell),
		sub:   "Print, glue flat, take photos of it, then run: " + command + " PHOTO...",
	})
}

// boardFill is the black of a chessboard of columns by rows of cells, black
// in the lower left corner.
func boardFill(r Rect, columns, rows int) Fill {
	var fill Fill
	w, h := r.W()/float64(columns), r.H()/float64(rows)
	for row := range rows {
		for col := row % 2; col < columns; col += 2 {
			x, y := r.X0+float64(col)*w, r.Y0+float64(row)*h
			fill.Loops = append(fill.Loops, Rect{x, y, x + w, y + h}.corners())
		}
	}
	return fill
}
