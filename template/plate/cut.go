package plate

import (
	"fmt"
	"image/color"
	"strings"

	"trimscribe/template"
)

// The layers of a cutting drawing, in the order in which they are to be run:
// what lies inside a part is cut while the part still hangs in its sheet.
const (
	LayerSheet  = "sheet-edge" // not to be cut
	LayerNotes  = "notes"      // not to be cut
	LayerMarks  = "marks"      // pen or low power
	LayerInside = "inside-cuts"
	LayerOuter  = "outlines"
)

// sheetSpace is between sheets drawn side by side, mm.
const sheetSpace = 20

// CutDrawing draws sheets side by side for a cutter. In pieces, every cut is a
// CIRCLE, an ARC or a LINE of its own, as DXF wants; otherwise each outline is
// one shape of lines and arcs. Words are strokes, so that the drawing holds
// nothing else.
func CutDrawing(sheets []*Sheet, inPieces bool) *template.Drawing {
	d := &template.Drawing{}
	edge := d.NewLayer(LayerSheet, 0.1, template.Haze)
	notes := d.NewLayer(LayerNotes, 0.1, template.Slate)
	marks := d.NewLayer(LayerMarks, 0.1, color.RGBA{0, 140, 60, 255})
	inside := d.NewLayer(LayerInside, 0.1, template.Blue)
	outer := d.NewLayer(LayerOuter, 0.1, template.Ink)
	cut := func(l *template.Layer, p Path) {
		if inPieces {
			l.Add(p.Shapes()...)
		} else {
			l.Add(p.Polyline())
		}
	}
	x := 0.0
	for i, s := range sheets {
		corners := []point{{X: x}, {X: x + s.W}, {X: x + s.W, Y: s.H}, {X: x, Y: s.H}}
		for j, c := range corners {
			edge.Add(template.Line{A: c, B: corners[(j+1)%4]})
		}
		title := Mark{Height: 4, Text: fmt.Sprintf("%d  %s", i+1, strings.ToUpper(s.Name()))}
		title.At = point{X: x + title.width()/2, Y: -6}
		notes.Add(title.Lines()...)
		for _, part := range s.Parts {
			q := part.Placed(Place{Move: point{X: x}})
			for _, m := range q.Marks {
				marks.Add(m.Lines()...)
			}
			for _, o := range q.Openings {
				cut(inside, o)
			}
			cut(outer, q.Outline)
		}
		x += s.W + sheetSpace
		if w := title.width() + sheetSpace; x < corners[0].X+w {
			x = corners[0].X + w
		}
	}
	return d
}
