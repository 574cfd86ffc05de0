package plate

import (
	"fmt"
	"math"
	"strings"

	"trimscribe/template"
)

// shopNotes writes the column beside the view: the holes' table, what to make
// it of and how, what was checked, the cautions.
func (p *Plate) shopNotes(g *draught, slate, red *template.Layer, area template.Rect, mirrored bool) {
	const pad = 4.0
	ink := g.text
	g.thin.Add(template.Line{A: point{X: area.X0, Y: area.Y0}, B: point{X: area.X0, Y: area.Y1}})
	x, y, width := area.X0+pad, area.Y1-pad, area.W()-2*pad
	if p.Settings.Hold == HoldLockTabs {
		y = p.tabDetail(g, template.Rect{X0: area.X0, Y0: area.Y1 - detailRoom, X1: area.X1, Y1: area.Y1}, mirrored) - 3
	}
	heading := func(s string, l *template.Layer) {
		l.Add(template.Text{At: point{X: x, Y: y - 2.5}, Height: 2.5, Bold: true, S: s})
		y -= 5.6
	}
	size := 2.1
	texts := func(l *template.Layer, all []string) {
		for _, t := range all {
			for i, line := range template.Wrap(t, width-3, size, false) {
				if i == 0 {
					l.Add(template.Text{At: point{X: x, Y: y - size}, Height: size, S: "–"})
				}
				l.Add(template.Text{At: point{X: x + 3, Y: y - size}, Height: size, S: line})
				y -= size * 1.65
			}
		}
		y -= 2.2
	}
	heading("Holes from the bore's centre (mm)", ink)
	y = p.holeTable(g, x, y, width, mirrored) - 3
	heading("Making", ink)
	texts(slate, p.making())
	broken, kept := p.Broken(), 0
	for _, r := range p.Rules {
		if r.OK() {
			kept++
		}
	}
	if len(broken) > 0 {
		heading("To change", red)
		var all []string
		for _, r := range broken {
			all = append(all, strings.ToUpper(r.What[:1])+r.What[1:]+": "+r.Numbers()+": "+r.Advice+".")
		}
		texts(red, all)
	}
	// The rules' sources are on the last sheet; here their numbers, as far
	// as there is room.
	var all []string
	for _, r := range p.Rules {
		if r.OK() {
			all = append(all, strings.ToUpper(r.What[:1])+r.What[1:]+": "+r.Numbers())
		}
	}
	height := func(list []string) float64 {
		n := 0
		for _, t := range list {
			n += len(template.Wrap(t, width-3, size, false))
		}
		return 5.6 + float64(n)*size*1.65 + 2.2
	}
	cautions := p.cautions()
	left := y - area.Y0 - 1
	if height(all)+height(cautions) > left {
		all = []string{fmt.Sprintf("%d rules kept, %d broken; numbers, limits and sources on the last sheet.", kept, len(broken))}
	}
	if height(all)+height(cautions) <= left {
		heading("Checked", ink)
		texts(slate, all)
	}
	heading("Cautions", ink)
	texts(slate, cautions)
}

// holeTable lists the holes' coordinates and returns its foot.
func (p *Plate) holeTable(g *draught, x, y, width float64, mirrored bool) float64 {
	const row = 4.0
	columns := []float64{0, 0.42, 0.68, 1} // right edges of the cells but the first
	put := func(cells []string, bold bool) {
		for i, c := range cells {
			t := template.Text{At: point{X: x, Y: y - 2.6}, Height: 2.1, S: c, Bold: bold || i == 0}
			if i > 0 {
				t.At.X, t.Align = x+width*columns[i], template.Right
			}
			g.text.Add(t)
		}
		y -= row
		g.thin.Add(template.Line{A: point{X: x, Y: y + 0.4}, B: point{X: x + width, Y: y + 0.4}})
	}
	put([]string{"hole", "x", "y", "size"}, false)
	size := fmt.Sprintf("ø%.2f", p.Hole)
	if s := p.Settings.Slot; s > 0 {
		size = fmt.Sprintf("%.2f × %.2f", p.Hole, p.Hole+s)
	}
	for _, h := range p.holes {
		at := Place{Mirror: mirrored}.Point(h.at)
		put([]string{h.id, fmt.Sprintf("%.2f", at.X+0), fmt.Sprintf("%.2f", at.Y+0), size}, false)
	}
	return y
}

// making says what the shop must know beyond the lines.
func (p *Plate) making() []string {
	s := &p.Settings
	var t []string
	add := func(format string, a ...any) { t = append(t, fmt.Sprintf(format, a...)) }
	material := s.Material
	if material == "" {
		material = "to be agreed"
	}
	add("Material: %s, %s mm.", material, short(s.Thickness))
	if s.Kerf > 0 {
		add("Sizes are of the finished part. The DXF and SVG files are offset by half of a %s mm kerf already.", short(s.Kerf))
	} else {
		add("Sizes are of the finished part. The DXF and SVG files are nominal: allow for the kerf.")
	}
	add("Tolerances: holes' places ±0.1, bore +0.1/0, holes +0.1/0; else ISO 2768-1 medium.")
	add("Layers in the files: inside-cuts first, then outlines; marks are not cut through.")
	add("Deburr. No sharp inside corners.")
	if s.RoundOver > 0 {
		add("Round the top edge of the outline over, R%s.", short(s.RoundOver))
	}
	for _, e := range p.Extras {
		d := fmt.Sprintf("ø%.2f / ø%.2f", 2*e.Outline[0].R, 2*e.Openings[0][0].R)
		add("With it: %s, %s, %s mm thick%s.", e.Name, d, short(e.Stock.Thickness), foamWord(e.Stock))
	}
	return t
}

func foamWord(s Stock) string {
	if s.Soft {
		return " closed-cell foam"
	}
	return ""
}

// tabDetail draws one lock tab enlarged, in an area of the sheet, and returns
// the area's foot.
func (p *Plate) tabDetail(g *draught, area template.Rect, mirrored bool) float64 {
	t := p.Settings.Tabs
	// The tab pointing down, so that the bore's wall is above it.
	d := &draught{d: g.d, outline: g.outline, thin: g.thin, centre: g.centre, text: g.text, k: 4, textBelow: true}
	for d.k > 1 && (t.Width+8)*d.k > area.W()-30 {
		d.k--
	}
	turn := math.Pi/2 - mirroredAngle(t.Angle, mirrored)*math.Pi/180
	wallY := area.Y1 - 17
	d.at = point{X: area.Centre().X, Y: wallY - p.Bore/2*d.k}
	bore := Place{Turn: turn}.Path(Place{Mirror: mirrored}.Path(p.Plate.Openings[0]))
	reach := t.Width/2 + 5
	for _, s := range bore {
		if m := s.At(0.5); math.Abs(m.X) < t.Width/2+1 && m.Y > 0 {
			d.outline.Add(d.scaled(Path{s}).Shapes()...)
		}
		if m := s; !s.Straight() && math.Abs(s.R-p.Bore/2) < 1e-9 { // the walls to both sides, cut off
			for _, q := range []point{m.A, m.B} {
				if math.Abs(q.X) < t.Width/2+1.5 && q.Y > 0 {
					from, to := math.Atan2(q.Y, q.X), math.Atan2(math.Sqrt(math.Max(0, s.R*s.R-reach*reach)), math.Copysign(reach, q.X))
					d.outline.Add(d.scaled(Path{Arc(point{}, s.R, from, to-from)}).Shapes()...)
				}
			}
		}
	}
	d.centre.Add(template.Line{A: d.to(point{Y: p.Bore/2 + 1.5}), B: d.to(point{Y: p.Bore/2 - t.Depth - 0.7})})
	tipY := p.Bore/2 - t.Depth
	low := d.to(point{X: -t.Width / 2, Y: tipY + t.Depth/3})
	high := d.to(point{X: t.Width / 2, Y: tipY + t.Depth/3})
	d.straight(low, high, false, d.to(point{Y: tipY}).Y-7, fmt.Sprintf("%.2f", t.Width))
	d.straight(d.to(point{X: -t.Width / 4, Y: tipY}), d.to(point{X: -reach + 1, Y: p.Bore / 2}), true, d.to(point{X: -reach}).X-4, fmt.Sprintf("%.2f", t.Depth))
	root, tip := tabRadii(p.Bore/2, t)
	words := []string{fmt.Sprintf("Lock tab, %d alike, evenly spaced (%s:1)", t.Count, short(d.k)),
		fmt.Sprintf("first at %s°, root R%.2f, tip corners R%.2f", short(mirroredAngle(t.Angle, mirrored)), root, tip)}
	if t.Thickness > 0 {
		words[1] += fmt.Sprintf(", %s mm thick (3D files)", short(t.Thickness))
	}
	g.text.Add(template.Text{At: point{X: area.X0 + 4, Y: area.Y1 - 6.5}, Height: 2.5, Bold: true, S: words[0]},
		template.Text{At: point{X: area.X0 + 4, Y: area.Y1 - 10.8}, Height: 2.1, S: words[1]})
	foot := d.to(point{Y: tipY}).Y - 14
	g.thin.Add(template.Line{A: point{X: area.X0, Y: foot}, B: point{X: area.X1, Y: foot}})
	return foot
}

// titleBlock writes the fields that ISO 7200 asks for, as far as there is
// something to say.
func (p *Plate) titleBlock(g *draught, area template.Rect, o PageOptions, scale string, mirrored bool) {
	border := g.d.NewLayer("title-block", visibleLine, template.Ink)
	border.Add(box(area))
	small := g.d.NewLayer("title-names", thinLine, template.Slate)
	material := p.Settings.Material
	if material == "" {
		material = "to be agreed"
	}
	number := len(p.sidesMade())
	quantity := fmt.Sprint(p.Settings.Quantity)
	if number > 1 {
		quantity += " of each side"
	}
	side := p.sideOf(mirrored)
	if side == "" {
		side = "as measured"
		if mirrored {
			side = "mirrored"
		}
	}
	rows := [][]struct {
		name, value string
		width       float64
	}{
		{{"title", p.title(mirrored), 1}},
		{{"drawing", o.Name + "-plate", 0.68}, {"revision", fmt.Sprint(o.Revision), 0.32}},
		{{"material", material, 0.4}, {"thickness", short(p.Settings.Thickness) + " mm", 0.28}, {"side", side, 0.32}},
		{{"quantity", quantity, 0.4}, {"scale", scale, 0.28}, {"units, tolerances", "mm, ISO 2768-m", 0.32}},
	}
	h := area.H() / float64(len(rows))
	for i, row := range rows {
		top, x := area.Y1-float64(i)*h, area.X0
		border.Add(template.Line{A: point{X: area.X0, Y: top}, B: point{X: area.X1, Y: top}})
		for j, f := range row {
			w := f.width * area.W()
			if j > 0 {
				g.thin.Add(template.Line{A: point{X: x, Y: top}, B: point{X: x, Y: top - h}})
			}
			small.Add(template.Text{At: point{X: x + 1.5, Y: top - 1.2 - shopTitleSmall}, Height: shopTitleSmall, S: f.name})
			size := dimText
			if i == 0 {
				size = template.LabelText
			}
			for template.TextWidth(f.value, size, true) > w-3 && size > 1.8 {
				size -= 0.1
			}
			g.text.Add(template.Text{At: point{X: x + 1.5, Y: top - h + 1.6}, Height: size, Bold: true, S: f.value})
			x += w
		}
	}
}
