package template

import (
	"errors"
	"fmt"
	"math"

	"trimscribe/calib"
)

// Options say how a survey is drawn.
type Options struct {
	Paper Paper // of the 1:1 pages; none is A4
	Units Units // of the table and the labels
	// PrintScale is what the last print's scale checks measured, over their
	// true 100 mm, across and up the sheet: 0.995 for 99.5 mm. The pages are
	// drawn larger by its reciprocal, so that the next print is true. Zero is
	// unknown and taken as 1. The Drawing and the Preview are not touched.
	PrintScale [2]float64
	Underlay   *Picture // the flattened photo in panel mm, drawn pale under the lines; nil is none
	Budget     bool     // say what the uncertainty of the least sure distance is made of
	Cautions   []string // nil is Cautions
}

// Cautions are printed on every template.
var Cautions = []string{
	"An airbag may sit behind pillar trim: keep it and its path free.",
	"Follow the vehicle maker's service manual; disconnect the battery as it says.",
	"Protect your eyes. Do not breathe cutting fumes; never cut PVC on a laser.",
	"Local rules and licensed practice come first.",
}

// Sheets is a template in its forms.
type Sheets struct {
	Pages   []Page   // 1:1 on the paper, in the order of printing
	Drawing *Drawing // bare, in the panel's frame
	Preview Page     // all on one sheet, as large as it takes
}

// pad is the least distance of the drawing from what stands beside it, mm.
const pad = 4.0

// mostReach is how far from the square a panel may reach, mm.
const mostReach = 5000

// Template draws a survey. The error is a sentence for the user.
func Template(s *calib.Survey, o Options) (*Sheets, error) {
	if len(s.Features) == 0 {
		return nil, errors.New("the survey holds no circle, so there is nothing to draw")
	}
	if err := checkPrintScale(o.PrintScale); err != nil {
		return nil, err
	}
	if o.Paper.W == 0 {
		o.Paper = papers[0]
	}
	if o.Cautions == nil {
		o.Cautions = Cautions
	}
	for _, f := range s.Features {
		if !(f.Diameter > 0) || !(math.Abs(f.X)+math.Abs(f.Y)+f.Diameter < mostReach) { // also NaN
			return nil, fmt.Errorf("circle %s of the survey is no panel's: it lies at (%g, %g) mm and is %g mm across",
				f.ID, f.X, f.Y, f.Diameter)
		}
	}
	for _, t := range s.Traces {
		for _, q := range t.Points {
			if !(math.Abs(q[0])+math.Abs(q[1]) < mostReach) { // also NaN
				return nil, fmt.Errorf("edge %s of the survey is no panel's: it runs to (%g, %g) mm", t.ID, q[0], q[1])
			}
		}
	}
	d := drawPanel(s, o)
	c := Content{Title: subject(s), Sub: origin(s, o.Units), Doubts: s.Doubts, Drawing: d, Notes: notes(s, o, d)}
	for _, name := range []string{LayerHoles, LayerCrosses, LayerTweeter, LayerLabels} {
		for _, shape := range c.Drawing.Layer(name).Shapes {
			c.Keep = append(c.Keep, shape.Bounds())
		}
	}
	for _, f := range s.Features {
		c.Landmarks = append(c.Landmarks, Circle{centre(f), f.Diameter / 2})
	}
	pages := c.Pages(o.Paper, o.PrintScale, o.Units)
	return &Sheets{Pages: pages, Drawing: c.Drawing, Preview: newLayout(c, o.PrintScale, o.Units).preview()}, nil
}

// Content is a drawing and its notes, to be laid out at 1:1 on sheets of
// paper.
type Content struct {
	Title, Sub string
	Doubts     []string // shown in red on every sheet
	Drawing    *Drawing
	Keep       []Rect   // of the drawing: where it is tiled, seams keep off these
	Landmarks  []Circle // of the drawing: shown on the map of the tiles
	Notes      []Block
}

// Pages lays the content out on as few sheets as it takes: all on one, else
// the drawing, unless it is empty, on one and the notes on others, else the drawing in tiles. The
// paper is turned when that saves sheets, unless it is Fixed. The scale is as
// in Options, and must be within reason.
func (c Content) Pages(paper Paper, printScale [2]float64, units Units) []Page {
	l := newLayout(c, printScale, units)
	pages := l.pages(paper)
	if !paper.Fixed {
		if turned := l.pages(paper.turned()); len(turned) < len(pages) {
			pages = turned
		}
	}
	return pages
}

// layout lays a content out on sheets.
type layout struct {
	content    Content
	printScale [2]float64
	units      Units
	drawing    *Drawing
	bounds     Rect // of the drawing
	notes      []Block
}

func newLayout(c Content, printScale [2]float64, units Units) layout {
	return layout{c, printScale, units, c.Drawing, c.Drawing.Bounds(), c.Notes}
}

// draft draws a sheet once its number is known: "sheet 1 of 3".
type draft func(number string) Page

func (l layout) pages(p Paper) []Page {
	drafts := l.drafts(p)
	pages := make([]Page, len(drafts))
	for i, d := range drafts {
		pages[i] = d(fmt.Sprintf("sheet %d of %d", i+1, len(drafts)))
	}
	return pages
}

// drafts lays out on a paper as it lies: all on one sheet, else the drawing on
// one and the notes on others, else the drawing in tiles.
func (l layout) drafts(p Paper) []draft {
	if l.bounds.Empty() {
		return l.noteSheets(p, l.notes)
	}
	if all := l.together(p); all != nil {
		return []draft{all}
	}
	if body := l.sheet(p, heading{}).body; l.bounds.W() <= body.W() && l.bounds.H() <= body.H() {
		return l.begun(p, body)
	}
	return l.tiled(p)
}

func (l layout) sheet(p Paper, h heading) *sheet {
	h.title, h.sub, h.doubts = l.content.Title, l.content.Sub, l.content.Doubts
	return newSheet(p, l.printScale, l.units, h)
}

// centred places the drawing in the middle of an area.
func (l layout) centred(area Rect) Part {
	return Part{Drawing: l.drawing, At: area.Centre().Sub(l.bounds.Centre())}
}

// together draws all on one sheet, the notes below the drawing or beside it;
// nil when neither has room.
func (l layout) together(p Paper) draft {
	body := l.sheet(p, heading{}).body
	n, width := columns(body.W())
	if h := flowHeight(l.notes, n, width); l.bounds.W() <= body.W() && l.bounds.H()+2*pad+h <= body.H() {
		below := Rect{body.X0, body.Y0, body.X1, body.Y0 + h}
		return l.split(p, Rect{body.X0, below.Y1 + 2*pad, body.X1, body.Y1}, below)
	}
	beside := body
	beside.X0 += math.Max(l.bounds.W(), body.W()/2) + 2*pad
	if beside.W() < columnMin || l.bounds.H() > body.H() {
		return nil
	}
	if n, width = columns(beside.W()); flowHeight(l.notes, n, width) > body.H() {
		return nil
	}
	return l.split(p, Rect{body.X0, body.Y0, beside.X0 - 2*pad, body.Y1}, beside)
}

// split draws a sheet with the drawing in one area and the notes in another.
func (l layout) split(p Paper, drawing, text Rect) draft {
	return func(number string) Page {
		s := l.sheet(p, heading{right: number})
		s.put(l.centred(drawing))
		n, width := columns(text.W())
		placed, _ := flow(l.notes, width, flowHeight(l.notes, n, width))
		drawFlow(s, placed, text, width)
		return s.done()
	}
}

// begun draws the drawing on a sheet with as many of the notes as fit below it,
// and the others on sheets of their own.
func (l layout) begun(p Paper, body Rect) []draft {
	n, width := columns(body.W())
	room := body.H() - l.bounds.H() - 2*pad
	placed, _ := flow(l.notes, width, room)
	fit := 0
	for fit < len(placed) && placed[fit].column < n && placed[fit].top+placed[fit].height(width) <= room {
		fit++
	}
	rest := l.noteSheets(p, l.notes[fit:])
	if fit == 0 {
		alone := func(number string) Page {
			s := l.sheet(p, heading{right: number})
			s.put(l.centred(s.body))
			return s.done()
		}
		return append([]draft{alone}, rest...)
	}
	l.notes = l.notes[:fit]
	below := body
	below.Y1 = body.Y0 + flowHeight(l.notes, n, width)
	return append([]draft{l.split(p, Rect{body.X0, below.Y1 + 2*pad, body.X1, body.Y1}, below)}, rest...)
}

// noteSheets draws blocks on sheets of their own.
func (l layout) noteSheets(p Paper, blocks []Block) []draft {
	body := l.sheet(p, heading{}).body
	n, width := columns(body.W())
	placed, used := flow(blocks, width, body.H())
	if used <= n { // spread them evenly
		placed, used = flow(blocks, width, flowHeight(blocks, n, width))
	}
	var drafts []draft
	for first := 0; first < used; first += n {
		drafts = append(drafts, func(number string) Page {
			s := l.sheet(p, heading{right: number})
			var here []placedBlock
			for _, b := range placed {
				if b.column >= first && b.column < first+n {
					b.column -= first
					here = append(here, b)
				}
			}
			drawFlow(s, here, s.body, width)
			return s.done()
		})
	}
	return drafts
}

// preview draws all on one sheet cut to size.
func (l layout) preview() Page {
	l.printScale = [2]float64{}
	p := Paper{W: 210, H: 1000}
	p.W = math.Max(p.W, p.W-l.sheet(p, heading{}).body.W()+l.bounds.W())
	body := l.sheet(p, heading{}).body
	n, width := columns(body.W())
	p.H += l.bounds.H() + 2*pad + flowHeight(l.notes, n, width) - body.H()
	p.H = math.Ceil(p.H)
	return l.together(p)("preview")
}
