package template

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"trimscribe/calib"
	"trimscribe/template/internal/outside"
)

// shapedPanel has an oblong and a D-shaped hole, an oval grille and a tweeter's body.
func shapedPanel() *calib.Survey {
	s := smallPanel()
	turn := func(deg float64) *float64 { return &deg }
	s.Features[0].Shape, s.Features[0].Widths, s.Features[0].Turn = calib.ShapeSlot, &[2]float64{7.4, 4.21}, turn(155)
	s.Features[1].Shape, s.Features[1].Widths, s.Features[1].Turn = calib.ShapeD, &[2]float64{6.2, 5.3}, turn(90)
	s.Features[1].Diameter = 5.3
	s.Features[2].Shape, s.Features[2].Widths, s.Features[2].Turn = calib.ShapeOval, &[2]float64{62, 44.0319}, turn(18)
	s.Features = append(s.Features, calib.Feature{ID: "B", Kind: calib.KindTweeter, X: 85.7, Y: 12.5, Z: 1.5, Diameter: 43.6, U95: 0.05, DiameterU95: 0.07})
	s.Tweeter.From = "tweeter body"
	return s
}

// ezdxf (Debian's python3-ezdxf) reads our outlines' bulges as arcs: their areas and
// widths are the closed forms of the shapes that were put in.
func TestDXFOutlinesAreTheShapes(t *testing.T) {
	var b bytes.Buffer
	if err := WriteDXF(&b, mustTemplate(t, shapedPanel(), Options{}).Drawing); err != nil {
		t.Fatal(err)
	}
	var got []struct {
		Layer       string
		Area        float64
		Long, Short float64
	}
	outside.Python(t, "ezdxf", `
import sys, json, math, ezdxf
from ezdxf import path
doc = ezdxf.readfile(sys.argv[1])
out = []
for e in doc.modelspace().query("LWPOLYLINE"):
    p = [(v.x, v.y) for v in path.make_path(e).flattening(0.0005)]
    area = sum(a[0]*b[1] - b[0]*a[1] for a, b in zip(p, p[1:] + p[:1]))/2
    widths = []
    for i in range(720):
        c, s = math.cos(i*math.pi/720), math.sin(i*math.pi/720)
        d = [x*c + y*s for x, y in p]
        widths.append(max(d) - min(d))
    out.append({"Layer": e.dxf.layer, "Area": area, "Long": max(widths), "Short": min(widths)})
print(json.dumps(out))
`, &got, outside.File(t, "shapes.dxf", b.Bytes()))
	half := math.Acos(2.2 / 3.1)
	want := map[string][3]float64{ // area, long and short width
		"slot": {math.Pi*4.21*4.21/4 + (7.4-4.21)*4.21, 7.4, 4.21},
		"D":    {math.Pi*3.1*3.1 - 3.1*3.1/2*(2*half-math.Sin(2*half)), 6.2, 5.3},
		"oval": {math.Pi * 31 * 44.0319 / 2, 62, 44.0319},
	}
	layers := map[string]string{"slot": LayerHoles, "D": LayerHoles, "oval": LayerGrille}
	for name, w := range want {
		found := false
		for _, g := range got {
			found = found || g.Layer == layers[name] && math.Abs(g.Area/w[0]-1) < 1e-3 && math.Abs(g.Long-w[1]) < 2e-3 && math.Abs(g.Short-w[2]) < 2e-3
		}
		if !found {
			t.Errorf("%s: %v is not among %+v", name, w, got)
		}
	}
}

// The sheet names both widths of what is not round, and the tweeter's body.
func TestSheetsTellOfShapes(t *testing.T) {
	s := mustTemplate(t, shapedPanel(), Options{})
	var b bytes.Buffer
	if err := WriteSVG(&b, s.Drawing); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"7.40 × 4.21", "6.20 × 5.30", "62.00 × 44.03", "ø43.60"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no label says %s", want)
		}
	}
	if strings.Contains(b.String(), `r="2.105"`) {
		t.Error("the slot is drawn as a circle too")
	}
}
