package template

import (
	"errors"
	"fmt"
	"math"

	"trimscribe/calib"
)

const (
	sheetMargin = 10.0 // mm that a printer may not reach
	checkLength = 100.0
)

// sheet is a page with its furniture: title, scale checks and how to print it.
// Coordinates are as printed, from the sheet's lower left corner.
type sheet struct {
	page       Page
	area       Rect // inside the margins
	body       Rect // what the furniture leaves
	haze       *Layer
	ink, slate *Layer
	blue, red  *Layer
	thin       *Layer // black hairlines
	placed     []Part // over the furniture
}

// heading is what stands at the top of a sheet.
type heading struct {
	title, sub string
	right      string   // above right, as "sheet 1 of 2"
	room       Rect     // its size is kept free above right, for a map of the tiles
	doubts     []string // shown in red below
}

// newSheet draws the furniture of one sheet.
func newSheet(paper Paper, scale [2]float64, units Units, h heading) *sheet {
	art := &Drawing{}
	s := &sheet{
		page:  Page{W: paper.W, H: paper.H, Scale: scale},
		haze:  art.NewLayer("frames", RuleLine, Haze),
		blue:  art.NewLayer("marks", FineLine, Blue),
		thin:  art.NewLayer("hairlines", FineLine, Ink),
		slate: art.NewLayer("notes", FineLine, Slate),
		ink:   art.NewLayer("text", RuleLine, Ink),
		red:   art.NewLayer("doubts", 0.5, Red),
	}
	sx, sy := s.page.scale()
	s.area = Rect{sheetMargin, sheetMargin, paper.W*sx - sheetMargin, paper.H*sy - sheetMargin}
	s.placed = []Part{{Drawing: art}}
	s.body = s.area
	s.heading(h)
	s.scaleChecks(units, sx, sy)
	return s
}

// put lays a drawing over the furniture.
func (s *sheet) put(p Part) { s.placed = append(s.placed, p) }

// done returns the finished page. What was put on lies under the furniture.
func (s *sheet) done() Page {
	p := s.page
	p.Parts = append(append(p.Parts, s.placed[1:]...), s.placed[0])
	return p
}

func (s *sheet) heading(h heading) {
	a, top := s.area, s.area.Y1
	x1 := a.X1 - h.room.W()
	s.slate.Add(Text{At: calib.Point{X: x1, Y: top - TitleText}, Height: SmallText, S: h.right, Align: Right})
	s.ink.Add(Text{At: calib.Point{X: a.X0, Y: top - TitleText}, Height: TitleText, Bold: true,
		S: shorten(h.title, x1-a.X0-TextWidth(h.right, SmallText, false)-6, TitleText, true)})
	s.slate.Add(Text{At: calib.Point{X: a.X0, Y: top - TitleText - 5.2}, Height: SmallText, S: shorten(h.sub, x1-a.X0, SmallText, false)})
	top -= math.Max(TitleText+8, h.room.H())
	s.ink.Add(Line{calib.Point{X: a.X0, Y: top}, calib.Point{X: a.X1, Y: top}})
	if len(h.doubts) > 0 {
		top = s.banner(top-2.5, h.doubts)
	}
	s.body.Y1 = top - 4
}

// banner draws the doubts in a red frame below top, and returns its foot. It
// takes four lines at the most; the notes hold all.
func (s *sheet) banner(top float64, doubts []string) float64 {
	const pad, feed, most = 2.5, 5.0, 4
	width := s.area.W() - 2*pad
	text := "DOUBTFUL: " + doubts[0]
	for _, d := range doubts[1:] {
		text += " • " + d
	}
	lines := Wrap(text, width, LabelText, true)
	if len(lines) > most {
		lines = Wrap(text, width-TextWidth(" … see the notes", LabelText, true), LabelText, true)[:most]
		lines[most-1] += " … see the notes"
	}
	foot := top - 2*pad - LabelText - feed*float64(len(lines)-1)
	s.red.Add(Polyline{Closed: true, Vertices: []Vertex{
		{Point: calib.Point{X: s.area.X0, Y: top}}, {Point: calib.Point{X: s.area.X0, Y: foot}},
		{Point: calib.Point{X: s.area.X1, Y: foot}}, {Point: calib.Point{X: s.area.X1, Y: top}}}})
	for i, l := range lines {
		s.red.Add(Text{At: calib.Point{X: s.area.X0 + pad, Y: top - pad - LabelText - feed*float64(i)}, Height: LabelText, Bold: true, S: l})
	}
	return foot
}

// scaleChecks draws lines of a known length across and up the sheet along its
// lower left corner, and says how to print.
func (s *sheet) scaleChecks(units Units, sx, sy float64) {
	const gap = 8.0
	check := "100 mm"
	off := gap + 1 // of the body from the margin, along both edges
	if units == Inches {
		off += gap
		check += ", 4 in"
	}
	at := calib.Point{X: s.area.X0 + off, Y: s.area.Y0 + off}
	s.scaleCheck(calib.Point{X: at.X, Y: s.area.Y0}, false, checkLength, 10, "100 mm")
	s.scaleCheck(calib.Point{X: s.area.X0, Y: at.Y}, true, checkLength, 10, "100 mm")
	text := calib.Point{X: at.X + checkLength + 4, Y: s.area.Y0 + 0.8 + LineFeed}
	if units == Inches {
		s.scaleCheck(calib.Point{X: at.X, Y: s.area.Y0 + gap}, false, 4*inch, inch/2, "4 in")
		s.scaleCheck(calib.Point{X: s.area.X0 + gap, Y: at.Y}, true, 4*inch, inch/2, "4 in")
	}
	s.body.X0, s.body.Y0 = at.X+1, at.Y+2

	s.ink.Add(Text{At: text, Height: SmallText, Bold: true, S: "Print at 100 % (no fit to page)."})
	s.slate.Add(Text{At: calib.Point{X: text.X, Y: text.Y - LineFeed}, Height: SmallText, S: "Scales must measure " + check + "."})
	if sx != 1 || sy != 1 {
		s.slate.Add(Text{At: calib.Point{X: text.X, Y: text.Y + LineFeed + 0.2}, Height: SmallText,
			S: fmt.Sprintf("Corrected for %.2f × %.2f mm.", sx*checkLength, sy*checkLength)})
		s.body.Y0 = math.Max(s.body.Y0, text.Y+LineFeed+SmallText+3)
	}
}

// scaleCheck draws a scale from its zero at p, rightwards or upwards. Its
// length runs from outside to outside of its end ticks.
func (s *sheet) scaleCheck(p calib.Point, up bool, length, step float64, label string) {
	place := func(along, across float64) calib.Point {
		if up {
			return calib.Point{X: p.X + across, Y: p.Y + along}
		}
		return calib.Point{X: p.X + along, Y: p.Y + across}
	}
	bar := func(along, width, height float64) {
		s.ink.Add(Fill{[][]calib.Point{{place(along, 0), place(along+width, 0), place(along+width, height), place(along, height)}}})
	}
	const tick = 0.2
	s.ink.Add(Line{place(0, RuleLine/2), place(length, RuleLine/2)})
	n := int(math.Round(length / step))
	for i := range n + 1 {
		switch i {
		case 0:
			bar(0, tick, 4)
		case n:
			bar(length-tick, tick, 4)
		default:
			bar(float64(i)*step-tick/2, tick, 1.4)
		}
	}
	t := Text{At: place(length/2, 3), Height: SmallText, Align: Middle, S: label}
	if up { // read from the right, its foot towards the scale's ticks
		t.At, t.Angle = place(length/2, 3+SmallText), math.Pi/2
	}
	s.ink.Add(t)
}

// checkPrintScale refuses what no printer does by itself.
func checkPrintScale(s [2]float64) error {
	for _, v := range s {
		if v != 0 && !(v >= 0.95 && v <= 1.05) { // also NaN
			return errors.New("the print scale is out of reason: it must lie between 0.95 and 1.05 each way; " +
				"a print that is further off was fitted to the page, so print it again at 100 %")
		}
	}
	return nil
}
