package template

import (
	"fmt"
	"math"

	"trimscribe/calib"
)

// overlap is what neighbouring tiles have in common, mm: room for a joining
// mark, and for glue.
const overlap = 10.0

// grid cuts the panel's plane into tiles, all of one size.
type grid struct {
	nx, ny int
	x0, y1 float64 // upper left corner of tile A1
	w, h   float64 // of a tile
}

// window returns what a tile shows of the panel. Rows count from the top.
func (g grid) window(row, col int) Rect {
	x := g.x0 + float64(col)*(g.w-overlap)
	y := g.y1 - float64(row)*(g.h-overlap)
	return Rect{x, y - g.h, x + g.w, y}
}

// name returns a tile's name: rows are letters, columns numbers.
func (g grid) name(row, col int) string { return fmt.Sprintf("%c%d", 'A'+row, col+1) }

// newGrid covers a drawing of the given bounds with tiles of w by h. Where the
// tiles leave some play, their seams keep off what is to be kept whole.
func newGrid(b Rect, keep []Rect, w, h float64) grid {
	b = b.Grow(1)
	g := grid{w: w, h: h}
	g.nx, g.x0 = cut(b.X0, b.X1, w, func(seam Rect) int { return meets(keep, Rect{seam.X0, b.Y0, seam.X1, b.Y1}) })
	var y0 float64
	g.ny, y0 = cut(b.Y0, b.Y1, h, func(seam Rect) int { return meets(keep, Rect{b.X0, seam.X0, b.X1, seam.X1}) })
	g.y1 = y0 + float64(g.ny)*(h-overlap) + overlap
	return g
}

func meets(rects []Rect, seam Rect) int {
	n := 0
	for _, r := range rects {
		if r.Overlaps(seam) {
			n++
		}
	}
	return n
}

// cut covers the length from lo to hi with tiles of the given length, and
// returns how many it takes and where the first begins. hits counts what a
// seam between its X0 and X1 would spoil.
func cut(lo, hi, length float64, hits func(seam Rect) int) (n int, start float64) {
	step := length - overlap
	n = max(1, int(math.Ceil((hi-lo-overlap)/step)))
	play := float64(n)*step + overlap - (hi - lo)
	start = lo - play/2
	fewest := math.MaxInt
	for i := range 2*int(play/2) + 1 {
		// From the middle outwards: 0, 1, -1, 2, -2, ... mm.
		shift := float64((i + 1) / 2)
		if i%2 == 0 {
			shift = -shift
		}
		sum := 0
		for k := 1; k < n; k++ {
			x := lo - play/2 + shift + float64(k)*step
			sum += hits(Rect{X0: x, X1: x + overlap})
		}
		if sum < fewest {
			start, fewest = lo-play/2+shift, sum
		}
	}
	return n, start
}

// tiled lays the drawing out in tiles, behind the notes that say how to join
// them.
func (l layout) tiled(p Paper) []draft {
	const mapHeight = 20.0
	room := Rect{X1: 62, Y1: mapHeight + 4}
	body := l.sheet(p, heading{room: room}).body
	g := newGrid(l.bounds, l.content.Keep, body.W(), body.H())
	joints := l.joints(g)
	how := []Block{
		list{title: "Joining the sheets", texts: []string{
			fmt.Sprintf("The %d sheets %s to %s share %.0f mm with each neighbour.", g.nx*g.ny, g.name(0, 0), g.name(g.ny-1, g.nx-1), overlap),
			"Cut one of two neighbours along the dashed line. Lay it on the other's dashed line so that the ringed crosses meet, and tape it.",
			"Then measure a distance across the joint and compare it with the table.",
		}},
		tileMap{l, g, -1, -1},
	}
	drafts := l.noteSheets(p, append(how, l.notes...))
	for row := range g.ny {
		for col := range g.nx {
			drafts = append(drafts, func(number string) Page {
				s := l.sheet(p, heading{room: room})
				s.haze.Add(frame(s.body))
				clip, win := s.body, g.window(row, col)
				at := calib.Point{X: clip.X0 - win.X0, Y: clip.Y0 - win.Y0}
				s.put(Part{l.drawing, at, &clip})
				s.put(Part{joints, at, &clip})
				m := tileMap{l, g, row, col}
				w, h := m.fit(40, mapHeight)
				m.in(s, Rect{s.area.X1 - w, s.area.Y1 - h, s.area.X1, s.area.Y1})
				x := s.area.X1 - w - 5
				s.ink.Add(Text{At: calib.Point{X: x, Y: s.area.Y1 - 9}, Height: 9, Bold: true, S: g.name(row, col), Align: Right})
				s.slate.Add(Text{At: calib.Point{X: x, Y: s.area.Y1 - 14.5}, Height: SmallText, S: number, Align: Right})
				return s.done()
			})
		}
	}
	return drafts
}

func frame(r Rect) Polyline {
	p := Polyline{Closed: true}
	for _, c := range r.corners() {
		p.Vertices = append(p.Vertices, Vertex{Point: c})
	}
	return p
}

// joints draws the marks by which tiles are joined, in the panel's frame, so
// that neighbours show the same marks at the same place: a dashed line along
// the middle of what they share, ringed crosses on it, and their names.
func (l layout) joints(g grid) *Drawing {
	d := &Drawing{}
	seams := d.NewLayer("seams", FineLine, Blue, 3, 1.5)
	marks := d.NewLayer("joining-marks", FineLine, Blue)
	names := d.NewLayer("tile-names", FineLine, Slate)
	seam := func(from, to calib.Point, before, after string) {
		seams.Add(Line{from, to})
		way := to.Sub(from)
		angle := math.Atan2(way.Y, way.X)
		side := calib.Point{X: -way.Y, Y: way.X}.Mul(1 / way.Norm()) // to the left
		name := func(p calib.Point, off float64, s string) {
			names.Add(Text{At: p.Add(side.Mul(off)), Height: SmallText, S: s, Align: Middle, Angle: angle})
		}
		for _, part := range [][2]float64{{0.1, 0.4}, {0.6, 0.9}} {
			// A mark and the names beside it, where the drawing leaves most room.
			p := l.clearest(from.Add(way.Mul(part[0])), from.Add(way.Mul(part[1])), 8)
			marks.Add(Circle{p, 2})
			cross(marks, p, 4)
			beside := p.Add(way.Mul(9 / way.Norm()))
			name(beside, 1.2, before)
			name(beside, -1.2-SmallText, after)
		}
	}
	for row := range g.ny {
		for col := range g.nx {
			w := g.window(row, col)
			if col+1 < g.nx {
				x := w.X1 - overlap/2
				seam(calib.Point{X: x, Y: w.Y0}, calib.Point{X: x, Y: w.Y1}, g.name(row, col), g.name(row, col+1))
			}
			if row+1 < g.ny {
				y := w.Y0 + overlap/2
				seam(calib.Point{X: w.X0, Y: y}, calib.Point{X: w.X1, Y: y}, g.name(row, col), g.name(row+1, col))
			}
		}
	}
	return d
}

// clearest returns the place between two points round which the drawing has
// the fewest lines within the given distance.
func (l layout) clearest(a, b calib.Point, within float64) calib.Point {
	best, fewest := a, math.MaxInt
	for i := range 11 {
		p := a.Add(b.Sub(a).Mul(float64(i) / 10))
		if n := crossings(l.drawing, squareRound(p, within)); n < fewest {
			best, fewest = p, n
		}
	}
	return best
}

// tileMap is a small picture of the tiles with the circles on them. It is a
// block of the notes, and beside each tile's title it shows which one that is.
type tileMap struct {
	layout
	grid
	row, col int // of the tile to point out; -1 is none
}

// extent is what all tiles cover.
func (m tileMap) extent() Rect {
	return m.window(0, 0).Union(m.window(m.ny-1, m.nx-1))
}

// fit returns the size of the map in a box of the given size.
func (m tileMap) fit(width, height float64) (w, h float64) {
	e := m.extent()
	k := math.Min(width/e.W(), height/e.H())
	return e.W() * k, e.H() * k
}

const mapBlock = 70.0 // greatest height among the notes, mm

func (m tileMap) height(width float64) float64 {
	_, h := m.fit(width, mapBlock)
	return h
}

func (m tileMap) draw(s *sheet, p calib.Point, width float64) {
	w, h := m.fit(width, mapBlock)
	m.in(s, Rect{p.X, p.Y - h, p.X + w, p.Y})
}

// in draws the map in a box of its proportions. Tiles meet at the middle of
// what they share.
func (m tileMap) in(s *sheet, box Rect) {
	e := m.extent()
	k := box.W() / e.W()
	to := func(p calib.Point) calib.Point {
		return calib.Point{X: box.X0 + (p.X-e.X0)*k, Y: box.Y0 + (p.Y-e.Y0)*k}
	}
	for row := range m.ny {
		for col := range m.nx {
			w := m.window(row, col)
			if col > 0 {
				w.X0 += overlap / 2
			}
			if col+1 < m.nx {
				w.X1 -= overlap / 2
			}
			if row > 0 {
				w.Y1 -= overlap / 2
			}
			if row+1 < m.ny {
				w.Y0 += overlap / 2
			}
			a, b := to(calib.Point{X: w.X0, Y: w.Y0}), to(calib.Point{X: w.X1, Y: w.Y1})
			cell := Rect{a.X, a.Y, b.X, b.Y}
			switch {
			case row == m.row && col == m.col:
				s.haze.Add(Fill{[][]calib.Point{cell.corners()}})
			case m.row < 0 && cell.H() > 2*SmallText:
				m.label(s, cell, row, col)
			}
			s.thin.Add(frame(cell))
		}
	}
	for _, c := range m.content.Landmarks {
		s.blue.Add(Circle{to(c.Centre), math.Max(0.5, c.R*k)})
	}
}

// label writes a tile's name into the corner that is farthest from the map's
// middle.
func (m tileMap) label(s *sheet, cell Rect, row, col int) {
	t := Text{At: calib.Point{X: cell.X0 + 1.5, Y: cell.Y1 - 1.5 - LabelText}, Height: LabelText, Bold: true, S: m.name(row, col)}
	if 2*col+1 > m.nx {
		t.At.X, t.Align = cell.X1-1.5, Right
	}
	if 2*row+1 > m.ny {
		t.At.Y = cell.Y0 + 1.5
	}
	s.slate.Add(t)
}
