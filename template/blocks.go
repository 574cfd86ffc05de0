package template

import (
	"math"
	"slices"
	"strings"

	"trimscribe/calib"
)

// Block is a piece of the notes that stays in one column: texts or a table
// under a title.
type Block interface {
	// height returns the height in a column of the given width.
	height(width float64) float64
	// draw draws the block with its upper left corner at p.
	draw(s *sheet, p calib.Point, width float64)
}

const (
	columnMin = 80.0 // mm
	columnGap = 9.0
	blockGap  = 6.0
)

// list is short texts under a title.
type list struct {
	title string
	texts []string
	alert bool
}

const (
	listHead = LabelText + 2.8 // from a list's top to its first text's
	listGap  = 1.4             // between its texts
)

func (b list) height(width float64) float64 {
	h := listHead
	for _, t := range b.texts {
		h += LineFeed*float64(len(Wrap(t, width, SmallText, false))) + listGap
	}
	return h - listGap
}

func (b list) draw(s *sheet, p calib.Point, width float64) {
	title, body := s.ink, s.slate
	if b.alert {
		title, body = s.red, s.red
	}
	title.Add(Text{At: calib.Point{X: p.X, Y: p.Y - LabelText}, Height: LabelText, Bold: true, S: b.title})
	y := p.Y - listHead
	for _, t := range b.texts {
		for _, l := range Wrap(t, width, SmallText, false) {
			body.Add(Text{At: calib.Point{X: p.X, Y: y - SmallText}, Height: SmallText, S: l})
			y -= LineFeed
		}
		y -= listGap
	}
}

// Texts returns short texts under a title, in as many blocks as find room in a
// column. An alert is red.
func Texts(title string, texts []string, alert bool) []Block {
	const most = 600 // letters: some 70 mm in a column
	var blocks []Block
	letters := 0
	for _, t := range texts {
		if n := len(blocks); n > 0 && letters+len(t) <= most {
			l := blocks[n-1].(list)
			l.texts = append(l.texts, t)
			blocks[n-1] = l
		} else {
			blocks = append(blocks, list{title, []string{t}, alert})
			title, letters = strings.TrimSuffix(title, goesOn)+goesOn, 0
		}
		letters += len(t)
	}
	return blocks
}

// goesOn marks the title of what began in a block before.
const goesOn = " (on)"

// legend is what the lines mean, each with a piece of it as the drawing has it.
type legend struct {
	title string
	lines []*Layer // as in the drawing
	texts []string
}

const legendSample = 12.0 // mm

func (b legend) texted(i int, width float64) []string {
	return Wrap(b.texts[i], width-legendSample-3, SmallText, false)
}

func (b legend) height(width float64) float64 {
	h := listHead
	for i := range b.texts {
		h += LineFeed*float64(len(b.texted(i, width))) + listGap
	}
	return h - listGap
}

func (b legend) draw(s *sheet, p calib.Point, width float64) {
	s.ink.Add(Text{At: calib.Point{X: p.X, Y: p.Y - LabelText}, Height: LabelText, Bold: true, S: b.title})
	y := p.Y - listHead
	for i, l := range b.lines {
		sample := &Drawing{}
		mid := y - SmallText/2
		sample.NewLayer("sample-"+l.Name, l.Width, l.Color, l.Dash...).Add(Line{calib.Point{X: p.X, Y: mid}, calib.Point{X: p.X + legendSample, Y: mid}})
		s.put(Part{Drawing: sample})
		for _, line := range b.texted(i, width) {
			s.slate.Add(Text{At: calib.Point{X: p.X + legendSample + 3, Y: y - SmallText}, Height: SmallText, S: line})
			y -= LineFeed
		}
		y -= listGap
	}
}

// table is rows under a title and column heads; the first column is set to
// the left, the others to the right.
type table struct {
	title string
	heads []string
	rows  [][]string
}

const rowFeed = 5.2

func (t table) height(float64) float64 {
	return LabelText + 3 + rowFeed*float64(len(t.rows)+1)
}

func (t table) draw(s *sheet, p calib.Point, width float64) {
	s.ink.Add(Text{At: calib.Point{X: p.X, Y: p.Y - LabelText}, Height: LabelText, Bold: true, S: t.title})
	y := p.Y - LabelText - 3
	t.row(s.slate, t.heads, false, p.X, y, width)
	rule := Line{calib.Point{X: p.X, Y: y - rowFeed + 1}, calib.Point{X: p.X + width, Y: y - rowFeed + 1}}
	s.thin.Add(rule)
	for i, r := range t.rows {
		y -= rowFeed
		t.row(s.ink, r, true, p.X, y, width)
		if i < len(t.rows)-1 {
			s.haze.Add(Line{calib.Point{X: p.X, Y: y - rowFeed + 1}, calib.Point{X: p.X + width, Y: y - rowFeed + 1}})
		}
	}
}

func (t table) row(l *Layer, cells []string, boldFirst bool, x, top, width float64) {
	for i, c := range cells {
		text := Text{At: calib.Point{X: x, Y: top - 0.3 - SmallText}, Height: SmallText, S: c, Bold: boldFirst && i == 0}
		if i > 0 {
			// The first column takes a share and a half.
			text.At.X = x + width*(float64(i)+1.5-1+0.5)/(float64(len(cells)-1)+1)
			text.Align = Right
		}
		l.Add(text)
	}
}

// placedBlock is a block in its column.
type placedBlock struct {
	Block
	column int
	top    float64 // below the columns' top
}

// columns returns how many columns an area's width holds, and their width.
func columns(width float64) (n int, each float64) {
	n = max(1, int((width+columnGap)/(columnMin+columnGap)))
	return n, (width - columnGap*float64(n-1)) / float64(n)
}

// flow fills columns of the given size with blocks, each in the first that has room
// below what is in it, and returns where each lies and how many columns it took. A
// block taller than a column gets one of its own.
func flow(blocks []Block, width, height float64) (placed []placedBlock, used int) {
	var filled []float64
	for _, b := range blocks {
		h := b.height(width)
		k := slices.IndexFunc(filled, func(y float64) bool { return y+blockGap+h <= height })
		if k < 0 {
			k, filled = len(filled), append(filled, -blockGap)
		}
		placed = append(placed, placedBlock{b, k, filled[k] + blockGap})
		filled[k] += blockGap + h
	}
	return placed, max(1, len(filled))
}

// flowHeight returns the least height at which the blocks fit n columns.
func flowHeight(blocks []Block, n int, width float64) float64 {
	var sum, tallest float64
	for _, b := range blocks {
		h := b.height(width)
		sum += h + blockGap
		tallest = math.Max(tallest, h)
	}
	h := math.Max(tallest, sum/float64(n)-blockGap)
	for ; ; h++ {
		if _, used := flow(blocks, width, h); used <= n {
			return h
		}
	}
}

// drawFlow draws the blocks in columns below the top of the area.
func drawFlow(s *sheet, placed []placedBlock, area Rect, width float64) {
	for _, b := range placed {
		b.draw(s, calib.Point{X: area.X0 + float64(b.column)*(width+columnGap), Y: area.Y1 - b.top}, width)
	}
}
