package plate

import (
	"math"

	"trimscribe/template"
)

// draught is a technical drawing in the making: a view at a scale, with
// dimensions by the habits of ISO 129-1 and lines by those of ISO 128. It works
// in page millimetres and keeps count of what is taken.
type draught struct {
	d                           *template.Drawing
	outline, thin, centre, text *template.Layer
	k                           float64 // page mm per mm
	at                          point   // the view's origin on the page
	busy                        []template.Rect
	edges                       []point // points along the view's lines, on the page
	textBelow                   bool    // short upright dimensions have their text below, not above
}

// Line widths and sizes, mm: ISO 128's group of 0.35 and 0.18, ISO 3098's
// lettering of 2.5.
const (
	visibleLine = 0.35
	thinLine    = 0.18
	dimText     = 2.5
	arrowLength = 2.6
	arrowHalf   = 0.4
	dimStep     = 7.0 // from one dimension line to the next
)

func newDraught() *draught {
	g := &draught{d: &template.Drawing{}, k: 1}
	g.centre = g.d.NewLayer("centre-lines", thinLine, template.Blue, template.Chain...)
	g.thin = g.d.NewLayer("dimensions", thinLine, template.Ink)
	g.outline = g.d.NewLayer("visible-edges", visibleLine, template.Ink)
	g.text = g.d.NewLayer("text", thinLine, template.Ink)
	return g
}

func (g *draught) to(p point) point { return p.Mul(g.k).Add(g.at) }

// scaled returns an outline on the page.
func (g *draught) scaled(p Path) Path {
	q := make(Path, len(p))
	for i, s := range p {
		s.A, s.B, s.C, s.R = g.to(s.A), g.to(s.B), g.to(s.C), s.R*g.k
		q[i] = s
	}
	return q
}

// view draws a part's edges.
func (g *draught) view(p *Part) {
	for _, path := range append([]Path{p.Outline}, p.Openings...) {
		q := g.scaled(path)
		g.outline.Add(q.Polyline())
		for _, s := range q {
			n := 1 + int(s.Length())
			for i := range n {
				g.edges = append(g.edges, s.At(float64(i)/float64(n)))
			}
		}
	}
}

// write writes a text and takes its place.
func (g *draught) write(t template.Text) {
	if t.Height == 0 {
		t.Height = dimText
	}
	g.text.Add(t)
	g.busy = append(g.busy, t.Bounds().Grow(0.5))
}

// arrow draws a filled arrow head, its tip at a point.
func (g *draught) arrow(tip, dir point) {
	left := point{X: -dir.Y, Y: dir.X}
	back := tip.Sub(dir.Mul(arrowLength))
	g.text.Add(template.Fill{Loops: [][]point{{tip, back.Add(left.Mul(arrowHalf)), back.Sub(left.Mul(arrowHalf))}}})
}

// straight draws the dimension from a to b (page), across or up, on the line
// at a given height or distance; extension lines run there from both points.
func (g *draught) straight(a, b point, up bool, line float64, label string) {
	flip := func(p point) point { // so that one code serves both ways
		if up {
			return point{X: p.Y, Y: p.X}
		}
		return p
	}
	a, b = flip(a), flip(b)
	if a.X > b.X {
		a, b = b, a
	}
	add := func(p, q point) { g.thin.Add(template.Line{A: flip(p), B: flip(q)}) }
	for _, p := range []point{a, b} {
		way := math.Copysign(1, line-p.Y)
		add(point{X: p.X, Y: p.Y + way}, point{X: p.X, Y: line + 1.5*way})
		g.busy = append(g.busy, spanRect(flip(p), flip(point{X: p.X, Y: line})).Grow(0.4))
	}
	w := template.TextWidth(label, dimText, false)
	p, q := point{X: a.X, Y: line}, point{X: b.X, Y: line}
	right := point{X: 1}
	mid := (a.X + b.X) / 2
	switch {
	case b.X-a.X >= math.Max(w+1, 2*arrowLength+1): // all between
		add(p, q)
		g.arrow(flip(p), flip(right.Mul(-1)))
		g.arrow(flip(q), flip(right))
	default: // arrows from outside
		add(p.Sub(right.Mul(arrowLength+2)), q.Add(right.Mul(arrowLength+2)))
		g.arrow(flip(p), flip(right))
		g.arrow(flip(q), flip(right.Mul(-1)))
		if w+1 > b.X-a.X { // the text beside
			mid = b.X + arrowLength + 2.5 + w/2
			if up && g.textBelow {
				mid = a.X - arrowLength - 2.5 - w/2
			}
			add(point{X: math.Max(mid, b.X), Y: line}, point{X: math.Min(mid, a.X), Y: line})
			add(point{X: mid - w/2, Y: line}, point{X: mid + w/2, Y: line})
		}
	}
	t := template.Text{At: point{X: mid, Y: line + 0.9}, S: label, Align: template.Middle}
	if up { // read from the right
		t.At, t.Angle = point{X: line - 0.9, Y: mid}, math.Pi/2
	}
	g.write(t)
	g.busy = append(g.busy, spanRect(flip(p), flip(q)).Grow(0.6))
}

func spanRect(a, b point) template.Rect {
	return template.Rect{X0: math.Min(a.X, b.X), Y0: math.Min(a.Y, b.Y), X1: math.Max(a.X, b.X), Y1: math.Max(a.Y, b.Y)}
}

// leader writes a label with a leader to an arc: the arrow's tip may be at any
// of the points given, and the label lies where it crosses least. The points'
// directions are those in which the leader leaves.
func (g *draught) leader(tips, dirs []point, label string, area template.Rect) {
	w := template.TextWidth(label, dimText, false)
	best := math.Inf(1)
	var tip, knee, end point
	var box template.Rect
	for i, q := range tips {
		for j, long := range []float64{7, 11, 16, 22, 30, 7, 11, 16, 22, 30} {
			n := q.Add(dirs[i].Mul(long))
			way := math.Copysign(1, dirs[i].X)
			if j >= 5 { // the label back over the leader, where that has more room
				way = -way
			}
			e := n.Add(point{X: way * (w + 2)})
			b := spanRect(n, e.Add(point{Y: dimText + 1.4})).Grow(0.4)
			cost := long/10 + float64(j/5) + g.crossings(b)*20 + g.hits(q, n)*6
			if !area.Holds(b) {
				cost += 1000
			}
			if cost < best {
				best, tip, knee, end, box = cost, q, n, e, b
			}
		}
	}
	g.thin.Add(template.Line{A: tip, B: knee}, template.Line{A: knee, B: end})
	g.arrow(tip, unit(tip.Sub(knee)))
	g.text.Add(template.Text{At: point{X: (knee.X + end.X) / 2, Y: knee.Y + 0.9}, Height: dimText, S: label, Align: template.Middle})
	g.busy = append(g.busy, box)
	for i := range 12 { // the leader itself
		p := tip.Add(knee.Sub(tip).Mul(float64(i) / 12))
		g.busy = append(g.busy, template.Rect{X0: p.X - 0.4, Y0: p.Y - 0.4, X1: p.X + 0.4, Y1: p.Y + 0.4})
	}
}

// crossings counts what is taken in a box.
func (g *draught) crossings(b template.Rect) float64 {
	n := 0.0
	for _, r := range g.busy {
		if r.Overlaps(b) {
			n++
		}
	}
	for _, p := range g.edges {
		if p.X > b.X0 && p.X < b.X1 && p.Y > b.Y0 && p.Y < b.Y1 {
			n += 0.5
		}
	}
	return n
}

// hits counts what a leader crosses beyond its tip.
func (g *draught) hits(from, to point) float64 {
	n := 0.0
	d := to.Sub(from)
	for i := range 20 {
		p := from.Add(d.Mul((float64(i) + 1) / 20))
		near := template.Rect{X0: p.X - 0.5, Y0: p.Y - 0.5, X1: p.X + 0.5, Y1: p.Y + 0.5}
		if p.Dist(from) < 2 {
			continue
		}
		n += math.Min(1, g.crossings(near))
	}
	return n
}

// axes draws centre lines across a circle, as far as beyond reaches over it.
func (g *draught) axes(c point, r, beyond float64) {
	a := r*g.k + beyond
	c = g.to(c)
	g.centre.Add(template.Line{A: c.Sub(point{X: a}), B: c.Add(point{X: a})}, template.Line{A: c.Sub(point{Y: a}), B: c.Add(point{Y: a})})
}
