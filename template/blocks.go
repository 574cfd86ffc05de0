package template

import (
	"math"

	"trimscribe/calib"
)

// block is a piece of the notes that stays in one column.
type block interface {
	// height returns the height in a column of the given width.
	height(width float64) float64
	// draw draws the block with its upper left corner at p.
	draw(s *sheet, p calib.Point, width float64)
}

const (
	columnMin = 80.0 // mm
	columnGap = 9.0
)

// paragraph is text under a title, if it has one.
type paragraph struct {
	title, text string
	alert       bool
}

func (b paragraph) size() (float64, float64) {
	if b.title == "" {
		return 0, lineFeed
	}
	return labelText + 2.8, lineFeed
}

func (b paragraph) height(width float64) float64 {
	head, feed := b.size()
	return head + feed*float64(len(wrap(b.text, width, smallText, false)))
}

func (b paragraph) draw(s *sheet, p calib.Point, width float64) {
	title, body := s.ink, s.slate
	if b.alert {
		title, body = s.red, s.red
	}
	head, feed := b.size()
	if b.title != "" {
		title.Add(Text{At: calib.Point{X: p.X, Y: p.Y - labelText}, Height: labelText, Bold: true, S: b.title})
	}
	for i, l := range wrap(b.text, width, smallText, false) {
		body.Add(Text{At: calib.Point{X: p.X, Y: p.Y - head - smallText - feed*float64(i)}, Height: smallText, S: l})
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
	return labelText + 3 + rowFeed*float64(len(t.rows)+1)
}

func (t table) draw(s *sheet, p calib.Point, width float64) {
	s.ink.Add(Text{At: calib.Point{X: p.X, Y: p.Y - labelText}, Height: labelText, Bold: true, S: t.title})
	y := p.Y - labelText - 3
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
		text := Text{At: calib.Point{X: x, Y: top - 0.3 - smallText}, Height: smallText, S: c, Bold: boldFirst && i == 0}
		if i > 0 {
			// The first column takes a share and a half.
			text.At.X = x + width*(float64(i)+1.5-1+0.5)/(float64(len(cells)-1)+1)
			text.Align = Right
		}
		l.Add(text)
	}
}

// gapBefore sets a titled block further apart than one that goes on.
func gapBefore(b block) float64 {
	if p, ok := b.(paragraph); ok && p.title == "" {
		return 1.4
	}
	return 6
}

// placedBlock is a block in its column.
type placedBlock struct {
	block
	column int
	top    float64 // below the columns' top
}

// columns returns how many columns an area's width holds, and their width.
func columns(width float64) (n int, each float64) {
	n = max(1, int((width+columnGap)/(columnMin+columnGap)))
	return n, (width - columnGap*float64(n-1)) / float64(n)
}

// flow fills columns of the given size with blocks in turn, and returns where
// each lies and how many columns it took. A block taller than a column gets
// one of its own.
func flow(blocks []block, width, height float64) (placed []placedBlock, used int) {
	column, y := 0, 0.0
	for _, b := range blocks {
		h := b.height(width)
		if y > 0 {
			y += gapBefore(b)
		}
		if y > 0 && y+h > height {
			column, y = column+1, 0
		}
		placed = append(placed, placedBlock{b, column, y})
		y += h
	}
	return placed, column + 1
}

// flowHeight returns the least height at which the blocks fit n columns.
func flowHeight(blocks []block, n int, width float64) float64 {
	var sum, tallest float64
	for _, b := range blocks {
		h := b.height(width)
		sum += h + gapBefore(b)
		tallest = math.Max(tallest, h)
	}
	h := math.Max(tallest, sum/float64(n)-gapBefore(blocks[0]))
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
