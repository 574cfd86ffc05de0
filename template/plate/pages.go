package plate

import (
	"fmt"
	"math"
	"strings"

	"trimscribe/template"
)

// PageOptions say how a plate is put on paper.
type PageOptions struct {
	Name       string         // of the job: the files' first part
	Revision   int            // 0 is the first
	Paper      template.Paper // of the test piece
	Units      template.Units // of the test piece's words; the shop's sheet is in mm
	PrintScale [2]float64     // as in template.Options
}

// Cautions are printed with every plate.
var Cautions = []string{
	"Cut the test piece from cardboard first and try it on the panel.",
	"Behind pillar trim may hang an airbag: keep it and its path free.",
	"Follow the vehicle maker's service manual; disconnect the battery as it says.",
	"Eye protection. Extract cutting fumes; never cut PVC on a laser.",
	"Local rules and licensed practice come first.",
}

// cautions adds the material's own.
func (p *Plate) cautions() []string {
	if m, err := FindMaterial(p.Settings.Material); err == nil && m.Caution != "" {
		return append([]string{m.Caution}, Cautions...)
	}
	return Cautions
}

// sidesMade returns which sides are made: false is the panel's own.
func (p *Plate) sidesMade() []bool {
	switch {
	case p.Settings.Both:
		return []bool{false, true}
	case p.Settings.Mirror:
		return []bool{true}
	}
	return []bool{false}
}

// title names the plate of a side: "Adapter plate, left side".
func (p *Plate) title(mirrored bool) string {
	t := "Adapter plate"
	if side := p.sideOf(mirrored); side != "" {
		t += ", " + side + " side"
	}
	if mirrored {
		t += ", mirrored"
	}
	return t
}

// Pages returns the plate on paper: for each side that is made, the test
// piece at 1:1, and the dimensioned sheet behind it; then, once, what was
// checked. A test piece in tiles comes whole before the rest.
func (p *Plate) Pages(o PageOptions) []template.Page {
	var pages []template.Page
	for _, mirrored := range p.sidesMade() {
		c := p.testPiece(o, mirrored)
		test := c.Pages(o.Paper, o.PrintScale, o.Units)
		whole := len(test)
		for _, part := range test[0].Parts {
			if part.Drawing == c.Drawing && part.Clip == nil {
				whole = 1
			}
		}
		pages = append(pages, test[:whole]...)
		pages = append(pages, p.shopSheet(o, mirrored))
		pages = append(pages, test[whole:]...)
	}
	c := template.Content{Drawing: &template.Drawing{}, Doubts: p.Doubts, Title: o.Name + ": what was checked",
		Sub: p.sub(o, "Each number, its limit, and where the limit comes from"), Notes: p.checkNotes()}
	return append(pages, c.Pages(o.Paper, o.PrintScale, o.Units)...)
}

// sub is a sheet's second line.
func (p *Plate) sub(o PageOptions, s string) string {
	if p.Subject != "" {
		s += "  ·  from " + p.Subject
	}
	if o.Revision > 0 {
		s += fmt.Sprintf("  ·  revision %d", o.Revision)
	}
	return s
}

// testPiece is the plate at 1:1 with its centre marks.
func (p *Plate) testPiece(o PageOptions, mirrored bool) template.Content {
	d := &template.Drawing{}
	centre := d.NewLayer("centre-lines", template.FineLine, template.Blue, template.Chain...)
	grille := d.NewLayer("grille", template.FineLine, template.Slate, 2, 1)
	crosses := d.NewLayer("crosses", template.FineLine, template.Blue)
	tweeter := d.NewLayer("tweeter-centre", template.FineLine, template.Red)
	edges := d.NewLayer("edges", template.EdgeLine, template.Ink)
	labels := d.NewLayer("labels", template.FineLine, template.Ink)

	place := Place{Mirror: mirrored}
	c := template.Content{Drawing: d, Doubts: p.Doubts, Title: o.Name + ": " + p.title(mirrored),
		Sub: p.sub(o, "Test piece and drilling guide 1:1, seen from behind the panel")}
	addPart(edges, p.Plate.Placed(place))
	crosshair(tweeter, point{}, 8)
	tweeter.Add(template.Circle{R: 2})
	reach := p.Bore/2 + 4
	for _, v := range []point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		centre.Add(template.Line{A: v.Mul(9), B: v.Mul(reach)})
	}
	c.Landmarks = append(c.Landmarks, template.Circle{R: p.Bore / 2})
	for _, h := range p.holes {
		at := place.Point(h.at)
		arm := math.Max(p.Hole/2+2, 4.5)
		crosshair(crosses, at, arm)
		if h.a != h.b {
			for _, e := range []point{h.a, h.b} {
				crosshair(crosses, place.Point(e), 1)
			}
		}
		c.Landmarks = append(c.Landmarks, template.Circle{Centre: at, R: p.Hole / 2})
		c.Keep = append(c.Keep, template.Circle{Centre: at, R: arm}.Bounds())
		labels.Add(p.holeLabel(h.id, at, o.Units)...)
	}
	for _, r := range p.ring {
		crosshair(crosses, place.Point(r.at), math.Max(r.r+1.5, 3))
	}
	if g := p.panel.grille; g != nil {
		grille.Add(template.Circle{Centre: place.Point(g.at), R: g.r})
	}
	p.addExtras(d, edges, crosses, labels)
	c.Notes = p.pageNotes(o.Units)
	return c
}

func addPart(l *template.Layer, part *Part) {
	l.Add(part.Outline.Polyline())
	for _, o := range part.Openings {
		l.Add(o.Polyline())
	}
}

func crosshair(l *template.Layer, c point, arm float64) {
	l.Add(template.Line{A: c.Sub(point{X: arm}), B: c.Add(point{X: arm})}, template.Line{A: c.Sub(point{Y: arm}), B: c.Add(point{Y: arm})})
}

// holeLabel names a hole outside the plate, beyond its ear.
func (p *Plate) holeLabel(id string, at point, u template.Units) []template.Shape {
	away := point{X: 1}
	if n := at.Norm(); n > 0 {
		away = at.Mul(1 / n)
	}
	size := "ø" + u.Format(p.Hole)
	w := math.Max(template.TextWidth(id, template.LabelText, true), template.TextWidth(size, template.SmallText, false))
	h := template.LabelText + template.SmallText + 1.4
	// The box of the label clears the ear's end, whichever way it lies.
	half := p.EarHalf + p.Settings.Slot/2 + 2
	m := at.Add(away.Mul(half))
	m = m.Add(point{X: side(away.X) * w / 2, Y: side(away.Y) * h / 2})
	return []template.Shape{
		template.Text{At: point{X: m.X, Y: m.Y + h/2 - template.LabelText}, Height: template.LabelText, S: id, Bold: true, Align: template.Middle},
		template.Text{At: point{X: m.X, Y: m.Y - h/2}, Height: template.SmallText, S: size, Align: template.Middle},
	}
}

// side is 1 or -1 as v is clearly positive or negative, and in between near 0.
func side(v float64) float64 { return math.Max(-1, math.Min(1, v*3)) }

// addExtras draws the other parts in a row below the plate.
func (p *Plate) addExtras(d *template.Drawing, edges, crosses, labels *template.Layer) {
	if len(p.Extras) == 0 {
		return
	}
	b := d.Bounds()
	x, top := b.X0, b.Y0-8
	for _, e := range p.Extras {
		eb := e.Outline.Bounds()
		if x > b.X0 && x+eb.W() > math.Max(b.X1, b.X0+150) {
			x, top = b.X0, d.Bounds().Y0-8
		}
		q := e.Placed(Place{Move: point{X: x - eb.X0, Y: top - eb.Y1}})
		addPart(edges, q)
		crosshair(crosses, point{X: x - eb.X0, Y: top - eb.Y1}, 3)
		name := fmt.Sprintf("%s, %s mm thick", e.Name, short(e.Stock.Thickness))
		w := template.TextWidth(name, template.SmallText, false)
		labels.Add(template.Text{At: point{X: x, Y: top - eb.H() - 4.5}, Height: template.SmallText, S: name})
		x += math.Max(eb.W(), w) + 8
	}
}

// pageNotes is what stands beside the test piece.
func (p *Plate) pageNotes(u template.Units) []template.Block {
	var blocks []template.Block
	blocks = append(blocks, template.Tables(fmt.Sprintf("Sizes (%v)", u), []string{"what", "size"}, p.sizeRows(u))...)
	if n := len(p.Broken()); n > 0 {
		blocks = append(blocks, template.Texts("To change", []string{fmt.Sprintf("Rules not kept: %d. See the sheet of what was checked before you cut.", n)}, true)...)
	}
	blocks = append(blocks, template.Texts("Use", []string{
		"Test piece: glue the sheet on cardboard, cut along the lines, try it on the panel.",
		"Drilling guide: glue it on the sheet to be cut, punch and drill through the crosses, then saw.",
	}, false)...)
	return append(blocks, template.Texts("Cautions", p.cautions(), false)...)
}

// checkNotes is every rule, those not kept first, and the notes.
func (p *Plate) checkNotes() []template.Block {
	var broken, kept []string
	for _, r := range p.Rules {
		if r.OK() {
			kept = append(kept, r.Sentence())
		} else {
			broken = append(broken, r.Sentence())
		}
	}
	blocks := template.Texts("To change", broken, true)
	blocks = append(blocks, template.Texts("Kept", kept, false)...)
	return append(blocks, template.Texts("Notes", p.Notes, false)...)
}

// Sentence tells a rule in words, with its number, its limit and its source.
func (r Rule) Sentence() string {
	s := strings.ToUpper(r.What[:1]) + r.What[1:] + ": " + r.Numbers() + " (" + r.Source + ")."
	if r.Remark != "" {
		s += " " + r.Remark
	}
	if r.Advice != "" {
		s += " Change: " + r.Advice + "."
	}
	return s
}

func (p *Plate) sizeRows(u template.Units) [][]string {
	s := &p.Settings
	rows := [][]string{
		{"bore", "ø" + u.Format(p.Bore)},
		{"ring, outside", "ø" + u.Format(p.Ring)},
		{fmt.Sprintf("%d screw holes%s", len(p.holes), p.screwWords()), "ø" + u.Format(p.Hole)},
	}
	if s.Slot > 0 {
		rows = append(rows, []string{"slots, longer by", u.Format(s.Slot)})
	}
	rows = append(rows, []string{"ears, wide", u.Format(2 * p.EarHalf)}, []string{"fillets", "R" + u.Format(p.Fillet)},
		[]string{"thickness", u.Format(s.Thickness)})
	switch s.Hold {
	case HoldLockTabs:
		rows = append(rows, []string{fmt.Sprintf("%d lock tabs, first at %s°", s.Tabs.Count, short(s.Tabs.Angle)), u.Format(s.Tabs.Width) + " × " + u.Format(s.Tabs.Depth)})
	case HoldScrews:
		rows = append(rows, []string{fmt.Sprintf("%d ring holes, first at %s°", s.RingHoles.Count, short(s.RingHoles.Angle)), "ø" + u.Format(s.RingHoles.Diameter) + " on ø" + u.Format(s.RingHoles.Circle)})
	}
	return rows
}

func (p *Plate) screwWords() string {
	if p.Screw == "" {
		return ""
	}
	if p.Settings.ScrewHole > 0 {
		return " for " + p.Screw
	}
	return fmt.Sprintf(" for %s, %s", p.Screw, p.Settings.Fit)
}
