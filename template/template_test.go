package template

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"trimscribe/calib"
)

// variants are templates over all that changes a layout.
func variants(t *testing.T) map[string]*Sheets {
	out := map[string]*Sheets{}
	surveys := map[string]*calib.Survey{"small": smallPanel(), "large": largePanel(), "doubtful": doubtfulPanel(), "crowded": crowdedPanel()}
	doubtfulLarge := largePanel()
	doubtfulLarge.Doubts = strings.Split(strings.Repeat("A hole was expected in the upper left and was not found there. ", 9), ". ")[:9]
	surveys["large and doubtful"] = doubtfulLarge
	for name, s := range surveys {
		for _, paper := range []string{"A4", "letter", "A3", "a4-landscape", "tabloid", "a0"} {
			for _, o := range []Options{{}, {Units: Inches, PrintScale: [2]float64{0.95, 1.05}}} {
				o.Paper = mustPaper(t, paper)
				out[name+" on "+paper+" in "+o.Units.String()] = mustTemplate(t, s, o)
			}
		}
	}
	return out
}

// What is on each page is readable: inside the margins, at least 2.5 mm tall
// capitals, and no text over another or over the 1:1 drawing.
func TestNothingIsCrampedOrCutOff(t *testing.T) {
	for name, sheets := range variants(t) {
		for i, p := range append(sheets.Pages, sheets.Preview) {
			sx, sy := p.scale()
			inside := Rect{sheetMargin, sheetMargin, p.W*sx - sheetMargin, p.H*sy - sheetMargin}.Grow(0.01)
			var boxes []Rect
			var words []string
			var drawing *Rect
			for _, part := range p.Parts {
				for _, l := range part.Drawing.Layers {
					for _, s := range l.Shapes {
						b := s.Bounds().Move(part.At)
						text, isText := s.(Text)
						if isText && text.Height < 2.5-1e-9 {
							t.Errorf("%s, page %d: %q is %.2f mm tall", name, i+1, text.S, text.Height)
						}
						if part.Clip != nil {
							continue
						}
						if isText {
							b.Y0 += 0.7 * SmallText * 0.3 // few letters go down all the way
							if part.Drawing != sheets.Drawing {
								boxes, words = append(boxes, b), append(words, text.S)
							}
						}
						if !inside.Holds(b) {
							t.Errorf("%s, page %d: %T %v %v is outside %v", name, i+1, s, text.S, b, inside)
						}
					}
				}
				if part.Drawing == sheets.Drawing {
					b := sheets.Drawing.Bounds().Move(part.At)
					if part.Clip != nil {
						b = *part.Clip
					}
					drawing = &b
				}
			}
			for j, a := range boxes {
				if drawing != nil && a.Overlaps(*drawing) {
					t.Errorf("%s, page %d: %q lies on the drawing", name, i+1, words[j])
				}
				for k, b := range boxes[:j] {
					if a.Overlaps(b) {
						t.Errorf("%s, page %d: %q lies on %q", name, i+1, words[j], words[k])
					}
				}
			}
		}
	}
}

// Labels keep off the lines, at least where there is room as here.
func TestLabelsKeepOffTheLines(t *testing.T) {
	for _, s := range []*calib.Survey{smallPanel(), largePanel(), doubtfulPanel(), crowdedPanel()} {
		d := mustTemplate(t, s, Options{}).Drawing
		for _, shape := range d.Layer(LayerLabels).Shapes {
			box := shape.Bounds()
			if n := crossings(d, box); n != 1 { // itself
				t.Errorf("%s, %q: %d things cross it", s.Photos[0].File, shape.(Text).S, n-1)
			}
		}
	}
}

// Every sheet says what a sheet must say.
func TestWhatTheSheetsSay(t *testing.T) {
	say := func(name string, pages []Page, each, once []string) {
		t.Helper()
		var all []string
		for i, p := range pages {
			for _, part := range each {
				if !contains(texts(p), part) {
					t.Errorf("%s: page %d of %d does not say %q", name, i+1, len(pages), part)
				}
			}
			all = append(all, texts(p)...)
		}
		for _, part := range once {
			if !strings.Contains(strings.Join(all, " "), part) {
				t.Errorf("%s does not say %q", name, part)
			}
		}
	}
	every := []string{"Print at 100 % (no fit to page)", "100 mm", "tilt 3.1°", "402 mm away", "59.70 × 60.20 mm"}
	tables := []string{"H1 – H2", "85.28", "H2 – T", "ø44.03", "Cautions", "airbag", "PVC", "battery"}
	say("small", mustTemplate(t, smallPanel(), Options{}).Pages, append(every, "sail-panel.jpg"), tables)
	large := mustTemplate(t, largePanel(), Options{}).Pages
	say("large", large, append(every, "tractor-cab-pillar.jpg"), []string{"A1", "A2", "B1", "B2", "260.06", "U95"})
	say("inches", mustTemplate(t, smallPanel(), Options{Units: Inches}).Pages, []string{"100 mm", "4 in", "2.350 × 2.370 in"}, []string{"3.357", "0.166"})
	doubtful := doubtfulPanel()
	for _, p := range []string{"A4", "A2"} {
		say("doubtful", mustTemplate(t, doubtful, Options{Paper: mustPaper(t, p)}).Pages, []string{"DOUBTFUL: Two answers"}, doubtful.Doubts)
	}
	say("own cautions", mustTemplate(t, smallPanel(), Options{Cautions: []string{"Mind the dog."}}).Pages, nil, []string{"Mind the dog."})
	told := smallPanel()
	told.Distances[1].U95, told.Distances[1].Budget = 0.5, calib.Budget{calib.GroupSize: 0.15, calib.GroupLight: 0.2, calib.GroupRim: 0.0001}
	say("budget", mustTemplate(t, told, Options{Budget: true}).Pages, nil,
		[]string{"made of (mm)", told.Distances[1].From + " – " + told.Distances[1].To + " is made", "size", "0.150", "36 %", "64 %"})
	if contains(texts(mustTemplate(t, told, Options{}).Pages[0]), "made of") {
		t.Error("a budget that was not asked for")
	}
	for _, s := range []*calib.Survey{smallPanel(), largePanel()} {
		for _, p := range mustTemplate(t, s, Options{}).Pages {
			if contains(texts(p), "DOUBTFUL") {
				t.Error("a sound survey is called doubtful")
			}
		}
	}
}

// Sheets are turned only to save some, and never against the user's word.
func TestTurningSavesSheets(t *testing.T) {
	wide := madeUp("wide.jpg", 4, []calib.Point{{X: -110, Y: 0}, {X: 110, Y: 0}}, calib.Point{}, 50)
	if p := mustTemplate(t, wide, Options{}).Pages; p[0].W < p[0].H || len(p) != 1 {
		t.Errorf("a drawing 240 mm wide is laid on %d sheets of %g x %g mm", len(p), p[0].W, p[0].H)
	}
	if p := mustTemplate(t, wide, Options{Paper: mustPaper(t, "a4-portrait")}).Pages; p[0].W > p[0].H || len(p) < 3 {
		t.Errorf("portrait was asked for: %d sheets of %g x %g mm", len(p), p[0].W, p[0].H)
	}
	if p := mustTemplate(t, smallPanel(), Options{}).Pages; p[0].W > p[0].H {
		t.Error("a small drawing was turned for nothing")
	}
}

// Tiles, over drawings of any size: together they show all of the drawing,
// neighbours share the overlap, and a hole is whole on at least one.
func TestTilesCoverTheDrawing(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for range 60 {
		var holes []calib.Point
		for range 2 + rnd.IntN(6) {
			holes = append(holes, calib.Point{X: rnd.Float64()*900 - 450, Y: rnd.Float64()*900 - 450})
		}
		s := madeUp("p.jpg", 3+rnd.Float64()*5, holes, calib.Point{X: rnd.Float64()*50 - 25, Y: 3}, 20+rnd.Float64()*90)
		sheets := mustTemplate(t, s, Options{})
		var tiles []Part
		for _, p := range sheets.Pages {
			for _, part := range p.Parts {
				if part.Drawing == sheets.Drawing && part.Clip != nil {
					tiles = append(tiles, part)
				}
			}
		}
		if len(tiles) < 2 {
			continue // it fitted
		}
		window := func(p Part) Rect { return p.Clip.Move(p.At.Mul(-1)) }
		b := sheets.Drawing.Bounds()
		for range 300 {
			q := calib.Point{X: b.X0 + rnd.Float64()*b.W(), Y: b.Y0 + rnd.Float64()*b.H()}
			if !shown(tiles, window, Rect{q.X, q.Y, q.X, q.Y}) {
				t.Fatalf("%v is on no tile", q)
			}
		}
		for _, f := range s.Features {
			if f.Kind == calib.KindHole && !shown(tiles, window, squareRound(centre(f), f.Diameter/2)) {
				t.Errorf("%s, ø%.1f, is whole on no tile", f.ID, f.Diameter)
			}
		}
		// Each tile after the first shares a strip of the overlap with one before.
		for i, p := range tiles[1:] {
			shares := false
			for _, q := range tiles[:i+1] {
				a, b := window(p), window(q)
				x := math.Min(a.X1, b.X1) - math.Max(a.X0, b.X0)
				y := math.Min(a.Y1, b.Y1) - math.Max(a.Y0, b.Y0)
				shares = shares || math.Abs(math.Min(x, y)-overlap) < 1e-6
			}
			if !shares {
				t.Errorf("tile %d shares no strip of %g mm with one before", i+2, overlap)
			}
		}
	}
}

func shown(tiles []Part, window func(Part) Rect, r Rect) bool {
	for _, p := range tiles {
		if window(p).Holds(r) {
			return true
		}
	}
	return false
}

// Joining marks are where the neighbour shows them too: on every seam at least
// two, whole on both tiles.
func TestJoiningMarksAreOnBothTiles(t *testing.T) {
	sheets := mustTemplate(t, largePanel(), Options{})
	onTiles := map[calib.Point]int{}
	for _, p := range sheets.Pages {
		for _, part := range p.Parts {
			l := part.Drawing.Layer("joining-marks")
			if l == nil {
				continue
			}
			win := part.Clip.Move(part.At.Mul(-1))
			for _, s := range l.Shapes {
				if c, ok := s.(Circle); ok && win.Holds(c.Bounds()) {
					onTiles[c.Centre]++
				}
			}
		}
	}
	// Two by two tiles meet along four seams.
	if len(onTiles) != 8 {
		t.Errorf("%d marks, want 8", len(onTiles))
	}
	for c, n := range onTiles {
		if n != 2 {
			t.Errorf("the mark at %v is on %d tiles", c, n)
		}
	}
}

// The seam of two tiles as poppler draws it: the strip both show is the same
// picture to a pixel's smoothing.
func TestTilesAgreeOnWhatTheyShare(t *testing.T) {
	sheets := mustTemplate(t, largePanel(), Options{})
	pdf := pdfFile(t, sheets.Pages)
	const dpi = 254 // 10 px/mm
	left, right := partOf(t, sheets.Pages[1], sheets.Drawing), partOf(t, sheets.Pages[2], sheets.Drawing)
	strip := func(page int, p Part) raster {
		x := right.Clip.X0 - right.At.X + p.At.X // where tile A2's window begins, on this page
		h := sheets.Pages[page-1].H
		return poppler(t, pdf, page, dpi, Rect{x + 0.5, h - p.Clip.Y1 + 0.5, x + overlap - 0.5, h - p.Clip.Y0 - 0.5})
	}
	a, b := strip(2, left), strip(3, right)
	if a.Rect != b.Rect {
		t.Fatalf("strips of %v and %v", a.Rect, b.Rect)
	}
	dark, astray := 0, 0
	for y := 2; y < a.Rect.Dy()-2; y++ {
		for x := 2; x < a.Rect.Dx()-2; x++ {
			if a.GrayAt(x, y).Y > 100 {
				continue
			}
			dark++
			near := false
			for j := -2; j <= 2; j++ {
				for i := -2; i <= 2; i++ {
					near = near || b.GrayAt(x+i, y+j).Y < 180
				}
			}
			if !near {
				astray++
			}
		}
	}
	if dark < 500 || astray > 0 {
		t.Errorf("%d of %d dark pixels of A1's strip are not on A2's", astray, dark)
	}
}

func TestTemplateRefusesWhatItCannotDraw(t *testing.T) {
	bad := func(change func(*calib.Survey)) *calib.Survey {
		s := smallPanel()
		change(s)
		return s
	}
	for want, s := range map[string]*calib.Survey{
		"no circle": bad(func(s *calib.Survey) { s.Features = nil }),
		"circle H1": bad(func(s *calib.Survey) { s.Features[0].X = math.NaN() }),
		"circle H2": bad(func(s *calib.Survey) { s.Features[1].Diameter = 0 }),
		"circle G":  bad(func(s *calib.Survey) { s.Features[2].Y = 1e7 }),
		"edge E7": bad(func(s *calib.Survey) {
			s.Traces = []calib.Trace{{ID: "E7", Points: [][2]float64{{0, 0}, {0, math.Inf(1)}}}}
		}),
	} {
		if _, err := Template(s, Options{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
}

// Surveys with little in them: no grille, no tweeter, no photo, no distances.
func TestSparseSurveysAreDrawn(t *testing.T) {
	s := &calib.Survey{Features: []calib.Feature{{ID: "H1", Kind: calib.KindHole, Diameter: 4}}}
	if sheets := mustTemplate(t, s, Options{}); len(sheets.Pages) != 1 || len(sheets.Drawing.Layer(LayerHoles).Shapes) != 1 {
		t.Error("a lone hole is not drawn on one page")
	}
	s = smallPanel()
	s.Tweeter = nil
	if d := mustTemplate(t, s, Options{}).Drawing; len(d.Layer(LayerTweeter).Shapes) != 0 || len(d.Layer(LayerCrosses).Shapes) != 6 {
		t.Error("without a tweeter's centre, the holes and the grille keep a cross each")
	}
}

// A block that finds no room in the column it comes to, but in one before, saves a sheet.
func TestBlocksFillGaps(t *testing.T) {
	rows := func(n int) Block { return table{"t", []string{"a"}, make([][]string, n)} }
	blocks := []Block{rows(5), rows(15), rows(3)}
	placed, used := flow(blocks, 60, blocks[1].height(60)+1)
	if used != 2 || placed[2].column != 0 || placed[2].top < blocks[0].height(60) {
		t.Errorf("%d columns, the last block in %d at %g", used, placed[2].column, placed[2].top)
	}
}

// What nobody told is not said to be known to 0.00 mm.
func TestUntoldHeightsAreNotExact(t *testing.T) {
	s := smallPanel()
	for i := range s.Features {
		s.Features[i].HeightSource = calib.HeightAssumed
	}
	if got := heightTables(s, Millimetres); got != nil {
		t.Errorf("none told: %v", got)
	}
	g := &s.Features[2]
	g.Z, g.ZU95, g.HeightSource = 3, 0.2, calib.HeightGiven
	want := [][]string{{"G", "3.00", "0.20"}, {"H1, H2", "as the square", "not told"}}
	if got := heightTables(s, Millimetres)[0].(table).rows; !reflect.DeepEqual(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}
