package template

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"trimscribe/calib"
	"trimscribe/template/internal/outside"
)

// The surveys here are made up, of invented panels.

// madeUp returns a survey of holes round a grille. The diameters and the
// places are as crooked as measured ones.
func madeUp(photo string, hole float64, holes []calib.Point, grille calib.Point, diameter float64) *calib.Survey {
	s := &calib.Survey{
		Format: calib.SurveyFormat, Version: calib.SurveyVersion,
		Photos:  []calib.SurveyPhoto{{File: photo, Width: 4032, Height: 3024, Tilt: 3.14, Distance: 402.5, Focal: 3020, FocalSource: "exif"}},
		Squares: []calib.SurveySquare{{Number: 1, Size: [2]float64{59.7, 60.2}}},
		Tweeter: &calib.TweeterCentre{X: grille.X, Y: grille.Y, U95: 0.05, From: "grille"},
		Notes:   []string{"Heights were not given: each mm that a hole's face stands above the square's moves it by up to 0.21 mm (H2)."},
	}
	for i, h := range holes {
		s.Features = append(s.Features, calib.Feature{ID: fmt.Sprintf("H%d", i+1), Kind: calib.KindHole,
			X: h.X, Y: h.Y, Diameter: hole + 0.0137*float64(i), U95: 0.06, DiameterU95: 0.08})
	}
	s.Features = append(s.Features, calib.Feature{ID: "G", Kind: calib.KindGrille, X: grille.X, Y: grille.Y,
		Diameter: diameter, U95: 0.05, DiameterU95: 0.09})
	for i, h := range holes {
		for j := i + 1; j < len(holes); j++ {
			s.Distances = append(s.Distances, calib.DistanceEntry{From: fmt.Sprintf("H%d", i+1), To: fmt.Sprintf("H%d", j+1), MM: h.Dist(holes[j]), U95: 0.05})
		}
		s.Distances = append(s.Distances, calib.DistanceEntry{From: fmt.Sprintf("H%d", i+1), To: "T", MM: h.Dist(grille), U95: 0.06})
	}
	return s
}

// smallPanel fits on A4; largePanel, with four holes 260 mm apart, takes tiles.
func smallPanel() *calib.Survey {
	return madeUp("sail-panel.jpg", 4.21, []calib.Point{{X: 55.3127, Y: 42.1093}, {X: 118.7331, Y: -14.9048}}, calib.Point{X: 85.3171, Y: 12.9107}, 44.0319)
}

func largePanel() *calib.Survey {
	return withEdges(madeUp("tractor-cab-pillar.jpg", 6.4,
		[]calib.Point{{X: -45.02, Y: 142.11}, {X: 215.04, Y: 142.97}, {X: 214.2, Y: -117.03}, {X: -44.3, Y: -117.5}}, calib.Point{X: 85.3, Y: 12.9}, 98.2))
}

// withEdges adds a rib and a slot that were traced.
func withEdges(s *calib.Survey) *calib.Survey {
	s.Traces = []calib.Trace{
		{ID: "E1", Length: 62, Points: [][2]float64{{40.0137, 55.031}, {72.22, 71.3719}, {97.5, 72.1}}},
		{ID: "E2", Length: 38, Closed: true, Points: [][2]float64{{60.1, -22.3}, {72.0937, -22.3}, {72.1, -15.29}, {60.11, -15.3}}},
	}
	return s
}

// doubtfulPanel has doubts; crowdedPanel has six holes, heights and a long name.
func doubtfulPanel() *calib.Survey {
	s := madeUp("camper-0017.jpg", 5.1, []calib.Point{{X: 60, Y: 40}, {X: 118.7, Y: 41}, {X: 85, Y: -40}}, calib.Point{X: 85.3, Y: 12.9}, 50.2)
	withEdges(s)
	s.Doubts = []string{"Two answers are as likely for H3: candidates C4 and C7 lie as well; choose with --pick.", "The photo is tilted by 19 degrees."}
	return s
}

func crowdedPanel() *calib.Survey {
	s := madeUp("a photo with a really very long name, taken by the window of the workshop on a dull day, the second one (2).jpeg", 3.3,
		[]calib.Point{{X: 60, Y: 40}, {X: 118.7, Y: 41}, {X: 85, Y: -40}, {X: 30, Y: 10}, {X: 85, Y: 65}, {X: 140, Y: 5}}, calib.Point{X: 85.3, Y: 12.9}, 60.2)
	for i := range s.Features {
		s.Features[i].Z = 1.5 * float64(i)
	}
	s.Tweeter.X += 4
	s.Tweeter.From = "grille and offset"
	return s
}

func mustPaper(t *testing.T, name string) Paper {
	t.Helper()
	p, err := ParsePaper(name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func mustTemplate(t *testing.T, s *calib.Survey, o Options) *Sheets {
	t.Helper()
	sheets, err := Template(s, o)
	if err != nil {
		t.Fatal(err)
	}
	return sheets
}

func pdfFile(t *testing.T, pages []Page) string {
	t.Helper()
	var b bytes.Buffer
	if err := WritePDF(&b, "test", pages); err != nil {
		t.Fatal(err)
	}
	return outside.File(t, "test.pdf", b.Bytes())
}

// raster is part of a page as poppler draws it: grey, y down.
type raster struct {
	*image.Gray
	perMM  float64
	x0, y0 float64 // its upper left corner on the page, mm: on whole pixels
}

// poppler draws an area of a page, in millimetres from its upper left corner.
func poppler(t *testing.T, pdf string, page int, dpi float64, area Rect) raster {
	t.Helper()
	k := dpi / 25.4
	whole := func(mm float64) float64 { return math.Round(mm * k) }
	px := func(mm float64) string { return fmt.Sprint(whole(mm)) }
	n := fmt.Sprint(page)
	out := outside.Run(t, "pdftoppm", "-gray", "-r", fmt.Sprint(dpi), "-f", n, "-l", n,
		"-x", px(area.X0), "-y", px(area.Y0), "-W", px(area.W()), "-H", px(area.H()), pdf)
	// A PGM: P5, width, height, 255, then the pixels.
	var w, h, most int
	if _, err := fmt.Fscanf(bytes.NewReader(out), "P5\n%d %d\n%d", &w, &h, &most); err != nil || most != 255 {
		t.Fatalf("not a PGM of 8 bits: %v", err)
	}
	return raster{&image.Gray{Pix: out[len(out)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)}, k, whole(area.X0) / k, whole(area.Y0) / k}
}

// longest returns the length of the longest dark run along the rows, or along
// the columns, in mm.
func (r raster) longest(along byte) float64 {
	n, m := r.Rect.Dx(), r.Rect.Dy()
	if along == 'y' {
		n, m = m, n
	}
	best := 0
	for j := range m {
		run := 0
		for i := range n {
			x, y := i, j
			if along == 'y' {
				x, y = j, i
			}
			if r.GrayAt(x, y).Y < 128 {
				run++
				best = max(best, run)
			} else {
				run = 0
			}
		}
	}
	return float64(best) / r.perMM
}

// extent returns the rectangle of all pixels darker than a level, in mm from
// the page's upper left corner, y down.
func (r raster) extent(level uint8) Rect {
	e := emptyRect()
	for y := range r.Rect.Dy() {
		for x := range r.Rect.Dx() {
			if r.GrayAt(x, y).Y < level {
				e = e.Union(Rect{float64(x), float64(y), float64(x + 1), float64(y + 1)})
			}
		}
	}
	return Rect{r.x0 + e.X0/r.perMM, r.y0 + e.Y0/r.perMM, r.x0 + e.X1/r.perMM, r.y0 + e.Y1/r.perMM}
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.6f, want %.6f within %g", what, got, want, tol)
	}
}

// plainPicture is grey with a black block in it, in pixels.
func plainPicture(w, h int, block image.Rectangle) image.Image {
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for y := block.Min.Y; y < block.Max.Y; y++ {
		for x := block.Min.X; x < block.Max.X; x++ {
			img.Set(x, y, color.Black)
		}
	}
	return img
}

func contains(texts []string, part string) bool {
	for _, s := range texts {
		if strings.Contains(s, part) {
			return true
		}
	}
	return false
}

// texts returns all that is written on a page.
func texts(p Page) []string {
	var out []string
	for _, part := range p.Parts {
		for _, l := range part.Drawing.Layers {
			for _, s := range l.Shapes {
				if t, ok := s.(Text); ok {
					out = append(out, t.S)
				}
			}
		}
	}
	return out
}
