package template

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"trimscribe/calib"
)

// The layers of a template's bare drawing, from the bottom up.
const (
	LayerUnderlay    = "underlay"
	LayerEdges       = "panel-edges"
	LayerCentreLines = "centre-lines"
	LayerCrosses     = "crosses"
	LayerTweeter     = "tweeter-centre"
	LayerGrille      = "grille"
	LayerHoles       = "holes"
	LayerLabels      = "labels"
)

const (
	crossArm   = 6.0 // least half length of a cross: enough to line up a centre punch by
	crossOver  = 3.0 // of a cross beyond its circle
	grilleArm  = 8.0 // half length of the cross in the grille's centre
	labelSpace = 1.0 // round a label

	underlayOver = 3.0 // how far the photo reaches beyond the drawing
)

// drawPanel draws a survey in the panel's frame.
func drawPanel(s *calib.Survey, o Options) *Drawing {
	d := &Drawing{}
	var under *Layer
	if o.Underlay != nil {
		under = d.NewLayer(LayerUnderlay, 0, Slate)
	}
	if len(s.Traces) > 0 {
		edges(d.NewLayer(LayerEdges, EdgeLine, Slate, Seen...), s.Traces)
	}
	centreLines := d.NewLayer(LayerCentreLines, FineLine, Blue, Chain...)
	crosses := d.NewLayer(LayerCrosses, FineLine, Blue)
	tweeter := d.NewLayer(LayerTweeter, FineLine, Red)
	grille := d.NewLayer(LayerGrille, EdgeLine, Ink)
	holes := d.NewLayer(LayerHoles, EdgeLine, Ink)
	labels := d.NewLayer(LayerLabels, FineLine, Ink)

	var hub *calib.Point // where centre lines meet
	for _, f := range s.Features {
		if f.Kind == calib.KindGrille {
			c := centre(f)
			hub = &c
			grille.Add(edge(f))
			if t := s.Tweeter; t == nil || c.Dist(calib.Point{X: t.X, Y: t.Y}) > EdgeLine {
				cross(crosses, c, grilleArm) // else the tweeter's cross is this one too
			}
			over := reach(f) + crossArm
			for _, v := range []calib.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
				centreLines.Add(Line{c.Add(v.Mul(grilleArm + 1)), c.Add(v.Mul(math.Max(over, grilleArm+2)))})
			}
		}
	}
	if t := s.Tweeter; t != nil {
		c := calib.Point{X: t.X, Y: t.Y}
		hub = &c
		cross(tweeter, c, grilleArm)
		tweeter.Add(Circle{c, 2})
	}
	for _, f := range s.Features {
		if f.Kind == calib.KindTweeter {
			tweeter.Add(edge(f))
		}
		if f.Kind != calib.KindHole {
			continue
		}
		c := centre(f)
		arm := math.Max(crossArm, reach(f)+crossOver)
		holes.Add(edge(f))
		cross(crosses, c, arm)
		if hub == nil {
			continue
		}
		along := hub.Sub(c)
		if n := along.Norm(); n > arm+grilleArm+2 {
			along = along.Mul(1 / n)
			centreLines.Add(Line{c.Add(along.Mul(reach(f) + 1)), hub.Sub(along.Mul(2 + 1))})
		}
	}
	label(labels, s, o.Units, d)
	if under != nil {
		under.Add(pale(*o.Underlay, d.Bounds().Grow(underlayOver)))
	}
	return d
}

// edges draws what was traced of the panel's edges.
func edges(l *Layer, traces []calib.Trace) {
	for _, t := range traces {
		p := Polyline{Closed: t.Closed}
		for _, q := range t.Points {
			p.Vertices = append(p.Vertices, Vertex{Point: calib.Point{X: q[0], Y: q[1]}})
		}
		l.Add(p)
	}
}

func centre(f calib.Feature) calib.Point { return calib.Point{X: f.X, Y: f.Y} }

func cross(l *Layer, c calib.Point, arm float64) {
	l.Add(Line{calib.Point{X: c.X - arm, Y: c.Y}, calib.Point{X: c.X + arm, Y: c.Y}},
		Line{calib.Point{X: c.X, Y: c.Y - arm}, calib.Point{X: c.X, Y: c.Y + arm}})
}

// label names every circle and the tweeter's centre beside it, where no line
// runs. Each label is a name over a diameter.
func label(l *Layer, s *calib.Survey, u Units, d *Drawing) {
	for _, f := range s.Features {
		text := size(f, u)
		if u == Inches {
			text += " in"
		}
		l.Add(placeLabel(d, centre(f), reach(f), f.ID, text)...)
	}
	if t := s.Tweeter; t != nil {
		l.Add(placeLabel(d, calib.Point{X: t.X, Y: t.Y}, 2, "T", "")...)
	}
}

// placeLabel returns a label's texts for a circle, at the first of the places
// round it that the fewest lines and labels of the drawing cross.
func placeLabel(d *Drawing, c calib.Point, r float64, name, size string) []Shape {
	w := math.Max(TextWidth(name, LabelText, true), TextWidth(size, SmallText, false))
	h := LabelText
	if size != "" {
		h += SmallText + 1.4
	}
	var best Rect
	fewest := math.MaxInt
	// Diagonals first: a cross's arms are not there.
	for _, dist := range []float64{r + 1.2, r + 4, r + 9} {
		for _, deg := range []float64{45, 135, 225, 315, 22, 68, 112, 158, 202, 248, 292, 338, 0, 90, 180, 270} {
			sin, cos := math.Sincos(deg * math.Pi / 180)
			// The box touches the circle of that distance with its nearest corner or edge.
			m := calib.Point{X: c.X + cos*dist + side(cos)*w/2, Y: c.Y + sin*dist + side(sin)*h/2}
			box := Rect{m.X - w/2, m.Y - h/2, m.X + w/2, m.Y + h/2}
			if n := crossings(d, box.Grow(labelSpace)); n < fewest {
				best, fewest = box, n
			}
		}
	}
	texts := []Shape{Text{At: calib.Point{X: best.X0, Y: best.Y1 - LabelText}, Height: LabelText, S: name, Bold: true}}
	if size != "" {
		texts = append(texts, Text{At: calib.Point{X: best.X0, Y: best.Y0}, Height: SmallText, S: size})
	}
	return texts
}

// side is 1 or -1 as v is clearly positive or negative, and in between near 0.
func side(v float64) float64 { return math.Max(-1, math.Min(1, v*3)) }

// crossings counts the lines and texts of a drawing that enter a box.
func crossings(d *Drawing, box Rect) int {
	n := 0
	for _, l := range d.Layers {
		for _, s := range l.Shapes {
			hit := false
			switch s := s.(type) {
			case Line:
				hit = lineEnters(s, box)
			case Circle:
				hit = ringEnters(s, box)
			case Polyline:
				s.walk(func(a, b calib.Point) { hit = hit || lineEnters(Line{a, b}, box) }, func(a Arc, _ bool) {
					hit = hit || a.Bounds().Overlaps(box) && ringEnters(Circle{a.Centre, a.R}, box)
				})
			case Text:
				hit = s.Bounds().Overlaps(box)
			}
			if hit {
				n++
			}
		}
	}
	return n
}

// lineEnters clips the line to the box, side by side (Liang and Barsky).
func lineEnters(l Line, b Rect) bool {
	t0, t1 := 0.0, 1.0
	d := l.B.Sub(l.A)
	for _, e := range [][2]float64{{-d.X, l.A.X - b.X0}, {d.X, b.X1 - l.A.X}, {-d.Y, l.A.Y - b.Y0}, {d.Y, b.Y1 - l.A.Y}} {
		p, q := e[0], e[1]
		switch {
		case p == 0 && q < 0:
			return false
		case p < 0:
			t0 = math.Max(t0, q/p)
		case p > 0:
			t1 = math.Min(t1, q/p)
		}
	}
	return t0 <= t1
}

// ringEnters tells whether the circle's line runs through the box: its nearest
// point lies within the circle, and its farthest corner outside.
func ringEnters(c Circle, b Rect) bool {
	near := calib.Point{X: math.Max(b.X0, math.Min(b.X1, c.Centre.X)), Y: math.Max(b.Y0, math.Min(b.Y1, c.Centre.Y))}
	far := 0.0
	for _, p := range b.corners() {
		far = math.Max(far, p.Dist(c.Centre))
	}
	return near.Dist(c.Centre) <= c.R && far >= c.R
}

// pale returns the part of a picture that lies in a window, faded, so that
// the lines on it stay the clearest thing on the paper.
func pale(p Picture, window Rect) Picture {
	const strength = 0.4
	b := p.Image.Bounds()
	// Whole pixels, so that the picture's scale stays what it was.
	kx, ky := float64(b.Dx())/p.Rect.W(), float64(b.Dy())/p.Rect.H()
	cut := image.Rect(
		b.Min.X+int((window.X0-p.Rect.X0)*kx), b.Min.Y+int((p.Rect.Y1-window.Y1)*ky),
		b.Min.X+int(math.Ceil((window.X1-p.Rect.X0)*kx)), b.Min.Y+int(math.Ceil((p.Rect.Y1-window.Y0)*ky))).Intersect(b)
	rect := Rect{
		p.Rect.X0 + float64(cut.Min.X-b.Min.X)/kx, p.Rect.Y1 - float64(cut.Max.Y-b.Min.Y)/ky,
		p.Rect.X0 + float64(cut.Max.X-b.Min.X)/kx, p.Rect.Y1 - float64(cut.Min.Y-b.Min.Y)/ky}
	img := image.NewRGBA(image.Rect(0, 0, cut.Dx(), cut.Dy()))
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	fade := image.NewUniform(color.Alpha{uint8(math.Round(strength * 255))})
	draw.DrawMask(img, img.Bounds(), p.Image, cut.Min, fade, image.Point{}, draw.Over)
	return Picture{img, rect}
}
