package plate

import (
	"fmt"
	"math"
	"strings"

	"trimscribe/template"
)

// section is short texts under a heading.
type section struct {
	title string
	texts []string
	red   bool
}

// shopNotes writes the column beside the view: the holes' table, what to make
// it of and how, what is to be changed, what was checked.
func (p *Plate) shopNotes(g *draught, slate, red *template.Layer, area template.Rect, mirrored bool) {
	const pad = 4.0
	g.thin.Add(template.Line{A: point{X: area.X0, Y: area.Y0}, B: point{X: area.X0, Y: area.Y1}})
	x, y, width := area.X0+pad, area.Y1-pad, area.W()-2*pad
	if p.Settings.Hold == HoldLockTabs {
		y = p.tabDetail(g, template.Rect{X0: area.X0, Y0: area.Y1 - detailRoom, X1: area.X1, Y1: area.Y1}, mirrored) - 3
	}
	g.text.Add(template.Text{At: point{X: x, Y: y - 2.5}, Height: 2.5, Bold: true, S: "Holes from the bore's centre (mm)"})
	y = p.holeTable(g, x, y-5.6, width, mirrored) - 3

	sections, size := fitSections(p.shopSections(), width, y-area.Y0-1)
	for _, s := range sections {
		head, body := g.text, slate
		if s.red {
			head, body = red, red
		}
		head.Add(template.Text{At: point{X: x, Y: y - 2.5}, Height: 2.5, Bold: true, S: s.title})
		y -= sectionHead
		for _, t := range s.texts {
			for i, line := range template.Wrap(t, width-3, size, false) {
				if i == 0 {
					body.Add(template.Text{At: point{X: x, Y: y - size}, Height: size, S: "–"})
				}
				body.Add(template.Text{At: point{X: x + 3, Y: y - size}, Height: size, S: line})
				y -= size * sectionFeed
			}
		}
		y -= sectionGap
	}
}

const (
	sectionHead  = 5.2 // from a section's top to its first text's, mm
	sectionGap   = 2.2
	sectionFeed  = 1.65 // from line to line, in heights of capitals
	sectionText  = 2.1
	sectionLeast = 1.7
)

// shopSections is what the column says. The rules' sources are on the last
// sheet; here are their numbers.
func (p *Plate) shopSections() []section {
	var broken, kept []string
	for _, r := range p.Rules {
		t := strings.ToUpper(r.What[:1]) + r.What[1:] + ": " + r.Numbers()
		if r.OK() {
			kept = append(kept, t)
		} else {
			broken = append(broken, t+": "+r.Advice+".")
		}
	}
	sections := []section{{"Making", p.making(), false}}
	if len(broken) > 0 {
		sections = append(sections, section{"To change", broken, true})
	}
	return append(sections, section{"Kept", kept, false})
}

// fitSections makes sections fit a height: first the letters become a little
// smaller, then the last section is said in one line, then they become smaller
// still, and then what is to be changed is counted.
func fitSections(sections []section, width, height float64) ([]section, float64) {
	tall := func(size float64) float64 {
		h := 0.0
		for _, s := range sections {
			h += sectionHead + sectionGap
			for _, t := range s.texts {
				h += size * sectionFeed * float64(len(template.Wrap(t, width-3, size, false)))
			}
		}
		return h
	}
	for _, size := range []float64{sectionText, 2, 1.9, 1.8} {
		if tall(size) <= height {
			return sections, size
		}
	}
	size := sectionText
	last := &sections[len(sections)-1]
	last.texts = []string{fmt.Sprintf("%d rules; numbers, limits and sources on the last sheet.", len(last.texts))}
	for size > sectionLeast && tall(size) > height {
		size -= 0.1
	}
	if tall(size) > height && len(sections) > 2 {
		sections[1].texts = []string{fmt.Sprintf("%d rules; what to change is on the last sheet.", len(sections[1].texts))}
	}
	return sections, size
}

// shopCautions writes the cautions in a strip below the view.
func shopCautions(g *draught, slate *template.Layer, cautions []string, area template.Rect) {
	const columns = 3
	width := area.W()/columns - 4
	g.text.Add(template.Text{At: point{X: area.X0 + 3, Y: area.Y1 - 2.1}, Height: 2.1, Bold: true, S: "Cautions"})
	each := (len(cautions) + columns - 1) / columns
	for c := range columns {
		y := area.Y1 - 5.2
		for i := c * each; i < min((c+1)*each, len(cautions)); i++ {
			for _, line := range template.Wrap(cautions[i], width, 1.9, false) {
				slate.Add(template.Text{At: point{X: area.X0 + 3 + float64(c)*area.W()/columns, Y: y - 1.9}, Height: 1.9, S: line})
				y -= 3.1
			}
			y -= 0.6
		}
	}
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
		template.Text{At: point{X: area.X0 + 4, Y: area.Y1 - 10.8}, Height: fitText(words[1], area.W()-8, 2.1), S: words[1]})
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
