package template

import "errors"

// SheetOptions say how reference squares are laid out for printing.
type SheetOptions struct {
	Paper      Paper      // none is A4
	Size       float64    // the square's outside, mm; 0 is calib.SquareSize
	Count      int        // squares are numbered 1 to Count; 0 is 1
	Units      Units      // Inches adds a scale check in inches
	PrintScale [2]float64 // as in Options
}

// SquareSheet lays out numbered reference squares for printing. The error is
// a sentence for the user.
func SquareSheet(o SheetOptions) ([]Page, error) {
	return nil, errors.New("not drawn yet")
}
