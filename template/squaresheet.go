package template

import (
	"fmt"
	"math"

	"trimscribe/calib"
)

// SheetOptions say how reference squares are laid out for printing.
type SheetOptions struct {
	Paper      Paper      // none is A4
	Size       float64    // the square's outside, mm, 10 to 150; 0 is calib.SquareSize
	Count      int        // squares are numbered 1 to Count; 0 is 1
	Units      Units      // Inches adds a scale check in inches
	PrintScale [2]float64 // as in Options
}

// What a square takes beyond its cut line, mm, for the lines that say where
// to measure it: above the text of one line.
const (
	dimensionOff  = 4.0 // of the dimension line from the cut line
	dimensionRoom = 10.0
	squareGap     = 8.0 // more between squares, where there is room
)

// squareHelp is printed once, under the first squares.
var squareHelp = []Block{
	list{title: "Print and measure", texts: []string{
		"Use matt white paper. Cut along the thin line; keep the white round the square. Glue it flat on card.",
		"Measure the black frame with callipers, outside to outside, across and up. Give both: --square-size 59.7x60.2 (use your own figures).",
	}},
	list{title: "Lay it", texts: []string{
		"Flat on the panel's back, in the plane of what matters: the faces of the holes. Near them, not on them.",
		"Several squares: on the same plane, as far apart as the panel allows.",
	}},
	list{title: "Take the photo", texts: []string{
		"Square-on, not tilted, 30 cm away or more: step back and zoom. Square, holes and grille in view, all sharp.",
		"Soft light from the side. No flash, no glare on the square, no shadow across it.",
	}},
	list{title: "Cautions", texts: []string{
		"An airbag may sit behind pillar trim. Before you take a panel off, read the vehicle maker's service manual and disconnect the battery as it says.",
	}},
}

// SquareSheet lays out numbered reference squares for printing. The error is
// a sentence for the user.
func SquareSheet(o SheetOptions) ([]Page, error) {
	if o.Paper.W == 0 {
		o.Paper = papers[0]
	}
	if o.Size == 0 {
		o.Size = calib.SquareSize
	}
	if o.Count == 0 {
		o.Count = 1
	}
	if !(o.Size >= 10 && o.Size <= 150) { // also NaN
		return nil, fmt.Errorf("a square of %g mm can't be used: its size must be from 10 to 150 mm", o.Size)
	}
	if o.Count < 1 || o.Count > calib.MaxSquare {
		return nil, fmt.Errorf("%d squares can't be told apart: the count must be from 1 to %d", o.Count, calib.MaxSquare)
	}
	if err := checkPrintScale(o.PrintScale); err != nil {
		return nil, err
	}
	return o.pages()
}

func (o SheetOptions) sheet(number string) *sheet {
	return newSheet(o.Paper, o.PrintScale, o.Units, heading{
		title: fmt.Sprintf("Reference square, %g mm", o.Size),
		sub:   "Print, cut out, measure, lay on the panel, take the photo.",
		right: number,
	})
}

func (o SheetOptions) pages() ([]Page, error) {
	body := o.sheet("").body
	columnCount, columnWidth := columns(body.W())
	help := flowHeight(squareHelp, columnCount, columnWidth)
	room := body // for squares, on the first sheet
	room.Y0 += help + 2*pad

	tile := tileSize(o.Size) + dimensionRoom
	first, full := gridOf(room, tile), gridOf(body, tile)
	if full.n() == 0 {
		most := math.Floor((math.Min(body.W(), body.H()) - dimensionRoom) / tileSize(1))
		return nil, fmt.Errorf("a square of %g mm with its margin does not fit on %s: at most %g mm does, or take larger paper",
			o.Size, o.Paper.Name, most)
	}

	// The first sheet explains. It holds no square when those leave no room.
	var drafts []draft
	number := 1
	for begin := true; number <= o.Count; begin = false {
		g, from := full, number
		if begin {
			g = first
		}
		to := min(number+g.n()-1, o.Count)
		number = to + 1
		drafts = append(drafts, func(label string) Page {
			s := o.sheet(label)
			art := &Drawing{}
			for i, c := range g.places(to - from + 1) {
				drawSquare(art, s, c, o.Size, from+i)
			}
			s.put(Part{Drawing: art})
			if begin {
				placed, _ := flow(squareHelp, columnWidth, help)
				drawFlow(s, placed, Rect{body.X0, body.Y0, body.X1, body.Y0 + help}, columnWidth)
			}
			return s.done()
		})
	}
	pages := make([]Page, len(drafts))
	for i, d := range drafts {
		pages[i] = d(fmt.Sprintf("sheet %d of %d", i+1, len(drafts)))
	}
	return pages, nil
}

// rows is how many squares an area holds, across and down.
type rows struct {
	area   Rect
	tile   float64
	nx, ny int
}

func gridOf(area Rect, tile float64) rows {
	return rows{area, tile, int((area.W() + 1e-9) / tile), max(0, int((area.H()+1e-9)/tile))}
}

func (r rows) n() int { return r.nx * r.ny }

// places returns the lower left corners of the first tiles, row by row from
// the top, the lot of them centred.
func (r rows) places(count int) []calib.Point {
	nx := min(count, r.nx)
	ny := (count + r.nx - 1) / r.nx
	px, py := r.pitch(r.area.W(), nx), r.pitch(r.area.H(), ny)
	x0 := r.area.Centre().X - (float64(nx-1)*px+r.tile)/2
	y0 := r.area.Centre().Y + (float64(ny-1)*py-r.tile)/2
	var places []calib.Point
	for i := range count {
		places = append(places, calib.Point{X: x0 + float64(i%r.nx)*px, Y: y0 - float64(i/r.nx)*py})
	}
	return places
}

// pitch spreads n tiles over a length, but not too far.
func (r rows) pitch(length float64, n int) float64 {
	if n < 2 {
		return r.tile
	}
	return math.Min(r.tile+squareGap, (length-r.tile)/float64(n-1))
}

// tileSize is the paper a square takes to its cut line.
func tileSize(size float64) float64 {
	return size * (calib.SquareGrid + 2*calib.SquareMargin) / calib.SquareGrid
}

// drawSquare draws a square and where to measure it. p is the lower left
// corner of its place, the lines for measuring included.
func drawSquare(art *Drawing, s *sheet, p calib.Point, size float64, number int) {
	margin := size * calib.SquareMargin / calib.SquareGrid
	tile := tileSize(size)
	cut := Rect{p.X, p.Y + dimensionRoom, p.X + tile, p.Y + dimensionRoom + tile}
	square := cut.Grow(-margin)

	black := art.NewLayer(fmt.Sprintf("square-%d", number), 0, Ink)
	black.Add(squareFill(square, number))
	cutLine := art.NewLayer(fmt.Sprintf("cut-line-%d", number), FineLine, Slate)
	cutLine.Add(frame(cut))

	across, up := "measure here: width across", "measure here: height"
	if height := math.Min(SmallText, margin*0.4*0.7); height >= 1.2 {
		topMark(art, cut, margin*0.4, height, number)
	} else { // too small to read: the number goes outside
		across = fmt.Sprintf("no. %d: %s", number, across)
	}
	if TextWidth(across, SmallText, false) > tile {
		across, up = fmt.Sprintf("%d: width", number), "height"
	}
	dimension(s, square.X0, square.X1, cut.Y0, false, across)
	dimension(s, square.Y0, square.Y1, cut.X1, true, up)
}

// topMark says which way is up and the square's number, in a band below the
// cut line: the rest of the margin stays white.
func topMark(art *Drawing, cut Rect, band, height float64, number int) {
	l := art.NewLayer(fmt.Sprintf("top-%d", number), 0, Slate)
	text := fmt.Sprintf("TOP  %d", number) // capitals: nothing hangs below them
	w := TextWidth(text, height, false)
	base := calib.Point{X: cut.Centre().X - w/2, Y: cut.Y1 - band/2 - height/2}
	l.Add(Text{At: base, Height: height, S: text})
	tip := calib.Point{X: base.X - height, Y: base.Y + height}
	l.Add(Fill{[][]calib.Point{{tip, tip.Add(calib.Point{X: -height / 2, Y: -height}), tip.Add(calib.Point{X: height / 2, Y: -height})}}})
}

// dimension draws a dimension line from a to b, below an edge or to the right
// of it. Its extension lines begin outside the edge.
func dimension(s *sheet, a, b, edge float64, right bool, label string) {
	place := func(along, out float64) calib.Point {
		if right {
			return calib.Point{X: edge + out, Y: along}
		}
		return calib.Point{X: along, Y: edge - out}
	}
	const arrow, half = 3.0, 0.6
	for _, end := range []struct{ at, in float64 }{{a, arrow}, {b, -arrow}} {
		s.thin.Add(Line{place(end.at, 1), place(end.at, dimensionOff+1.2)})
		s.ink.Add(Fill{[][]calib.Point{{place(end.at, dimensionOff), place(end.at+end.in, dimensionOff-half), place(end.at+end.in, dimensionOff+half)}}})
	}
	s.thin.Add(Line{place(a+arrow, dimensionOff), place(b-arrow, dimensionOff)})
	t := Text{At: place((a+b)/2, dimensionOff+1.3+SmallText), Height: SmallText, Align: Middle, S: label}
	if right {
		t.Angle = math.Pi / 2
	}
	s.slate.Add(t)
}

// squareFill returns the black of a square as one area: its cells' common
// edges are left out, so that no hairline of white can show between them.
func squareFill(r Rect, number int) Fill {
	const n = calib.SquareGrid
	art := calib.SquareArt(number)
	black := func(row, col int) bool {
		if row < 0 || col < 0 || row >= n || col >= n {
			return false
		}
		if row == 0 || col == 0 || row == n-1 || col == n-1 {
			return true
		}
		const inset = (n - calib.SquareCode) / 2
		row, col = row-inset, col-inset
		return row >= 0 && col >= 0 && row < calib.SquareCode && col < calib.SquareCode && art[row][col]
	}
	// Edges between black and white, the black to their right: from a grid
	// point to the next, rows running down.
	type corner struct{ row, col int }
	next := map[corner][]corner{}
	for row := range n {
		for col := range n {
			if !black(row, col) {
				continue
			}
			edge := func(inside bool, r0, c0, r1, c1 int) {
				if !inside {
					from := corner{r0, c0}
					next[from] = append(next[from], corner{r1, c1})
				}
			}
			edge(black(row-1, col), row, col, row, col+1)
			edge(black(row, col+1), row, col+1, row+1, col+1)
			edge(black(row+1, col), row+1, col+1, row+1, col)
			edge(black(row, col-1), row+1, col, row, col)
		}
	}
	place := func(c corner) calib.Point {
		return calib.Point{X: r.X0 + r.W()*float64(c.col)/n, Y: r.Y1 - r.H()*float64(c.row)/n}
	}
	var fill Fill
	for row := range n + 1 {
		for col := range n + 1 {
			start := corner{row, col}
			for len(next[start]) > 0 {
				var loop []calib.Point
				for at := start; len(next[at]) > 0; {
					loop = append(loop, place(at))
					to := next[at][0]
					next[at] = next[at][1:]
					at = to
				}
				fill.Loops = append(fill.Loops, loop)
			}
		}
	}
	return fill
}
