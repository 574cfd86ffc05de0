package template

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"trimscribe/calib"
	"trimscribe/template/internal/outside"
)

// pdfinfo's page size in PDF units of 1/72 in (ISO 32000-1, 8.3.2.3): A4 (ISO
// 216) is 595.276 x 841.890, Letter (ASME Y14.1, A) 612 x 792.
func TestPDFPageSizes(t *testing.T) {
	for name, want := range map[string][2]float64{
		"a4": {595.276, 841.890}, "letter": {612, 792}, "a4-landscape": {841.890, 595.276}, "a3": {841.890, 1190.551},
	} {
		for _, s := range []*calib.Survey{smallPanel(), largePanel()} {
			sheets := mustTemplate(t, s, Options{Paper: laid(mustPaper(t, name))})
			out := outside.Run(t, "pdfinfo", "-f", "1", "-l", "99", pdfFile(t, sheets.Pages))
			sizes := regexp.MustCompile(`(?m)^Page\s+\d+ size:\s+([\d.]+) x ([\d.]+) pts`).FindAllSubmatch(out, -1)
			if len(sizes) != len(sheets.Pages) {
				t.Fatalf("%s: %d of %d pages", name, len(sizes), len(sheets.Pages))
			}
			for _, m := range sizes {
				w, _ := strconv.ParseFloat(string(m[1]), 64)
				h, _ := strconv.ParseFloat(string(m[2]), 64)
				near(t, name+" width", w, want[0], 0.01)
				near(t, name+" height", h, want[1], 0.01)
			}
		}
	}
}

func laid(p Paper) Paper {
	p.Fixed = true
	return p
}

// On every sheet the scale checks, measured in poppler's raster at 1200 dpi,
// are 100 mm, and 4 in on request; with a print scale they are its reciprocal times that. They are
// the longest dark runs near the sheet's lower left edges.
func TestScaleChecksMeasureTrue(t *testing.T) {
	square := func(o SheetOptions) []Page {
		pages, err := SquareSheet(o)
		if err != nil {
			t.Fatal(err)
		}
		return pages
	}
	letter := mustPaper(t, "letter")
	for _, c := range []struct {
		name   string
		pages  []Page
		sx, sy float64
		inches bool
	}{
		{"small", mustTemplate(t, smallPanel(), Options{}).Pages, 1, 1, false},
		{"tiles", mustTemplate(t, largePanel(), Options{}).Pages, 1, 1, false},
		{"corrected", mustTemplate(t, largePanel(), Options{PrintScale: [2]float64{0.994, 1.006}}).Pages, 0.994, 1.006, false},
		{"inches", mustTemplate(t, crowdedPanel(), Options{Paper: letter, Units: Inches}).Pages, 1, 1, true},
		{"squares", square(SheetOptions{Count: 5}), 1, 1, false},
		{"corrected square", square(SheetOptions{Paper: letter, PrintScale: [2]float64{1.01, 0}}), 1.01, 1, false},
	} {
		pdf := pdfFile(t, c.pages)
		for i, p := range c.pages {
			check := func(off, want float64) { // in a strip off mm from the sheet's edges
				across := poppler(t, pdf, i+1, 1200, Rect{5, p.H - off - 6, 140, p.H - off})
				up := poppler(t, pdf, i+1, 1200, Rect{off, p.H - 140, off + 6, p.H - 5})
				near(t, fmt.Sprintf("%s, sheet %d, %g mm across", c.name, i+1, want), across.longest('x'), want/c.sx, 0.05)
				near(t, fmt.Sprintf("%s, sheet %d, %g mm up", c.name, i+1, want), up.longest('y'), want/c.sy, 0.05)
			}
			check(9, 100)
			if c.inches {
				check(17, 4*25.4)
			}
		}
	}
}

// A ring's diameter and the distance of two, in poppler's raster.
func TestPDFCirclesMeasureTrue(t *testing.T) {
	d := &Drawing{}
	l := d.NewLayer("rings", 0.2, Ink)
	l.Add(Circle{calib.Point{X: 50.3, Y: 60.7}, 20}, Circle{calib.Point{X: 150.3, Y: 160.7}, 20})
	for _, scale := range [][2]float64{{}, {0.99, 1.02}} {
		p := Page{W: 210, H: 297, Scale: scale, Parts: []Part{{Drawing: d}}}
		sx, sy := p.scale()
		pdf := pdfFile(t, []Page{p})
		lower := poppler(t, pdf, 1, 1200, Rect{20, 297 - 90, 80, 297 - 30}).extent(128)
		upper := poppler(t, pdf, 1, 1200, Rect{120, 297 - 190, 180, 297 - 130}).extent(128)
		near(t, "width", lower.W(), 40.2/sx, 0.05)
		near(t, "height", lower.H(), 40.2/sy, 0.05)
		near(t, "across", upper.Centre().X-lower.Centre().X, 100/sx, 0.05)
		near(t, "up", lower.Centre().Y-upper.Centre().Y, 100/sy, 0.05)
	}
}

// The sheets as printed by a printer that is off by a known scale: what
// correction was drawn and what the printer does cancel out.
func TestPrintScaleIsTheReciprocal(t *testing.T) {
	s := [2]float64{0.994, 1.006}
	plain := mustTemplate(t, smallPanel(), Options{})
	corrected := mustTemplate(t, smallPanel(), Options{PrintScale: s})
	if !contains(texts(corrected.Pages[0]), "99.40") {
		t.Error("the sheet does not tell that it is corrected")
	}
	// The tiles' windows are the same mm of panel whatever the printer.
	if corrected.Pages[0].Scale != s || plain.Pages[0].Scale != [2]float64{} || corrected.Preview.Scale != [2]float64{} {
		t.Error("the scale is on the wrong pages")
	}
	for _, bad := range [][2]float64{{0.94, 1}, {1, 1.06}, {math.NaN(), 1}, {-1, 1}} {
		if _, err := Template(smallPanel(), Options{PrintScale: bad}); err == nil {
			t.Errorf("a print scale of %v was taken", bad)
		}
		if _, err := SquareSheet(SheetOptions{PrintScale: bad}); err == nil {
			t.Errorf("a print scale of %v was taken for squares", bad)
		}
	}
}

// The underlay lies where its rectangle says: a black block in it, 20 mm
// across at a known place of the panel, against the hole H1's own place on the
// page. It is faded, so half dark is not what it shows.
func TestUnderlayIsAtScale(t *testing.T) {
	s := smallPanel()
	// 10 px/mm over x 40..140, y -40..60; the block at x 60..70, y -20..-10.
	img := plainPicture(1000, 1000, image.Rect(200, 700, 300, 800))
	sheets := mustTemplate(t, s, Options{Underlay: &Picture{img, Rect{40, -40, 140, 60}}})
	page := sheets.Pages[0]
	at := partOf(t, page, sheets.Drawing).At
	r := poppler(t, pdfFile(t, sheets.Pages), 1, 600,
		Rect{at.X + 57, page.H - (at.Y - 7), at.X + 73, page.H - (at.Y - 23)})
	e := r.extent(210)
	near(t, "left", e.X0, at.X+60, 0.06)
	near(t, "right", e.X1, at.X+70, 0.06)
	near(t, "top", e.Y0, page.H-(at.Y-10), 0.06)
	near(t, "bottom", e.Y1, page.H-(at.Y-20), 0.06)
	darkest := slices.Min(r.Pix)
	if darkest < 120 {
		t.Errorf("black shows as %d under the lines: not pale", darkest)
	}
}

func partOf(t *testing.T, p Page, d *Drawing) Part {
	t.Helper()
	for _, part := range p.Parts {
		if part.Drawing == d {
			return part
		}
	}
	t.Fatal("the drawing is not on the page")
	return Part{}
}

// Two runs give the same bytes, in every format.
func TestSameInputSameBytes(t *testing.T) {
	img := plainPicture(300, 300, image.Rect(20, 20, 90, 90))
	write := func() [][]byte {
		o := Options{Underlay: &Picture{img, Rect{0, -60, 180, 120}}}
		s := mustTemplate(t, crowdedPanel(), o)
		big := mustTemplate(t, largePanel(), o)
		var pdf, svg, dxf, png bytes.Buffer
		for _, err := range []error{
			WritePDF(&pdf, "x", append(s.Pages, big.Pages...)), WriteSVG(&svg, s.Drawing),
			WriteDXF(&dxf, s.Drawing), WritePNG(&png, s.Preview, 60),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
		return [][]byte{pdf.Bytes(), svg.Bytes(), dxf.Bytes(), png.Bytes()}
	}
	first := write()
	for range 5 {
		for i, b := range write() {
			if !bytes.Equal(b, first[i]) {
				t.Fatalf("%s differs", []string{"PDF", "SVG", "DXF", "PNG"}[i])
			}
		}
	}
}
