package plate

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"math"
	"regexp"
	"strings"
	"testing"

	"trimscribe/template"
	"trimscribe/template/internal/outside"
)

func pdfOf(t *testing.T, p *Plate, o PageOptions) string {
	t.Helper()
	if o.Paper.W == 0 {
		o.Paper, _ = template.ParsePaper("A4")
	}
	var b bytes.Buffer
	if err := template.WritePDF(&b, "test", p.Pages(o)); err != nil {
		t.Fatal(err)
	}
	return outside.File(t, "plate.pdf", b.Bytes())
}

// The test piece is true to scale, measured in poppler's raster: the overall
// size of the plate's edges, which are the only thick black lines there.
func TestTestPieceIsTrue(t *testing.T) {
	s := settings(43.6)
	p := mustDesign(t, pillar(), s)
	pdf := pdfOf(t, p, PageOptions{Name: "pillar", Revision: 1})
	dpi := 300.0
	out := outside.Run(t, "pdftoppm", "-gray", "-r", fmt.Sprint(dpi), "-f", "1", "-l", "1", pdf)
	var w, h, most int
	if _, err := fmt.Fscanf(bytes.NewReader(out), "P5\n%d %d\n%d", &w, &h, &most); err != nil {
		t.Fatal(err)
	}
	img := &image.Gray{Pix: out[len(out)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)}
	mm := func(px int) float64 { return float64(px) / dpi * 25.4 }
	b := p.Plate.Outline.Bounds()
	row := func(y int) (first, last int) {
		first = -1
		for x := w / 10; x < w; x++ {
			if img.GrayAt(x, y).Y < 60 {
				if first < 0 {
					first = x
				}
				last = x
			}
		}
		return first, last
	}
	// The ring's highest point: the first dark row below the heading's rule.
	top, foot := 0, 0
	for y := int(32 / 25.4 * dpi); y < h*2/3; y++ {
		dark := 0
		for x := range w {
			if img.GrayAt(x, y).Y < 100 {
				dark++
			}
		}
		if mm(dark) > 2 && top == 0 {
			top = y
		}
		if mm(dark) > 2 && top > 0 && mm(y-top) < b.H()+1 {
			foot = y
		}
	}
	near(t, "height of the plate", mm(foot-top+1), b.H()+template.EdgeLine, 0.2)
	// Halfway between ear side and the ring's edge only the ring is there.
	y := top + int((b.H()/2-p.EarHalf-6)/25.4*dpi)
	first, last := row(y)
	d := b.H()/2 - float64(y-top)/dpi*25.4 + template.EdgeLine/2
	near(t, "chord of the ring", mm(last-first+1), 2*math.Sqrt(p.Ring*p.Ring/4-d*d)+template.EdgeLine, 0.3)
}

// Sheets: the test piece first, the shop's sheet behind it, what was checked
// at the end; for both sides two of each of the first.
func TestPagesInOrder(t *testing.T) {
	s := settings(43.6)
	s.Both = true
	survey := sailPanel()
	survey.Doubts = []string{"Two answers are as likely for H3."}
	pdf := pdfOf(t, mustDesign(t, survey, s), PageOptions{Name: "sail", Revision: 2})
	info := string(outside.Run(t, "pdfinfo", "-f", "1", "-l", "9", pdf))
	var sizes []string
	for _, m := range regexp.MustCompile(`size: +([0-9.]+) x ([0-9.]+)`).FindAllStringSubmatch(info, -1) {
		sizes = append(sizes, strings.Split(m[1], ".")[0]+"x"+strings.Split(m[2], ".")[0])
	}
	// A4 in points of 1/72 inch (ISO 216, ISO 32000-1).
	if got := strings.Join(sizes, " "); got != "595x841 841x595 595x841 841x595 595x841" {
		t.Errorf("sizes: %s", got)
	}
	for page, words := range map[int][]string{
		1: {"left side", "DOUBTFUL", "1:1", "revision 2", "airbag", "100 mm", "H1"},
		2: {"DOUBTFUL", "left side", "ISO 2768", "36.40", "21.60", "ø43.90", "R27.95", "fillets R3", "airbag", "never cut PVC"},
		3: {"right side, mirrored", "DOUBTFUL"},
		4: {"right side, mirrored", "DOUBTFUL"},
		5: {"common practice", "Peterson", "at least 9.00", "U95", "DOUBTFUL"},
	} {
		text := strings.Join(strings.Fields(string(outside.Run(t, "pdftotext", "-f", fmt.Sprint(page), "-l", fmt.Sprint(page), pdf, "-"))), " ")
		for _, w := range words {
			if !strings.Contains(text, w) {
				t.Errorf("page %d lacks %q: %s", page, w, text)
			}
		}
	}
}

// Nothing on the shop's sheet overlaps: no text lies on another, nor outside
// the border.
func TestShopSheetIsLegible(t *testing.T) {
	plates := variants(t)
	small := settings(30)
	small.EarWidth, small.ScrewHole = 8, 3.2
	plates["six close holes"] = mustDesign(t, madeUp(point{}, 34, point{X: 22, Y: 3}, point{X: 22, Y: 12}, point{X: 21, Y: -8}, point{X: -20, Y: 10}, point{X: -25, Y: -1}, point{X: -20, Y: -14}), small)
	plates["doubtful"] = mustDesign(t, dashPod(), settings(43.6))
	plates["doubtful"].Doubts = []string{"Two answers are as likely for H3: candidates C4 and C7 lie as well; choose with --pick.", "The photo is tilted by 19 degrees."}
	for name, c := range plates {
		for _, mirrored := range []bool{false, true} {
			page := c.shopSheet(PageOptions{Name: "panel", Revision: 1}, mirrored)
			border := template.Rect{X0: shopFiling, Y0: shopMargin, X1: 297 - shopMargin, Y1: 210 - shopMargin}
			var texts []template.Text
			for _, l := range page.Parts[0].Drawing.Layers {
				for _, s := range l.Shapes {
					if txt, ok := s.(template.Text); ok {
						if !border.Holds(txt.Bounds()) {
							t.Errorf("%s: %q lies outside the border", name, txt.S)
						}
						for _, o := range texts {
							if o.Bounds().Grow(-0.2).Overlaps(txt.Bounds().Grow(-0.2)) {
								t.Errorf("%s: %q lies on %q", name, txt.S, o.S)
							}
						}
						texts = append(texts, txt)
					}
				}
			}
		}
	}
}

// A plate too large for its paper is tiled, and its dimensioned sheet drawn
// at a smaller scale of ISO 5455.
func TestLargePlate(t *testing.T) {
	s := settings(120)
	p := mustDesign(t, madeUp(point{}, 130, point{X: -160}, point{X: 150, Y: 90}), s)
	pages := p.Pages(PageOptions{Name: "large", Paper: template.Paper{Name: "A4", W: 210, H: 297}})
	if len(pages) < 5 {
		t.Errorf("%d pages", len(pages))
	}
	found := false
	for _, l := range p.shopSheet(PageOptions{}, false).Parts[0].Drawing.Layers {
		for _, shape := range l.Shapes {
			if txt, ok := shape.(template.Text); ok && txt.S == "1:2" {
				found = true
			}
		}
	}
	if !found {
		t.Error("the sheet is not at 1:2")
	}
}

// A record read again makes the same plate; what is said later wins.
func TestRecord(t *testing.T) {
	s := settings(43.6)
	m, _ := FindMaterial("acrylic")
	s.UseMaterial(m)
	s.Thickness, s.Hold, s.Holes = 4, HoldLockTabs, []string{"H1", "H3"}
	survey := sailPanel()
	p := mustDesign(t, survey, s)
	b, err := p.Encode(survey, 3, "../photos/sail-panel.jpg")
	if err != nil {
		t.Fatal(err)
	}
	r, err := DecodeRecord(b)
	if err != nil {
		t.Fatal(err)
	}
	again := Defaults()
	if err := again.Read(r.Settings); err != nil {
		t.Fatal(err)
	}
	if fmt.Sprintf("%+v", again) != fmt.Sprintf("%+v", s) || r.Revision != 3 || r.Photo != "../photos/sail-panel.jpg" {
		t.Errorf("read %+v, want %+v", again, s)
	}
	if q := mustDesign(t, r.Survey, again); q.Plate.Area() != p.Plate.Area() {
		t.Error("the record makes another plate")
	}
	// A material sets its preset under what the file says itself.
	if err := again.Read([]byte(`{"material": "plywood", "kerf_mm": 0.15}`)); err != nil {
		t.Fatal(err)
	}
	if again.Thickness != 4 || again.LeastWall != 4 || again.Kerf != 0.15 || again.Material != "plywood" {
		t.Errorf("%+v", again)
	}
	for text, want := range map[string]string{
		`{"thikness_mm": 4}`: `unknown field "thikness_mm"`, `[1]`: "is not a file of settings",
		`{"material": "PVC"}`: "never cut it on a laser", `{"thickness_mm": "4"}`: "is not a file of settings",
	} {
		if err := again.Read([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", text, err)
		}
	}
	if !json.Valid(b) {
		t.Error("not JSON")
	}
}

func TestPicture(t *testing.T) {
	p := mustDesign(t, sailPanel(), settings(43.6))
	region := p.PictureRegion()
	img := image.NewRGBA(image.Rect(0, 0, int(region.W()*4), int(region.H()*4)))
	page := p.Picture("sail", &template.Picture{Image: img, Rect: region})
	var pic template.Picture
	for _, s := range page.Parts[0].Drawing.Layers[0].Shapes {
		pic = s.(template.Picture)
	}
	// On black, the tint shows on the material and nowhere else.
	at := func(q point) bool {
		q = q.Add(p.Centre)
		r, _, _, _ := pic.Image.At(int((q.X-region.X0)*4), int((region.Y1-q.Y)*4)).RGBA()
		return r > 0
	}
	for q, want := range map[point]bool{{}: false, {X: 0, Y: 25}: true, p.holes[0].at: false, p.holes[0].at.Mul(0.85): true, {X: 45, Y: -30}: false} {
		if at(q) != want {
			t.Errorf("tinted at %v: %v, want %v", q, !want, want)
		}
	}
}
