package plate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"trimscribe/template"
)

// The shop's sheet, mm: A4 or A3 across, ISO 5457's filing margin to the left.
const (
	shopMargin     = 10.0
	shopFiling     = 20.0
	shopColumn     = 84.0 // notes to the right
	titleBlockH    = 37.0
	dimRoom        = 12.0 // least between the view and its area's edge, for the overall dimension
	detailRoom     = 52.0
	cautionRoom    = 20.0
	shopTitleSmall = 1.8
)

// shopFormats are the sheets and the scales of ISO 5455 that are tried, in this
// order.
var shopFormats = []struct {
	w, h float64 // ISO 216
	name string
	k    float64
}{{297, 210, "2:1", 2}, {297, 210, "1:1", 1}, {420, 297, "1:1", 1}, {420, 297, "1:2", 0.5}, {420, 297, "1:5", 0.2}, {420, 297, "1:10", 0.1}}

const mostDoubled = 60.0 // mm: a wider view is large enough at 1:1

// shopSheet draws the dimensioned sheet for a cutting shop.
func (p *Plate) shopSheet(o PageOptions, mirrored bool) template.Page {
	part := p.Plate.Placed(Place{Mirror: mirrored})
	g := newDraught()
	red := g.d.NewLayer("doubts", 0.35, template.Red)
	border := g.d.NewLayer("border", 0.5, template.Ink)
	slate := g.d.NewLayer("notes", thinLine, template.Slate)
	var frame, area template.Rect
	var scale string
	var w, h float64
	for _, f := range shopFormats {
		frame = template.Rect{X0: shopFiling, Y0: shopMargin, X1: f.w - shopMargin, Y1: f.h - shopMargin}
		area = template.Rect{X0: frame.X0, Y0: frame.Y0 + cautionRoom, X1: frame.X1 - shopColumn, Y1: frame.Y1 - bannerHeight(p.Doubts, frame.W()-shopColumn)}
		scale, g.k, w, h = f.name, f.k, f.w, f.h
		if f.k > 1 && part.Outline.Bounds().W() > mostDoubled {
			continue
		}
		if p.fit(g, part, area, mirrored) {
			break
		}
	}
	border.Add(box(frame))
	column := template.Rect{X0: area.X1, Y0: frame.Y0 + titleBlockH, X1: frame.X1, Y1: frame.Y1}
	banner(red, p.Doubts, template.Rect{X0: frame.X0, Y0: area.Y1, X1: area.X1, Y1: frame.Y1})
	shopCautions(g, slate, p.cautions(), template.Rect{X0: area.X0, Y0: frame.Y0, X1: area.X1, Y1: area.Y0})
	p.dimension(g, part, area, mirrored)
	p.shopNotes(g, slate, red, column, mirrored)
	p.titleBlock(g, template.Rect{X0: column.X0, Y0: frame.Y0, X1: frame.X1, Y1: column.Y0}, o, scale, mirrored)
	return template.Page{W: w, H: h, Parts: []template.Part{{Drawing: g.d}}}
}

func box(r template.Rect) template.Polyline {
	return template.Polyline{Closed: true, Vertices: []template.Vertex{{Point: point{X: r.X0, Y: r.Y0}}, {Point: point{X: r.X1, Y: r.Y0}},
		{Point: point{X: r.X1, Y: r.Y1}}, {Point: point{X: r.X0, Y: r.Y1}}}}
}

// bannerLines are the survey's doubts as they stand on a sheet.
func bannerLines(doubts []string, width float64) []string {
	lines := template.Wrap("DOUBTFUL SURVEY: "+strings.Join(doubts, " • "), width-9, dimText, true)
	if len(lines) > 4 {
		lines = append(lines[:3], "… all of them are on page one")
	}
	return lines
}

// bannerHeight returns the height that the doubts take; none take none.
func bannerHeight(doubts []string, width float64) float64 {
	if len(doubts) == 0 {
		return 0
	}
	return 4.4*float64(len(bannerLines(doubts, width))) + 5
}

// banner writes the survey's doubts in red in its area.
func banner(red *template.Layer, doubts []string, area template.Rect) {
	if len(doubts) == 0 {
		return
	}
	red.Add(box(template.Rect{X0: area.X0 + 2, Y0: area.Y0, X1: area.X1 - 2, Y1: area.Y1 - 2}))
	for i, l := range bannerLines(doubts, area.W()) {
		red.Add(template.Text{At: point{X: area.X0 + 4.5, Y: area.Y1 - 2.2 - 4.4*float64(i+1)}, Height: dimText, Bold: true, S: l})
	}
}

// row is the holes' distances from the bore's centre along one axis, drawn at
// one side of the view: there the dimension lines cross nothing.
type row struct {
	up, far bool // of y; above the view, or to its right
	ends    []point
}

// rows sorts the holes' coordinates to the sides of the view, those worth a
// dimension, the nearest first.
func (p *Plate) rows(mirrored bool) []row {
	rows := []row{{false, false, nil}, {false, true, nil}, {true, false, nil}, {true, true, nil}}
	for i := range rows {
		r := &rows[i]
		for _, h := range p.holes {
			at := Place{Mirror: mirrored}.Point(h.at)
			v, across := r.split(at)
			if math.Abs(v) >= 0.05 && (across > 0.05) == r.far {
				r.ends = append(r.ends, at)
			}
		}
		slices.SortStableFunc(r.ends, func(a, b point) int {
			v, _ := r.split(a)
			w, _ := r.split(b)
			return cmp.Compare(math.Abs(v), math.Abs(w))
		})
		// Of holes in one line, one dimension tells.
		r.ends = slices.CompactFunc(r.ends, func(a, b point) bool {
			v, _ := r.split(a)
			w, _ := r.split(b)
			return math.Abs(v-w) < 0.005
		})
	}
	return rows
}

// split returns a point's coordinate along the row's axis, and across it.
func (r row) split(p point) (along, across float64) {
	if r.up {
		return p.Y, p.X
	}
	return p.X, p.Y
}

// levels returns on which dimension line each of the row's ends goes, counted
// from 1, and how many lines there are. One to each side of the centre share a
// line; one too short for its own text has a line for itself.
func (r row) levels(k float64) (levels []int, most int) {
	neg, pos := 0, 0
	for _, e := range r.ends {
		v, _ := r.split(e)
		switch w := template.TextWidth(fmt.Sprintf("%.2f", math.Abs(v)), dimText, false); {
		case math.Abs(v)*k < math.Max(w+1, 2*arrowLength+1):
			neg = max(neg, pos) + 1
			pos = neg
			levels = append(levels, neg)
		case v < 0:
			neg++
			levels = append(levels, neg)
		default:
			pos++
			levels = append(levels, pos)
		}
	}
	return levels, max(neg, pos)
}

// fit places the view, and tells whether it and its dimensions have room.
func (p *Plate) fit(g *draught, part *Part, area template.Rect, mirrored bool) bool {
	rows := p.rows(mirrored)
	room := func(i int) float64 {
		_, lines := rows[i].levels(g.k)
		return dimStep*float64(lines) + 4
	}
	below, above, left, right := room(0)+dimRoom, room(1), room(2)+dimRoom, room(3)
	const leaders = 20.0 // beyond the view
	b := part.Outline.Bounds()
	inner := template.Rect{X0: area.X0 + left, Y0: area.Y0 + below, X1: area.X1 - right, Y1: area.Y1 - above}
	g.at = inner.Centre().Sub(b.Centre().Mul(g.k))
	return b.W()*g.k+leaders <= inner.W() && b.H()*g.k+leaders*0.6 <= inner.H()
}

// dimension draws the view and its dimensions: the holes from the bore's
// centre, the overall size, and what is round.
func (p *Plate) dimension(g *draught, part *Part, area template.Rect, mirrored bool) {
	place := Place{Mirror: mirrored}
	g.view(part)
	g.axes(point{}, p.Ring/2, 4)
	for _, h := range p.holes {
		c := place.Point(h.at)
		g.axes(c, p.Hole/2+p.Settings.Slot/2, 2.5)
	}
	if len(p.ring) > 0 {
		g.centre.Add(template.Circle{Centre: g.to(point{}), R: p.Settings.RingHoles.Circle / 2 * g.k})
		for _, r := range p.ring {
			g.axes(place.Point(r.at), r.r, 1.5)
		}
	}
	for _, r := range p.rows(mirrored) {
		p.drawRow(g, r, g.scaled(part.Outline).Bounds())
	}
	p.leaders(g, part, area, place)
}

// drawRow draws a row's dimensions, and the overall size behind them where it
// belongs: below the view and to its left.
func (p *Plate) drawRow(g *draught, r row, b template.Rect) {
	o := g.to(point{})
	out, edge := -1.0, b.Y0
	switch {
	case r.up && r.far:
		out, edge = 1, b.X1
	case r.up:
		edge = b.X0
	case r.far:
		out, edge = 1, b.Y1
	}
	levels, lines := r.levels(g.k)
	for i, e := range r.ends {
		v, _ := r.split(e)
		line := edge + out*(dimStep*float64(levels[i])+1)
		// Extension lines begin behind the hole, and at the view's edge.
		from, to := point{X: o.X, Y: edge - out}, g.to(e)
		to.Y += out * (p.Hole/2*g.k + 2.5)
		if r.up {
			from, to = point{X: edge - out, Y: o.Y}, g.to(e)
			to.X += out * (p.Hole/2*g.k + 2.5)
		}
		g.straight(from, to, r.up, line, fmt.Sprintf("%.2f", math.Abs(v)))
	}
	if r.far {
		return
	}
	line := edge + out*(dimStep*float64(lines+1)+1)
	if r.up {
		low, high := extremes(g.edges, func(q point) float64 { return q.Y })
		g.straight(point{X: low.X, Y: b.Y0}, point{X: high.X, Y: b.Y1}, true, line, fmt.Sprintf("(%.1f)", b.H()/g.k))
		return
	}
	low, high := extremes(g.edges, func(q point) float64 { return q.X })
	g.straight(point{X: b.X0, Y: low.Y}, point{X: b.X1, Y: high.Y}, false, line, fmt.Sprintf("(%.1f)", b.W()/g.k))
}

func extremes(points []point, along func(point) float64) (low, high point) {
	low, high = points[0], points[0]
	for _, p := range points {
		if along(p) < along(low) {
			low = p
		}
		if along(p) > along(high) {
			high = p
		}
	}
	return low, high
}

// leaders labels what is round.
func (p *Plate) leaders(g *draught, part *Part, area template.Rect, place Place) {
	s := &p.Settings
	area = area.Grow(-1)
	around := func(c point, r float64, inside bool) (tips, dirs []point) {
		for deg := 5; deg < 360; deg += 10 {
			d := polar(point{}, 1, float64(deg)*math.Pi/180)
			if math.Abs(d.Y) < 0.25 || math.Abs(d.X) < 0.2 {
				continue
			}
			tips = append(tips, g.to(c.Add(d.Mul(r))))
			if inside {
				d = d.Mul(-1)
			}
			dirs = append(dirs, d)
		}
		return tips, dirs
	}
	tips, dirs := around(point{}, p.Bore/2, true)
	if s.Hold == HoldLockTabs { // where there is no tab
		tips, dirs = onPath(g, part.Openings[0], tips, dirs)
	}
	g.leader(tips, dirs, fmt.Sprintf("ø%.2f", p.Bore), area)
	p.holeLeader(g, around, place, area)
	if len(p.ring) > 0 {
		tips, dirs = around(place.Point(p.ring[0].at), p.ring[0].r, false)
		g.leader(tips, dirs, fmt.Sprintf("%d× ø%.2f on ø%.2f, first at %s°", len(p.ring), s.RingHoles.Diameter, s.RingHoles.Circle, short(mirroredAngle(s.RingHoles.Angle, place.Mirror))), area)
	}
	tips, dirs = around(point{}, p.Ring/2, false)
	if tips, dirs = onPath(g, part.Outline, tips, dirs); len(tips) > 0 {
		g.leader(tips, dirs, fmt.Sprintf("R%.2f", p.Ring/2), area)
	}
	var ends, endDirs, fillets, filletDirs []point
	for _, seg := range part.Outline {
		if seg.Straight() || math.Abs(seg.R-p.Ring/2) < 1e-9 && seg.C.Norm() < 1e-9 {
			continue
		}
		for _, t := range []float64{0.2, 0.35, 0.5, 0.65, 0.8} {
			if seg.Sweep > 0 {
				ends, endDirs = append(ends, g.to(seg.At(t))), append(endDirs, seg.out(t))
			} else {
				fillets, filletDirs = append(fillets, g.to(seg.At(t))), append(filletDirs, seg.out(t))
			}
		}
	}
	if len(ends) > 0 {
		g.leader(ends, endDirs, fmt.Sprintf("ears R%.2f", p.EarHalf), area)
	}
	if len(fillets) > 0 {
		g.leader(fillets, filletDirs, fmt.Sprintf("fillets R%s", short(p.Fillet)), area)
	}
}

func mirroredAngle(deg float64, mirrored bool) float64 {
	if mirrored {
		deg = 180 - deg
	}
	return math.Mod(deg+720, 360)
}

// onPath keeps the points that lie on an outline's arcs.
func onPath(g *draught, p Path, tips, dirs []point) (t, d []point) {
	q := g.scaled(p)
	for i, tip := range tips {
		if q.Dist(tip) < 1e-6 {
			t, d = append(t, tip), append(d, dirs[i])
		}
	}
	return t, d
}

// holeLeader labels the mounting holes, at one of them.
func (p *Plate) holeLeader(g *draught, around func(point, float64, bool) ([]point, []point), place Place, area template.Rect) {
	label := fmt.Sprintf("%d× ø%.2f", len(p.holes), p.Hole)
	var tips, dirs []point
	for _, h := range p.holes {
		c := h.b // a slot's outer end
		t, d := around(place.Point(c), p.Hole/2, false)
		for i := range t {
			if h.a == h.b || d[i].Dot(unit(place.Point(h.at))) > 0.1 {
				tips, dirs = append(tips, t[i]), append(dirs, d[i])
			}
		}
	}
	if p.Settings.Slot > 0 {
		label = fmt.Sprintf("%d× slot %.2f × %.2f", len(p.holes), p.Hole, p.Hole+p.Settings.Slot)
	}
	g.leader(tips, dirs, label, area)
}
