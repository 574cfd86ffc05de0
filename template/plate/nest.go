package plate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"trimscribe/template"
)

// Sheet is parts laid on one sheet of stock, from its lower left corner.
type Sheet struct {
	Stock Stock
	W, H  float64 // mm
	Parts []*Part // placed, as large as they are to be
}

// Name tells a sheet apart from the others.
func (s *Sheet) Name() string { return s.Stock.String() }

// Pieces returns all the parts to be made: for each side and in the quantity
// asked for, marked with their side where there are two.
func (p *Plate) Pieces() []*Part {
	s := &p.Settings
	sides := []bool{s.Mirror}
	if s.Both {
		sides = []bool{false, true}
	}
	var pieces []*Part
	for range s.Quantity {
		for _, mirrored := range sides {
			for i, part := range append([]*Part{p.Plate}, p.Extras...) {
				q := part.Placed(Place{Mirror: mirrored})
				if side := p.sideOf(mirrored); side != "" && i == 0 {
					q.Name = side + " " + q.Name
					q.markSide(side, p.Bore/2, p.Ring/2)
				}
				pieces = append(pieces, q)
			}
		}
	}
	return pieces
}

// sideOf names the side of the vehicle that a part is for, where that is
// known or the parts of both sides must be told apart.
func (p *Plate) sideOf(mirrored bool) string {
	side := p.Settings.Side
	if side == "" && p.Settings.Both {
		side = Left
	}
	switch {
	case side == "" || !mirrored:
		return side
	case side == Left:
		return Right
	}
	return Left
}

// markSide writes the side on the part, on the ring if it has room, else
// wherever it has.
func (p *Part) markSide(side string, inner, outer float64) {
	height := math.Min(3, (outer-inner)*0.45)
	for _, text := range []string{side, side[:1]} {
		for _, a := range []float64{90, 270, 60, 120, 240, 300, 30, 150, 210, 330, 0, 180} {
			if p.mark(text, height, polar(point{}, (inner+outer)/2, a*math.Pi/180), 0) {
				return
			}
		}
		if p.mark(text, height, point{Y: (inner + outer) / 2}, outer+10) {
			return
		}
	}
}

// Nest lays all pieces on sheets, as the cutter has to run for the kerf, and
// without overlap. Parts of like stock share sheets. A part larger than the
// sheet is an error.
func (p *Plate) Nest() ([]*Sheet, error) {
	var sheets []*Sheet
	groups := map[Stock][]*Part{}
	var stocks []Stock
	for _, part := range p.Pieces() {
		k, err := part.Kerfed(p.Settings.Kerf)
		if err != nil {
			return nil, err
		}
		if groups[k.Stock] == nil {
			stocks = append(stocks, k.Stock)
		}
		groups[k.Stock] = append(groups[k.Stock], k)
	}
	for _, stock := range stocks {
		laid, err := p.layOut(stock, groups[stock])
		if err != nil {
			return nil, err
		}
		sheets = append(sheets, laid...)
	}
	return sheets, nil
}

// shelf is a row of parts on a sheet.
type shelf struct{ x, y, h float64 }

// layOut lays parts in rows, the tallest first: simple, and a person sees at
// once that nothing was forgotten.
func (p *Plate) layOut(stock Stock, parts []*Part) ([]*Sheet, error) {
	gap := p.Settings.Gap
	w, h := p.Settings.Sheet[0], p.Settings.Sheet[1]
	open := w == 0 || h == 0
	lying := make([]*Part, len(parts))
	widest := 0.0
	for i, part := range parts {
		lying[i] = part.lying()
		widest = math.Max(widest, lying[i].Outline.Bounds().W())
	}
	if open {
		w, h = math.Max(300, widest+2*gap), math.Inf(1)
	}
	for i, part := range lying {
		b := part.Outline.Bounds()
		if b.W()+2*gap > w || b.H()+2*gap > h {
			lying[i] = part.Placed(Place{Turn: math.Pi / 2})
			if b.H()+2*gap > w || b.W()+2*gap > h {
				return nil, &ClashError{fmt.Sprintf("the %s, %.1f x %.1f mm, does not fit on a sheet of %s x %s mm with %s mm round it", part.Name, b.W(), b.H(), short(w), short(h), short(gap)),
					fmt.Sprintf("--sheet %.0fx%.0f", math.Ceil(b.W()+2*gap), math.Ceil(b.H()+2*gap))}
			}
		}
	}
	slices.SortStableFunc(lying, func(a, b *Part) int {
		return cmp.Compare(b.Outline.Bounds().H(), a.Outline.Bounds().H())
	})
	var sheets []*Sheet
	shelves := map[*Sheet][]*shelf{}
	for _, part := range lying {
		b := part.Outline.Bounds()
		sheet, row := (*Sheet)(nil), (*shelf)(nil)
	search:
		for _, s := range sheets {
			top := gap
			for _, r := range shelves[s] {
				if r.x+b.W()+gap <= w && b.H() <= r.h+1e-9 {
					sheet, row = s, r
					break search
				}
				top = r.y + r.h + gap
			}
			if top+b.H()+gap <= h {
				sheet, row = s, &shelf{gap, top, b.H()}
				shelves[s] = append(shelves[s], row)
				break
			}
		}
		if row == nil {
			sheet, row = &Sheet{Stock: stock, W: w, H: h}, &shelf{gap, gap, b.H()}
			sheets = append(sheets, sheet)
			shelves[sheet] = []*shelf{row}
		}
		sheet.Parts = append(sheet.Parts, part.Placed(Place{Move: point{X: row.x - b.X0, Y: row.y - b.Y0}}))
		row.x += b.W() + gap
	}
	if open {
		for _, s := range sheets {
			b := s.bounds()
			s.W, s.H = math.Ceil(b.X1+gap), math.Ceil(b.Y1+gap)
		}
	}
	return sheets, nil
}

func (s *Sheet) bounds() template.Rect {
	b := s.Parts[0].Outline.Bounds()
	for _, p := range s.Parts {
		b = b.Union(p.Outline.Bounds())
	}
	return b
}

// lying returns the part turned so that the rectangle round it is smallest,
// its longer side across.
func (p *Part) lying() *Part {
	if p.Outline.isCircle() {
		return p
	}
	best, turn := math.Inf(1), 0.0
	for deg := -90; deg < 90; deg++ { // words on it never stand on their heads
		t := float64(deg) * math.Pi / 180
		b := Place{Turn: t}.Path(p.Outline).Bounds()
		if area := b.W() * b.H(); area < best-1e-6 && b.W() >= b.H()-1e-9 {
			best, turn = area, t
		}
	}
	return p.Placed(Place{Turn: turn})
}
