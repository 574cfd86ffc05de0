package template

import "image/color"

// The look of all sheets: few colours, each with one meaning, and all of them
// dark enough to print on a black and white printer.
var (
	Ink   = color.RGBA{0, 0, 0, 255}       // true edges and what must be read
	Slate = color.RGBA{84, 96, 108, 255}   // what explains
	Blue  = color.RGBA{0, 92, 158, 255}    // construction: centre lines, crosses, joining marks
	Red   = color.RGBA{196, 22, 48, 255}   // the tweeter's centre, and doubts
	Haze  = color.RGBA{196, 203, 210, 255} // frames and rules
)

// Heights of capitals and widths of lines, mm.
const (
	SmallText = 2.5
	LabelText = 3.2
	TitleText = 4.8

	EdgeLine = 0.2 // true edges: its middle is the edge
	FineLine = 0.13
	RuleLine = 0.25

	LineFeed = 4.4 // from one line of small text to the next
)

// Chain is the dash of a centre line (ISO 128: long dash, dot).
var Chain = []float64{5, 1, 0.6, 1}

// Seen is the dash of what was seen in a photo and not measured as a circle is.
var Seen = []float64{1.6, 0.8}
