package template

import "image/color"

// The look of all sheets: few colours, each with one meaning, and all of them
// dark enough to print on a black and white printer.
var (
	ink   = color.RGBA{0, 0, 0, 255}       // true edges and what must be read
	slate = color.RGBA{84, 96, 108, 255}   // what explains
	blue  = color.RGBA{0, 92, 158, 255}    // construction: centre lines, crosses, joining marks
	red   = color.RGBA{196, 22, 48, 255}   // the tweeter's centre, and doubts
	haze  = color.RGBA{196, 203, 210, 255} // frames and rules
)

// Heights of capitals and widths of lines, mm.
const (
	smallText = 2.5
	labelText = 3.2
	titleText = 4.8

	edgeLine = 0.2 // true edges: its middle is the edge
	fineLine = 0.13
	ruleLine = 0.25

	lineFeed = 4.4 // from one line of small text to the next
)

// chain is the dash of a centre line (ISO 128: long dash, dot).
var chain = []float64{5, 1, 0.6, 1}
