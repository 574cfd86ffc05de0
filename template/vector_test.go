package template

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"image"
	"image/png"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"trimscribe/calib"
	"trimscribe/template/internal/outside"
)

// sampler is a drawing of one shape of each kind, with full digits.
func sampler() *Drawing {
	d := &Drawing{}
	cut := d.NewLayer("cut", 0.2, Ink)
	cut.Add(Line{calib.Point{X: 1.0 / 3, Y: -2.0 / 3}, calib.Point{X: 10, Y: 5}},
		Circle{calib.Point{X: math.Pi, Y: -math.E}, math.Sqrt2},
		Arc{calib.Point{X: 20, Y: 3}, 5, -1, 2.5},
		Polyline{Closed: true, Vertices: []Vertex{{calib.Point{}, 0.3}, {calib.Point{X: 30}, 0}, {calib.Point{X: 30, Y: 20}, -0.7}, {calib.Point{Y: 20}, 1}}})
	dashed := d.NewLayer("dashed", 0.13, Blue, Chain...)
	dashed.Add(Line{calib.Point{X: -5}, calib.Point{X: 40}})
	solid := d.NewLayer("solid", 0, Red)
	solid.Add(Fill{[][]calib.Point{{{X: 50}, {X: 60}, {X: 60, Y: 10}, {X: 50, Y: 10}}, {{X: 52, Y: 2}, {X: 58, Y: 2}, {X: 58, Y: 8}, {X: 52, Y: 8}}}})
	words := d.NewLayer("words", 0.2, Ink)
	words.Add(Text{At: calib.Point{X: 5, Y: 25}, Height: 3, S: `H1 ø4.2 <&"> π`, Bold: true},
		Text{At: calib.Point{X: 5, Y: 30}, Height: 2.5, S: "turned", Align: Right, Angle: math.Pi / 6})
	under := d.NewLayer("picture", 0, Ink)
	under.Add(Picture{plainPicture(10, 10, image.Rect(0, 0, 5, 5)), Rect{0, 0, 10, 10}})
	return d
}

type dxfCircle struct {
	Layer   string
	X, Y, R float64
}

const readDXF = `
import sys, json, ezdxf
from ezdxf import recover
from ezdxf.lldxf.encoding import decode_dxf_unicode as decode
doc, audit = recover.readfile(sys.argv[1])
strict = ezdxf.readfile(sys.argv[1])
more = strict.audit()
msp = strict.modelspace()
bulges = []
for p in msp.query("LWPOLYLINE"):
    pts = list(p.get_points("xyb"))
    for a, b in zip(pts, pts[1:] + pts[:1]):
        if a[2]:
            c, s, e, r = ezdxf.math.bulge_to_arc(a[:2], b[:2], a[2])
            bulges.append([c[0], c[1], r])
print(json.dumps({
  "Errors": [str(e.message) for e in audit.errors + more.errors],
  "Fixes": [str(e.message) for e in audit.fixes + more.fixes],
  "Units": strict.units, "Version": strict.dxfversion,
  "Layers": [l.dxf.name for l in strict.layers],
  "Kinds": sorted(e.dxftype() for e in msp),
  "Circles": [{"Layer": e.dxf.layer, "X": e.dxf.center.x, "Y": e.dxf.center.y, "R": e.dxf.radius} for e in msp.query("CIRCLE")],
  "Arcs": [[e.dxf.center.x, e.dxf.center.y, e.dxf.radius, e.start_point.x, e.start_point.y, e.end_point.x, e.end_point.y] for e in msp.query("ARC")],
  "Bulges": bulges,
  "Lines": [{"Layer": p.dxf.layer, "Closed": p.closed, "Points": [list(q) for q in p.get_points("xy")]} for p in msp.query("LWPOLYLINE")],
  "Texts": [decode(e.plain_text()) for e in msp.query("TEXT")],
  "Dashes": [t.dxf.name for t in strict.linetypes],
  "HatchLoops": [len(p.vertices) for h in msp.query("HATCH") for p in h.paths],
}))
`

type dxfLine struct {
	Layer  string
	Closed bool
	Points [][2]float64
}

type dxfContent struct {
	Errors, Fixes []string
	Units         int
	Version       string
	Layers, Kinds []string
	Circles       []dxfCircle
	Arcs          [][]float64
	Bulges        [][]float64
	Lines         []dxfLine
	Texts         []string
	Dashes        []string
	HatchLoops    []int
}

func readBackDXF(t *testing.T, d *Drawing) dxfContent {
	t.Helper()
	var b bytes.Buffer
	if err := WriteDXF(&b, d); err != nil {
		t.Fatal(err)
	}
	for i, c := range b.Bytes() {
		if c > 126 {
			t.Fatalf("byte %d is not ASCII", i)
		}
	}
	var got dxfContent
	outside.Python(t, "ezdxf", readDXF, &got, outside.File(t, "test.dxf", b.Bytes()))
	if len(got.Errors)+len(got.Fixes) > 0 {
		t.Errorf("ezdxf's audit: errors %v, fixes %v", got.Errors, got.Fixes)
	}
	if got.Units != 4 || got.Version != "AC1015" {
		t.Errorf("units %d, version %s", got.Units, got.Version)
	}
	return got
}

// Read back by ezdxf (Debian's python3-ezdxf): sound, in millimetres, and the
// circles are the survey's to 1e-6 mm, as circles.
func TestDXFHoldsTheSurvey(t *testing.T) {
	for _, s := range []*calib.Survey{smallPanel(), largePanel(), crowdedPanel()} {
		got := readBackDXF(t, mustTemplate(t, s, Options{}).Drawing)
		for _, f := range s.Features {
			layer := map[string]string{calib.KindHole: LayerHoles, calib.KindGrille: LayerGrille}[f.Kind]
			found := false
			for _, c := range got.Circles {
				found = found || c.Layer == layer && math.Abs(c.X-f.X) < 1e-6 && math.Abs(c.Y-f.Y) < 1e-6 && math.Abs(c.R-f.Diameter/2) < 1e-6
			}
			if !found {
				t.Errorf("%s is not on layer %s of the DXF: %+v", f.ID, layer, got.Circles)
			}
		}
		// Beyond the features only the ring round the tweeter's centre.
		if len(got.Circles) != len(s.Features)+1 {
			t.Errorf("%d circles for %d features", len(got.Circles), len(s.Features))
		}
	}
}

// Traced edges are polylines on a layer of their own, where the survey has
// them, as ezdxf reads them; without any there is no such layer.
func TestDXFHoldsTheEdges(t *testing.T) {
	s := doubtfulPanel()
	got := readBackDXF(t, mustTemplate(t, s, Options{}).Drawing)
	if len(got.Lines) != len(s.Traces) {
		t.Fatalf("%d polylines for %d edges", len(got.Lines), len(s.Traces))
	}
	for i, trace := range s.Traces {
		line := got.Lines[i]
		if line.Layer != LayerEdges || line.Closed != trace.Closed || len(line.Points) != len(trace.Points) {
			t.Errorf("%s: %+v", trace.ID, line)
			continue
		}
		for k, q := range trace.Points {
			near(t, trace.ID, line.Points[k][0], q[0], 1e-6)
			near(t, trace.ID, line.Points[k][1], q[1], 1e-6)
		}
	}
	if mustTemplate(t, smallPanel(), Options{}).Drawing.Layer(LayerEdges) != nil {
		t.Error("a layer of edges without an edge")
	}
}

// Every kind of shape comes through DXF; arcs and bulges are compared with
// ezdxf's own reading of them.
func TestDXFHoldsEveryShape(t *testing.T) {
	got := readBackDXF(t, sampler())
	want := "ARC CIRCLE HATCH LINE LINE LWPOLYLINE TEXT TEXT"
	if k := strings.Join(got.Kinds, " "); k != want {
		t.Errorf("got %s, want %s", k, want)
	}
	if l := strings.Join(got.Layers, " "); !strings.HasPrefix(l, "0 cut dashed solid words") {
		t.Errorf("layers %s", l)
	}
	if len(got.Texts) != 2 || got.Texts[0] != `H1 Ø4.2 <&"> π` { // %%c is the diameter sign
		t.Errorf("texts %q", got.Texts)
	}
	if len(got.HatchLoops) != 2 || got.HatchLoops[0] < 4 {
		t.Errorf("hatch loops %v", got.HatchLoops)
	}
	if !strings.Contains(strings.Join(got.Dashes, " "), "dash-dashed") {
		t.Errorf("line types %v", got.Dashes)
	}
	a := Arc{calib.Point{X: 20, Y: 3}, 5, -1, 2.5}
	for i, v := range []float64{20, 3, 5, a.at(-1).X, a.at(-1).Y, a.at(2.5).X, a.at(2.5).Y} {
		near(t, "arc", got.Arcs[0][i], v, 1e-9)
	}
	i := 0
	for _, l := range sampler().Layers {
		for _, s := range l.Shapes {
			if p, ok := s.(Polyline); ok {
				p.walk(func(_, _ calib.Point) {}, func(a Arc, _ bool) {
					near(t, "bulge's centre x", a.Centre.X, got.Bulges[i][0], 1e-9)
					near(t, "bulge's centre y", a.Centre.Y, got.Bulges[i][1], 1e-9)
					near(t, "bulge's radius", a.R, got.Bulges[i][2], 1e-9)
					i++
				})
			}
		}
	}
	if i != len(got.Bulges) {
		t.Errorf("%d arcs here, %d there", i, len(got.Bulges))
	}
}

// The SVG's circles, read as XML, are the survey's to 1e-3 mm with y turned;
// the file's units are millimetres because its size in mm is its viewBox.
func TestSVGHoldsTheSurvey(t *testing.T) {
	s := crowdedPanel()
	var b bytes.Buffer
	if err := WriteSVG(&b, mustTemplate(t, s, Options{}).Drawing); err != nil {
		t.Fatal(err)
	}
	type circle struct{ x, y, r float64 }
	circles := map[string][]circle{} // by the group's id
	group := ""
	dec := xml.NewDecoder(&b)
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		el, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		attr := map[string]string{}
		for _, a := range el.Attr {
			attr[a.Name.Local] = a.Value
		}
		f := func(name string) float64 { v, _ := strconv.ParseFloat(attr[name], 64); return v }
		switch el.Name.Local {
		case "svg":
			box := strings.Fields(attr["viewBox"])
			if attr["width"] != box[2]+"mm" || attr["height"] != box[3]+"mm" {
				t.Errorf("%s x %s for the viewBox %v", attr["width"], attr["height"], box)
			}
		case "g":
			group = attr["id"]
		case "circle":
			circles[group] = append(circles[group], circle{f("cx"), f("cy"), f("r")})
		}
		if attr["transform"] != "" {
			t.Errorf("%s is transformed", el.Name.Local)
		}
	}
	var holes int
	for _, f := range s.Features {
		at := circles[LayerGrille]
		i := 0
		if f.Kind == calib.KindHole {
			at, i = circles[LayerHoles], holes
			holes++
		}
		if i >= len(at) {
			t.Fatalf("%s is missing", f.ID)
		}
		near(t, f.ID+" x", at[i].x, f.X, 1e-3)
		near(t, f.ID+" y", at[i].y, -f.Y, 1e-3)
		near(t, f.ID+" r", at[i].r, f.Diameter/2, 1e-3)
	}
}

// librsvg (Debian's librsvg2-bin) draws our SVG as poppler draws our PDF: so
// arcs, bulges, fills and pictures turn the same way in both. Text is left out,
// as its font may not be installed.
func TestSVGAndPDFAndPNGAgree(t *testing.T) {
	d := sampler()
	d.Layer("words").Shapes = nil
	b := d.Bounds().Grow(2)
	w, h := math.Ceil(b.X1)-math.Floor(b.X0), math.Ceil(b.Y1)-math.Floor(b.Y0)
	page := Page{W: w, H: h, Parts: []Part{{Drawing: d, At: calib.Point{X: -math.Floor(b.X0), Y: -math.Floor(b.Y0)}}}}
	const dpi = 254 // 10 px/mm

	var svg, ours bytes.Buffer
	if err := WriteSVG(&svg, d); err != nil {
		t.Fatal(err)
	}
	if err := WritePNG(&ours, page, dpi); err != nil {
		t.Fatal(err)
	}
	pdf := poppler(t, pdfFile(t, []Page{page}), 1, dpi, Rect{0, 0, w, h})
	theirs, err := png.Decode(bytes.NewReader(outside.Run(t, "rsvg-convert", "-d", "254", "-p", "254", "-b", "white", outside.File(t, "test.svg", svg.Bytes()))))
	if err != nil {
		t.Fatal(err)
	}
	mine, err := png.Decode(&ours)
	if err != nil {
		t.Fatal(err)
	}
	// The pictures' edges differ by smoothing; lines must not be where the other has none.
	dark := func(img image.Image, x, y int) bool { r, g, b, _ := img.At(x, y).RGBA(); return min(r, g, b) < 0xa000 }
	nearDark := func(img image.Image, x, y int) bool {
		for j := -3; j <= 3; j++ {
			for i := -3; i <= 3; i++ {
				if p := image.Pt(x+i, y+j); p.In(img.Bounds()) && dark(img, p.X, p.Y) {
					return true
				}
			}
		}
		return false
	}
	for _, other := range []struct {
		name string
		image.Image
	}{{"SVG", theirs}, {"PNG", mine}} {
		if size := other.Bounds().Size(); size != pdf.Bounds().Size() {
			t.Fatalf("%s is %v, the PDF %v", other.name, size, pdf.Bounds().Size())
		}
		missed, drawn := 0, 0
		for y := range pdf.Bounds().Dy() {
			for x := range pdf.Bounds().Dx() {
				a, b := dark(pdf, x, y), dark(other, x, y)
				if a || b {
					drawn++
				}
				if a && !nearDark(other, x, y) || b && !nearDark(pdf, x, y) {
					missed++
				}
			}
		}
		if missed > 5 || drawn < 3000 {
			t.Errorf("%s: %d of %d dark pixels have no match in the other drawing", other.name, missed, drawn)
		}
	}
}

// The PNG records its resolution in a pHYs chunk (ISO/IEC 15948, 11.3.5.3),
// before the image's data, and has the pixels the page makes at it.
func TestPNGRecordsItsResolution(t *testing.T) {
	s := mustTemplate(t, smallPanel(), Options{})
	var b bytes.Buffer
	if err := WritePNG(&b, s.Preview, 150); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err) // also of a wrong checksum
	}
	near(t, "width", float64(img.Bounds().Dx()), s.Preview.W/25.4*150, 0.51)
	raw := b.Bytes()
	i := bytes.Index(raw, []byte("pHYs"))
	if i < 0 || i > bytes.Index(raw, []byte("IDAT")) {
		t.Fatal("no pHYs chunk before the data")
	}
	if x, y := binary.BigEndian.Uint32(raw[i+4:]), binary.BigEndian.Uint32(raw[i+8:]); x != 5906 || y != 5906 || raw[i+12] != 1 {
		t.Errorf("%d x %d per unit %d, want 5906 per metre for 150 dpi", x, y, raw[i+12])
	}
}
