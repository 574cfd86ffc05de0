package main

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"

	"github.com/fogleman/gg"
	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"

	"trimscribe/calib"
)

// strip is what stands below the photo: the doubts, a zoomed picture of each
// chosen feature, and the legend.
type strip struct {
	h       float64
	doubts  []string // lines
	columns int
	cell    float64 // side of a zoomed picture, px
	legend  [][]legendEntry
}

// legendEntry is a mark and what it means.
type legendEntry struct {
	text string
	col  color.RGBA
	mark byte // 'o' a ring, 'd' a dashed one, '+' a cross, '-' a line
	x    float64
}

const (
	stripGap  = 0.5 // in units
	stripFeed = 1.3 // from line to line
)

// layStrip settles what the strip holds, and its height.
func (o *overlay) layStrip() strip {
	var s strip
	gap, feed := stripGap*o.unit, stripFeed*o.unit
	for i, d := range o.survey.Doubts {
		if i == 0 {
			d = "DOUBTFUL: " + d
		} else {
			d = "• " + d
		}
		s.doubts = append(s.doubts, o.wrapped(d, o.w-4*gap)...)
	}
	if n := len(s.doubts); n > 0 {
		s.h += gap + (float64(n)+0.8)*feed
	}
	n := len(o.survey.Features)
	s.columns = 4
	if n == 5 || n == 6 || n <= 3 {
		s.columns = 3
	}
	s.cell = (o.w - gap*float64(s.columns+1)) / float64(s.columns)
	s.h += float64((n+s.columns-1)/s.columns) * (s.cell + feed + gap)
	s.legend = o.layLegend()
	s.h += gap + feed*float64(len(s.legend)) + gap
	return s
}

// wrapped breaks a text into lines of the small face.
func (o *overlay) wrapped(text string, width float64) []string {
	dc := gg.NewContext(1, 1)
	dc.SetFontFace(o.small)
	return dc.WordWrap(text, width)
}

// layLegend lays the legend out in lines.
func (o *overlay) layLegend() [][]legendEntry {
	entries := []legendEntry{{text: "mounting hole", col: holeColor, mark: 'o'}, {text: "grille", col: grilleColor, mark: 'o'}}
	if o.survey.Tweeter != nil {
		entries = append(entries, legendEntry{text: "tweeter centre", col: tweeterColor, mark: '+'})
	}
	if slices.ContainsFunc(o.survey.Features, func(f calib.Feature) bool { return f.Kind == calib.KindTweeter }) {
		entries = append(entries, legendEntry{text: "its body", col: tweeterColor, mark: 'o'})
	}
	if len(o.survey.Candidates) > 0 {
		entries = append(entries, legendEntry{text: "not chosen: --pick its number", col: candidateColor, mark: 'd'})
	}
	if len(o.survey.Traces) > 0 {
		entries = append(entries, legendEntry{text: "traced edge", col: traceColor, mark: '-'})
	}
	if len(o.survey.Missing) > 0 {
		entries = append(entries, legendEntry{text: "a hole missed?", col: missingColor, mark: 'd'})
	}
	var lines [][]legendEntry
	x := math.Inf(1)
	for _, e := range entries {
		w := 1.3*o.unit + textWidth(o.small, e.text) + 1.2*o.unit
		if x+w > o.w+0.7*o.unit {
			lines, x = append(lines, nil), 2*stripGap*o.unit
		}
		e.x = x
		x += w
		lines[len(lines)-1] = append(lines[len(lines)-1], e)
	}
	return lines
}

func (o *overlay) drawStrip() {
	gap, feed := stripGap*o.unit, stripFeed*o.unit
	y := o.h
	if n := float64(len(o.strip.doubts)); n > 0 {
		o.dc.SetColor(missingColor)
		o.dc.DrawRectangle(0, y, o.w, gap+(n+0.5)*feed)
		o.dc.Fill()
		o.dc.SetFontFace(o.small)
		o.dc.SetColor(color.Black)
		for i, line := range o.strip.doubts {
			o.dc.DrawString(line, 2*gap, y+gap+(float64(i)+0.75)*feed)
		}
		y += gap + (n+0.8)*feed
	}
	for i, f := range o.survey.Features {
		column, row := i%o.strip.columns, i/o.strip.columns
		o.zoomed(f, gap+float64(column)*(o.strip.cell+gap), y+gap+float64(row)*(o.strip.cell+feed+gap))
	}
	rows := (len(o.survey.Features) + o.strip.columns - 1) / o.strip.columns
	y += float64(rows)*(o.strip.cell+feed+gap) + gap
	for i, line := range o.strip.legend {
		for _, e := range line {
			o.legendEntry(e, y+(float64(i)+0.5)*feed)
		}
	}
}

func (o *overlay) legendEntry(e legendEntry, y float64) {
	x, r := e.x+0.45*o.unit, 0.4*o.unit
	switch e.mark {
	case '+':
		o.cross(calib.Point{X: x, Y: y}, r, 0.7*o.line(), e.col)
	case '-':
		o.path(calib.Point{X: x - r, Y: y}, calib.Point{X: x + r, Y: y})
		o.strokeOn(e.col, 0.4*o.line(), 0.3*o.line())
	default:
		o.locate(rim{calib.Point{X: x, Y: y}, r}, e.col, e.mark == 'd')
	}
	o.dc.SetFontFace(o.small)
	o.dc.SetColor(color.White)
	o.dc.DrawString(e.text, e.x+1.2*o.unit, y+textHeight(o.small)/2)
}

// zoomed draws a chosen feature large, with the fitted edge and centre in thin
// lines, and its name and size below.
func (o *overlay) zoomed(f calib.Feature, x, y float64) {
	side := o.strip.cell
	r := o.rimOf(f)
	// From overlay pixels to this picture's.
	half := 1.9 * r.r
	if f.Kind != calib.KindHole {
		half = 1.15 * r.r
	}
	k := side / (2 * half)
	to := func(p calib.Point) calib.Point {
		return calib.Point{X: x + side/2 + (p.X-r.at.X)*k, Y: y + side/2 + (p.Y-r.at.Y)*k}
	}
	view := image.Rect(int(x), int(y), int(x+side), int(y+side))
	canvas := o.dc.Image().(*image.RGBA).SubImage(view).(*image.RGBA)
	photo := o.photo.RGB.Bounds()
	a, b := to(calib.Point{}), to(calib.Point{X: o.w, Y: o.h})
	toCanvas := f64.Aff3{(b.X - a.X) / float64(photo.Dx()), 0, a.X, 0, (b.Y - a.Y) / float64(photo.Dy()), a.Y}
	draw.CatmullRom.Transform(canvas, toCanvas, o.photo.RGB, photo, draw.Src, nil)

	o.dc.DrawRectangle(float64(view.Min.X), float64(view.Min.Y), float64(view.Dx()), float64(view.Dy()))
	o.dc.Clip()
	for _, p := range edgeOf(f) {
		q := to(o.at(p.X, p.Y, f.Z))
		o.dc.LineTo(q.X, q.Y)
	}
	o.dc.ClosePath()
	thin := 0.6 * o.line()
	o.strokeOn(colorOf(f), thin, 0.5*thin)
	o.cross(to(r.at), 0.45*r.r*k, thin, colorOf(f))
	if t := o.survey.Tweeter; t != nil && f.Kind != calib.KindHole {
		o.cross(to(o.at(t.X, t.Y, f.Z)), 0.25*r.r*k, o.line(), tweeterColor)
	}
	o.dc.ResetClip()
	o.dc.DrawRectangle(float64(view.Min.X), float64(view.Min.Y), float64(view.Dx()), float64(view.Dy()))
	o.dc.SetColor(colorOf(f))
	o.dc.SetLineWidth(0.7 * o.line())
	o.dc.Stroke()

	name := label{text: f.ID, face: o.large, col: colorOf(f)}
	w := textWidth(o.large, f.ID) + 0.44*o.unit
	name.box = box{x, y, x + w, y + textHeight(o.large) + 0.4*o.unit}
	o.write(name)
	o.dc.SetFontFace(o.small)
	o.dc.SetColor(color.White)
	o.dc.DrawString(widthLabel(f), x, y+side+textHeight(o.small)+0.3*o.unit)
}

// widthLabel says how wide a feature is and which number it has.
func widthLabel(f calib.Feature) string {
	if f.Widths != nil {
		return fmt.Sprintf("%.2f x %.2f mm, number %d", f.Widths[0], f.Widths[1], f.Number)
	}
	return fmt.Sprintf("ø %.2f mm, circle %d", f.Diameter, f.Number)
}
