package vision

import (
	"image"
	"math"
	"slices"

	"gocv.io/x/gocv"

	"trimscribe/calib"
)

// zones tells where a panel's outlines may lie: near its own plastic, off the
// paper, off what is known.
type zones struct {
	view   flat        // its region and scale, cells of zoneCell mm
	beside []byte      // set where the panel's face is beside
	near   []byte      // set where it is not far
	shut   []byte      // set on paper and known circles
	face   []*partLook // how the panel's face looks
}

// zoneCell is the size of a cell, mm.
const zoneCell = 0.5

// How far, mm: an outline may lie from the panel's plastic, a paper's edge from its paper,
// the edges that belong to a known circle from its rim.
const (
	besidePanel = 1.5
	nearPanel   = 20.0
	besidePaper = 2.0
	insideCard  = 1.5 // where a card is looked at, from its edge
	besideKnown = 0.8
)

// open tells whether an outline may lie at a place at all.
func (z zones) open(q calib.Point) bool {
	x, y, ok := z.cell(q)
	return ok && z.shut[y*z.view.w+x] == 0
}

// besidePanel tells for each point of a chain whether the panel's own plastic is beside
// it: its face close by, or, not far from the face, something that looks like
// it on one side, as a rib's top does. A few points are asked together, for one
// is noise.
func (z zones) besidePanel(p *Photo, cam calib.Camera, c chain) []bool {
	n := len(c.points)
	votes := make([]int, n+1) // summed up from the start
	for i, q := range c.points {
		votes[i+1] = votes[i]
		x, y, ok := z.cell(q)
		if ok && (z.beside[y*z.view.w+x] != 0 || z.near[y*z.view.w+x] != 0 && z.faceAt(p, cam, q, c.light[i])) {
			votes[i+1]++
		}
	}
	out := make([]bool, n)
	const reach = 6
	for i := range out {
		from, to := max(0, i-reach), min(n, i+reach+1)
		out[i] = 2*(votes[to]-votes[from]) > to-from
	}
	return out
}

func (z zones) cell(q calib.Point) (x, y int, ok bool) {
	x = int((q.X - z.view.region.Min.X) * z.view.scale)
	y = int((z.view.region.Max.Y - q.Y) * z.view.scale)
	return x, y, q.X >= z.view.region.Min.X && q.Y <= z.view.region.Max.Y && x < z.view.w && y < z.view.h
}

// findZones parts the view where the edges run, and tells by what lies round the
// known circles and in the squares' margins which parts are panel and which
// paper.
func findZones(p *Photo, cam calib.Camera, view flat, s EdgeSearch, chains []chain) zones {
	z := zones{view: flat{region: view.region, scale: 1 / zoneCell}}
	z.view.w = max(1, int(math.Ceil(view.region.Width()/zoneCell)))
	z.view.h = max(1, int(math.Ceil(view.region.Height()/zoneCell)))
	open := make([]byte, z.view.w*z.view.h)
	for i := range open {
		open[i] = 255
	}
	for _, c := range chains {
		for _, q := range c.points {
			if x, y, ok := z.cell(q); ok {
				open[y*z.view.w+x] = 0
			}
		}
	}
	parts := z.parts(open)
	panel, paper := z.panelParts(s, parts), z.paperParts(s, parts)
	looks := z.looks(p, cam, parts)
	for part := range panel {
		if !paper[part] {
			z.face = append(z.face, looks[part])
		}
	}
	z.beside = z.mask(parts, func(part int32) bool { return panel[part] && !paper[part] })
	z.near = slices.Clone(z.beside)
	z.fillIslands(z.beside)
	z.shut = z.mask(parts, func(part int32) bool { return paper[part] && !panel[part] })
	grow(z.beside, z.view.w, z.view.h, besidePanel/zoneCell)
	grow(z.near, z.view.w, z.view.h, nearPanel/zoneCell)
	grow(z.shut, z.view.w, z.view.h, besidePaper/zoneCell)
	for y := range z.view.h {
		for x := range z.view.w {
			q := z.view.mm(float64(x), float64(y))
			if s.known(q) || s.onPaper(q) {
				z.shut[y*z.view.w+x] = 255
			}
		}
	}
	return z
}

// fillIslands sets what is wholly surrounded by what is set: on a panel's face,
// a slot, or a pad with its shadow.
func (z zones) fillIslands(mask []byte) {
	sea := make([]byte, len(mask))
	for i := range sea {
		sea[i] = 255 - mask[i]
	}
	parts := z.label(sea)
	shore := map[int32]bool{}
	for y := range z.view.h {
		shore[parts[y*z.view.w]], shore[parts[(y+1)*z.view.w-1]] = true, true
	}
	for x := range z.view.w {
		shore[parts[x]], shore[parts[(z.view.h-1)*z.view.w+x]] = true, true
	}
	for i, part := range parts {
		if !shore[part] {
			mask[i] = 255
		}
	}
}

// known tells whether a place lies in a known circle, or at its rim.
func (s EdgeSearch) known(q calib.Point) bool {
	for _, c := range s.Known {
		if q.Dist(c.Centre) < c.R+besideKnown {
			return true
		}
	}
	return false
}

// onPaper tells whether a place lies on a sheet or card, or at its edge.
func (s EdgeSearch) onPaper(q calib.Point) bool {
	return slices.ContainsFunc(s.Papers, func(p Paper) bool { return p.covers(q, besidePaper) })
}

// parts numbers the connected parts of what is open, gaps of a millimetre in
// the edges closed; 0 is what is not open.
func (z zones) parts(open []byte) []int32 {
	m, err := gocv.NewMatFromBytes(z.view.h, z.view.w, gocv.MatTypeCV8U, open)
	if err != nil {
		panic(err) // the sizes are ours
	}
	defer m.Close()
	kernel := gocv.GetStructuringElement(gocv.MorphRect, image.Pt(3, 3))
	defer kernel.Close()
	gocv.Erode(m, &m, kernel)
	b, _ := m.DataPtrUint8()
	return z.label(b)
}

// label numbers the connected parts of what is set; 0 is what is not.
func (z zones) label(mask []byte) []int32 {
	m, err := gocv.NewMatFromBytes(z.view.h, z.view.w, gocv.MatTypeCV8U, mask)
	if err != nil {
		panic(err) // the sizes are ours
	}
	defer m.Close()
	labels := gocv.NewMat()
	defer labels.Close()
	gocv.ConnectedComponentsWithParams(m, &labels, 4, gocv.MatTypeCV32S, gocv.CCL_DEFAULT)
	out := make([]int32, z.view.w*z.view.h)
	for y := range z.view.h {
		for x := range z.view.w {
			out[y*z.view.w+x] = labels.GetIntAt(y, x)
		}
	}
	return out
}

// panelParts tells which parts are the panel's face: those that make up much of
// what lies round a known circle.
func (z zones) panelParts(s EdgeSearch, labels []int32) map[int32]bool {
	panel := map[int32]bool{}
	for _, c := range s.Known {
		count := map[int32]int{}
		total := 0
		for _, off := range []float64{2, 3.5, 5} {
			for i := range 72 {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / 72)
				x, y, ok := z.cell(c.Centre.Add(calib.Point{X: cos, Y: sin}.Mul(c.R + off)))
				if !ok {
					continue
				}
				if part := labels[y*z.view.w+x]; part != 0 {
					count[part]++
				}
				total++
			}
		}
		for part, n := range count {
			if 4*n > total {
				panel[part] = true
			}
		}
	}
	return panel
}

// paperParts tells which parts are paper: those in the middle of the squares'
// margins, and just inside a card's edge.
func (z zones) paperParts(s EdgeSearch, labels []int32) map[int32]bool {
	paper := map[int32]bool{}
	for _, p := range s.Papers {
		half := p.wider(0.5)
		if p.isCard() {
			half = [2]float64{half[0] - insideCard, half[1] - insideCard}
		}
		corners := p.corners(half)
		for i, a := range corners {
			b := corners[(i+1)%4]
			for k := range 20 {
				if x, y, ok := z.cell(a.Add(b.Sub(a).Mul(float64(k) / 20))); ok {
					if part := labels[y*z.view.w+x]; part != 0 {
						paper[part] = true
					}
				}
			}
		}
	}
	return paper
}

func (z zones) mask(labels []int32, in func(part int32) bool) []byte {
	m := make([]byte, len(labels))
	for i, part := range labels {
		if part != 0 && in(part) {
			m[i] = 255
		}
	}
	return m
}

// grow widens what is set in a mask by so many cells.
func grow(mask []byte, w, h int, by float64) {
	m, err := gocv.NewMatFromBytes(h, w, gocv.MatTypeCV8U, mask)
	if err != nil {
		panic(err) // the sizes are ours
	}
	defer m.Close()
	n := 2*int(math.Round(by)) + 1
	kernel := gocv.GetStructuringElement(gocv.MorphEllipse, image.Pt(n, n))
	defer kernel.Close()
	wide := gocv.NewMat()
	defer wide.Close()
	gocv.Dilate(m, &wide, kernel)
	b, _ := wide.DataPtrUint8()
	copy(mask, b)
}
