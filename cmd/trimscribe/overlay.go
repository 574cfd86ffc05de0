package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"math"

	"github.com/fogleman/gg"
	"golang.org/x/image/draw"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"

	"trimscribe/calib"
	"trimscribe/vision"
)

// The overlay picture's looks. Every line and letter lies on a wider dark one,
// so that it is seen on light and on dark plastic alike; the colours keep
// apart for colour-blind eyes, and what is not chosen is dashed besides.
const (
	overlayLongest = 2400 // px of the longer side, at most
	overlayQuality = 88   // of the JPEG
)

var (
	holeColor      = color.RGBA{86, 204, 255, 255} // light blue
	grilleColor    = color.RGBA{120, 255, 160, 255}
	tweeterColor   = color.RGBA{255, 96, 64, 255}
	candidateColor = color.RGBA{255, 214, 64, 255}
	squareColor    = color.RGBA{255, 255, 255, 255}
	haloColor      = color.RGBA{0, 0, 0, 190}
)

// writeOverlay draws what was found on the photo, as a JPEG.
func writeOverlay(w io.Writer, photo *vision.Photo, got *found) error {
	o, err := newOverlay(photo, got.camera)
	if err != nil {
		return err
	}
	s := got.survey
	for i, q := range s.Squares {
		o.square(q, i == 0)
	}
	for _, c := range s.Candidates {
		o.circle(c, candidateColor, true)
	}
	for _, c := range s.Features {
		o.circle(c, colorOf(c), false)
	}
	if t := s.Tweeter; t != nil {
		o.tweeter(*t, heightOfGrille(s))
	}
	// The chosen get the best places for their labels, and theirs are written
	// last, so that no crowd of candidates hides them.
	var chosen []label
	if t := s.Tweeter; t != nil {
		at := o.at(t.X, t.Y, heightOfGrille(s))
		chosen = append(chosen, o.place("T", rim{at, tweeterArm * o.unit}, o.large, tweeterColor))
	}
	for _, c := range s.Features {
		chosen = append(chosen, o.place(fmt.Sprintf("%s (%d)", c.ID, c.Number), o.rimOf(c), o.large, colorOf(c)))
	}
	for _, c := range s.Candidates {
		o.write(o.place(c.ID, o.rimOf(c), o.small, candidateColor))
	}
	for _, l := range chosen {
		o.write(l)
	}
	o.legend(s)
	var b bytes.Buffer
	if err := jpeg.Encode(&b, o.dc.Image(), &jpeg.Options{Quality: overlayQuality}); err != nil {
		return err
	}
	_, err = w.Write(b.Bytes())
	return err
}

func colorOf(c calib.Feature) color.RGBA {
	if c.Kind == calib.KindGrille {
		return grilleColor
	}
	return holeColor
}

func heightOfGrille(s *calib.Survey) float64 {
	for _, c := range s.Features {
		if c.Kind == calib.KindGrille {
			return c.Z
		}
	}
	return 0
}

// overlay is a photo, made smaller, being drawn on.
type overlay struct {
	dc     *gg.Context
	camera calib.Camera
	shrink float64 // overlay pixels per photo pixel
	unit   float64 // a letter's height, px: what all sizes go by
	taken  []box   // where labels are
	large  font.Face
	small  font.Face // of what is not chosen
	rims   []rim     // circles drawn, which labels keep off
}

type box struct{ x0, y0, x1, y1 float64 }

type rim struct {
	at calib.Point // px in the overlay
	r  float64
}

func newOverlay(photo *vision.Photo, cam calib.Camera) (*overlay, error) {
	shrink := overlayShrink(photo)
	w, h := int(math.Round(float64(photo.Width)*shrink)), int(math.Round(float64(photo.Height)*shrink))
	small := photo.RGB
	if shrink < 1 {
		small = image.NewRGBA(image.Rect(0, 0, w, h))
		draw.BiLinear.Scale(small, small.Bounds(), photo.RGB, photo.RGB.Bounds(), draw.Src, nil)
	}
	o := &overlay{dc: gg.NewContextForImage(small), camera: cam, shrink: shrink}
	o.unit = math.Max(13, float64(max(w, h))/80)
	parsed, err := opentype.Parse(gobold.TTF)
	if err != nil {
		return nil, err
	}
	for _, f := range []struct {
		face *font.Face
		size float64
	}{{&o.large, 1.35}, {&o.small, 1.05}} {
		*f.face, err = opentype.NewFace(parsed, &opentype.FaceOptions{Size: f.size * o.unit, DPI: 72, Hinting: font.HintingNone})
		if err != nil {
			return nil, err
		}
	}
	o.dc.SetFontFace(o.large)
	o.dc.SetLineCapRound()
	o.dc.SetLineJoinRound()
	return o, nil
}

// at returns where a point of the panel lies in the overlay; gg counts from a
// pixel's corner, the camera from its centre.
func (o *overlay) at(x, y, z float64) calib.Point { return overlayAt(o.camera, o.shrink, x, y, z) }

func overlayAt(cam calib.Camera, shrink, x, y, z float64) calib.Point {
	p := cam.Project(calib.Vec3{X: x, Y: y, Z: z})
	return calib.Point{X: (p.X + 0.5) * shrink, Y: (p.Y + 0.5) * shrink}
}

// overlayShrink is how many pixels of the overlay one of the photo becomes.
func overlayShrink(photo *vision.Photo) float64 {
	return math.Min(1, overlayLongest/float64(max(photo.Width, photo.Height)))
}

// stroke draws the current path on its halo.
func (o *overlay) stroke(c color.Color, width float64) { o.strokeOn(c, width, 1.4*width) }

func (o *overlay) strokeOn(c color.Color, width, halo float64) {
	o.dc.SetColor(haloColor)
	o.dc.SetLineWidth(width + halo)
	o.dc.StrokePreserve()
	o.dc.SetColor(c)
	o.dc.SetLineWidth(width)
	o.dc.Stroke()
}

func (o *overlay) path(points ...calib.Point) {
	for _, p := range points {
		o.dc.LineTo(p.X, p.Y)
	}
}

// text writes at a baseline's left end, on a halo.
func (o *overlay) text(s string, x, y float64, c color.Color) {
	r := o.unit / 9
	o.dc.SetColor(haloColor)
	for i := range 12 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 6)
		o.dc.DrawString(s, x+r*cos, y+r*sin)
	}
	o.dc.SetColor(c)
	o.dc.DrawString(s, x, y)
}

// line is the width of a line, px.
func (o *overlay) line() float64 { return o.unit / 10 }

// square outlines a square, writes its number at its top left corner, and
// draws the panel's axes from the first.
func (o *overlay) square(q calib.SurveySquare, axes bool) {
	sin, cos := math.Sincos(q.Turn * math.Pi / 180)
	at := func(x, y float64) calib.Point { return o.at(q.X+x*cos-y*sin, q.Y+x*sin+y*cos, 0) }
	w, h := q.Size[0]/2, q.Size[1]/2
	o.path(at(-w, h), at(w, h), at(w, -h), at(-w, -h))
	o.dc.ClosePath()
	o.stroke(squareColor, o.line())
	if axes {
		o.arrow(at, calib.Point{X: 1.35 * w}, "x")
		o.arrow(at, calib.Point{Y: 1.35 * h}, "y")
	}
	name := fmt.Sprintf("square %d", q.Number)
	tw, _ := o.dc.MeasureString(name)
	corner := at(-w, -h)
	below := at(-w, -1.12*h)
	x, y := corner.X, corner.Y+math.Max(below.Y-corner.Y, 1.6*o.unit)
	if y > float64(o.dc.Height())-o.unit {
		y = corner.Y - o.unit
	}
	x = math.Max(0.5*o.unit, math.Min(x, float64(o.dc.Width())-tw-0.5*o.unit))
	o.text(name, x, y, squareColor)
	o.taken = append(o.taken, box{x, y - o.unit, x + tw, y + 0.3*o.unit})
}

func (o *overlay) arrow(at func(x, y float64) calib.Point, tip calib.Point, name string) {
	from, to := at(0, 0), at(tip.X, tip.Y)
	d := to.Sub(from)
	d = d.Mul(1 / d.Norm())
	side := calib.Point{X: -d.Y, Y: d.X}
	barb := to.Sub(d.Mul(0.9 * o.unit))
	o.path(from, to)
	o.dc.NewSubPath()
	o.path(barb.Add(side.Mul(0.4*o.unit)), to, barb.Sub(side.Mul(0.4*o.unit)))
	o.stroke(squareColor, o.line())
	end := to.Add(d.Mul(0.9 * o.unit))
	tw, _ := o.dc.MeasureString(name)
	o.text(name, end.X-tw/2, end.Y+0.4*o.unit, squareColor)
	o.taken = append(o.taken, box{end.X - tw/2, end.Y - 0.6*o.unit, end.X + tw/2, end.Y + 0.6*o.unit})
}

// circle draws a feature as the camera sees it, with a cross at its centre.
func (o *overlay) circle(c calib.Feature, col color.Color, dashed bool) {
	const n = 90
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		o.path(o.at(c.X+c.Diameter/2*cos, c.Y+c.Diameter/2*sin, c.Z))
	}
	o.dc.ClosePath()
	if dashed {
		o.dc.SetDash(0.5*o.unit, 0.45*o.unit)
		o.dc.SetLineCapButt()
	}
	o.stroke(col, o.line())
	o.dc.SetDash()
	o.dc.SetLineCapRound()
	r := o.rimOf(c)
	o.rims = append(o.rims, r)
	if !dashed {
		o.cross(r.at, math.Min(0.6*r.r, 0.8*o.unit), col)
	}
}

// rimOf is about where a feature's circle lies in the overlay.
func (o *overlay) rimOf(c calib.Feature) rim {
	centre := o.at(c.X, c.Y, c.Z)
	return rim{centre, o.at(c.X+c.Diameter/2, c.Y, c.Z).Dist(centre)}
}

func (o *overlay) cross(at calib.Point, arm float64, col color.Color) {
	o.path(at.Sub(calib.Point{X: arm}), at.Add(calib.Point{X: arm}))
	o.dc.NewSubPath()
	o.path(at.Sub(calib.Point{Y: arm}), at.Add(calib.Point{Y: arm}))
	o.strokeOn(col, 0.5*o.line(), math.Min(0.5*o.line(), 0.15*arm)) // in a small hole a wide halo would fill it
}

// tweeterArm is how far the tweeter's cross reaches, in units.
const tweeterArm = 1.6

// tweeter marks where the tweeter's axis is to be.
func (o *overlay) tweeter(t calib.TweeterCentre, z float64) {
	at := o.at(t.X, t.Y, z)
	o.cross(at, tweeterArm*o.unit, tweeterColor)
	o.dc.DrawCircle(at.X, at.Y, 0.8*o.unit)
	o.stroke(tweeterColor, o.line())
}

// label is a text at its place.
type label struct {
	text     string
	face     font.Face
	col      color.Color
	box      box
	from, to calib.Point // of the line that leads to the circle; the same where none is needed
}

// place finds room for a label beside a circle, on the side where it covers
// the least. When that is not close by, a thin line leads to the circle.
func (o *overlay) place(s string, c rim, face font.Face, col color.Color) label {
	o.dc.SetFontFace(face)
	tw, th := o.dc.MeasureString(s)
	half := calib.Point{X: tw/2 + 0.2*o.unit, Y: th/2 + 0.1*o.unit}
	best := label{text: s, face: face, col: col}
	least := math.Inf(1)
	for ring := range 4 {
		gap := (0.5 + 1.4*float64(ring)) * o.unit
		for i := range 16 {
			sin, cos := math.Sincos(-math.Pi/4 + float64(i)*math.Pi/8) // up and to the right first
			reach := c.r + gap + half.X*math.Abs(cos) + half.Y*math.Abs(sin)
			mid := c.at.Add(calib.Point{X: reach * cos, Y: reach * sin})
			b := box{mid.X - half.X, mid.Y - half.Y, mid.X + half.X, mid.Y + half.Y}
			cost := o.cost(b) + 0.01*float64(i) + float64(ring)
			if cost >= least {
				continue
			}
			best.box, least = b, cost
			best.from, best.to = c.at, c.at
			if ring > 0 {
				best.from = c.at.Add(calib.Point{X: c.r * cos, Y: c.r * sin})
				best.to = c.at.Add(calib.Point{X: (c.r + gap) * cos, Y: (c.r + gap) * sin})
			}
		}
	}
	o.taken = append(o.taken, best.box)
	return best
}

func (o *overlay) write(l label) {
	if l.from != l.to {
		o.path(l.from, l.to)
		o.strokeOn(l.col, 0.4*o.line(), 0.4*o.line())
	}
	o.dc.SetFontFace(l.face)
	o.text(l.text, l.box.x0+0.2*o.unit, l.box.y1-0.2*o.unit, l.col)
}

// cost is how bad a place for a label is: over another label, over a circle,
// or outside the picture.
func (o *overlay) cost(b box) (cost float64) {
	if b.x0 < 0 || b.y0 < 0 || b.x1 > float64(o.dc.Width()) || b.y1 > float64(o.dc.Height()) {
		cost += 1000
	}
	for _, t := range o.taken {
		if b.x0 < t.x1 && t.x0 < b.x1 && b.y0 < t.y1 && t.y0 < b.y1 {
			cost += 100
		}
	}
	for _, c := range o.rims {
		if b.meets(c) {
			cost += 10
		}
	}
	return cost
}

// meets tells whether a circle's line runs through the box, or a small circle
// lies in it.
func (b box) meets(c rim) bool {
	near := calib.Point{X: math.Max(b.x0, math.Min(c.at.X, b.x1)), Y: math.Max(b.y0, math.Min(c.at.Y, b.y1))}
	far := calib.Point{X: math.Max(c.at.X-b.x0, b.x1-c.at.X), Y: math.Max(c.at.Y-b.y0, b.y1-c.at.Y)}
	return near.Dist(c.at) <= c.r && far.Norm() >= c.r
}

// legend explains the colours, in the corner where it covers the least.
func (o *overlay) legend(s *calib.Survey) {
	o.dc.SetFontFace(o.large)
	type row struct {
		text string
		col  color.Color
		dash bool
	}
	rows := []row{{"mounting hole (its number, for --drop)", holeColor, false}, {"grille", grilleColor, false}}
	if s.Tweeter != nil {
		rows = append(rows, row{"T: tweeter centre", tweeterColor, false})
	}
	if len(s.Candidates) > 0 {
		rows = append(rows, row{"C: not chosen (its number, for --pick)", candidateColor, true})
	}
	width := 0.0
	for _, r := range rows {
		w, _ := o.dc.MeasureString(r.text)
		width = math.Max(width, w)
	}
	u := o.unit
	w, h := width+5*u, (2*float64(len(rows))+1)*u
	right, bottom := float64(o.dc.Width())-w-u, float64(o.dc.Height())-h-u
	var at box
	least := math.Inf(1)
	for _, corner := range []calib.Point{{X: u, Y: bottom}, {X: right, Y: bottom}, {X: u, Y: u}, {X: right, Y: u}} {
		b := box{corner.X, corner.Y, corner.X + w, corner.Y + h}
		if cost := o.cost(b); cost < least {
			at, least = b, cost
		}
	}
	o.dc.SetColor(color.RGBA{0, 0, 0, 200})
	o.dc.DrawRoundedRectangle(at.x0, at.y0, w, h, 0.6*u)
	o.dc.Fill()
	for i, r := range rows {
		y := at.y0 + (2*float64(i)+1.5)*u
		if r.dash {
			o.dc.SetDash(0.5*u, 0.45*u)
			o.dc.SetLineCapButt()
		}
		o.dc.DrawCircle(at.x0+2*u, y, 0.7*u)
		o.dc.SetColor(r.col)
		o.dc.SetLineWidth(o.line())
		o.dc.Stroke()
		o.dc.SetDash()
		o.dc.SetLineCapRound()
		o.dc.SetColor(color.White)
		o.dc.DrawString(r.text, at.x0+4*u, y+0.48*u)
	}
}
