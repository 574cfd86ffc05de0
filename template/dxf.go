package template

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"trimscribe/calib"
)

// WriteDXF writes a drawing as ASCII DXF R2000 (AC1015) in millimetres, in the
// drawing's own coordinates and at full precision, each layer a layer. Pictures
// are left out: DXF can only point to image files. The structure follows
// Autodesk's published DXF reference.
func WriteDXF(w io.Writer, d *Drawing) error {
	var f dxfFile
	f.header(d.Bounds())
	f.tables(d.Layers)
	f.blocks()
	f.section("ENTITIES")
	for _, l := range d.Layers {
		for _, s := range l.Shapes {
			f.shape(l.Name, s)
		}
	}
	f.pair(0, "ENDSEC")
	f.objects()
	f.pair(0, "EOF")
	_, err := w.Write(f.bytes())
	return err
}

// dxfFile is a DXF file being written: pairs of a group code and a value, each
// on its own line. Objects refer to one another by handles.
type dxfFile struct {
	b    bytes.Buffer
	next int // handles given out, beyond the fixed ones
}

// The handles that others refer to. Those given out follow after.
const (
	hRoot = iota + 1
	hModelSpace
	hPaperSpace
	hModelLayout
	hPaperLayout
	hLayouts
	hGroups
	hPlotStyles
	hNormalStyle
	hFirstFree
)

// seedMark stands for the first unused handle, known only at the end. It is
// as wide as a handle of a large drawing.
const seedMark = "FFFFFFF"

func (f *dxfFile) bytes() []byte {
	seed := fmt.Sprintf("%X", hFirstFree+f.next)
	return bytes.Replace(f.b.Bytes(), []byte(seedMark), []byte(seed), 1)
}

// pair writes one group.
func (f *dxfFile) pair(code int, value any) {
	if v, ok := value.(float64); ok {
		value = strconv.FormatFloat(v, 'f', -1, 64)
	}
	fmt.Fprintf(&f.b, "%3d\n%v\n", code, value)
}

// pairs writes groups: code, value, code, value.
func (f *dxfFile) pairs(codeValue ...any) {
	for i := 0; i < len(codeValue); i += 2 {
		f.pair(codeValue[i].(int), codeValue[i+1])
	}
}

func (f *dxfFile) point(code int, p calib.Point) {
	f.pairs(code, p.X, code+10, p.Y, code+20, 0)
}

func (f *dxfFile) section(name string) { f.pairs(0, "SECTION", 2, name) }

func (f *dxfFile) newHandle() string {
	f.next++
	return handle(hFirstFree + f.next - 1)
}

func handle(n int) string { return fmt.Sprintf("%X", n) }

func (f *dxfFile) header(ext Rect) {
	if ext.Empty() {
		ext = Rect{}
	}
	f.section("HEADER")
	f.pairs(9, "$ACADVER", 1, "AC1015")
	f.pairs(9, "$DWGCODEPAGE", 3, "ANSI_1252")
	f.pair(9, "$EXTMIN")
	f.point(10, calib.Point{X: ext.X0, Y: ext.Y0})
	f.pair(9, "$EXTMAX")
	f.point(10, calib.Point{X: ext.X1, Y: ext.Y1})
	f.pairs(9, "$INSUNITS", 70, 4)    // millimetres
	f.pairs(9, "$MEASUREMENT", 70, 1) // metric
	f.pairs(9, "$LUNITS", 70, 2)      // decimal
	f.pairs(9, "$HANDSEED", 5, seedMark)
	f.pair(0, "ENDSEC")
}

// entity writes what every entity begins with.
func (f *dxfFile) entity(kind, layer, class string) {
	f.pairs(0, kind, 5, f.newHandle(), 330, handle(hModelSpace), 100, "AcDbEntity", 8, layer, 100, class)
}

func (f *dxfFile) shape(layer string, s Shape) {
	switch s := s.(type) {
	case Line:
		f.entity("LINE", layer, "AcDbLine")
		f.point(10, s.A)
		f.point(11, s.B)
	case Circle:
		f.entity("CIRCLE", layer, "AcDbCircle")
		f.point(10, s.Centre)
		f.pair(40, s.R)
	case Arc:
		f.entity("ARC", layer, "AcDbCircle")
		f.point(10, s.Centre)
		f.pairs(40, s.R, 100, "AcDbArc", 50, s.From*180/math.Pi, 51, s.To*180/math.Pi)
	case Polyline:
		closed := 0
		if s.Closed {
			closed = 1
		}
		f.entity("LWPOLYLINE", layer, "AcDbPolyline")
		f.pairs(90, len(s.Vertices), 70, closed)
		for _, v := range s.Vertices {
			f.pairs(10, v.X, 20, v.Y, 42, v.Bulge)
		}
	case Fill:
		f.hatch(layer, s)
	case Text:
		f.text(layer, s)
	}
}

// hatch writes a solid fill; its style 0 is the even-odd rule.
func (f *dxfFile) hatch(layer string, s Fill) {
	f.entity("HATCH", layer, "AcDbHatch")
	f.point(10, calib.Point{})
	f.pairs(210, 0, 220, 0, 230, 1, 2, "SOLID", 70, 1, 71, 0, 91, len(s.Loops))
	for _, loop := range s.Loops {
		f.pairs(92, 3, 72, 0, 73, 1, 93, len(loop))
		for _, p := range loop {
			f.pairs(10, p.X, 20, p.Y)
		}
		f.pair(97, 0)
	}
	f.pairs(75, 0, 76, 1, 98, 0)
}

func (f *dxfFile) text(layer string, t Text) {
	sin, cos := math.Sincos(t.Angle)
	back := TextWidth(t.S, t.Height, t.Bold) * float64(t.Align) / 2
	f.entity("TEXT", layer, "AcDbText")
	f.point(10, calib.Point{X: t.At.X - back*cos, Y: t.At.Y - back*sin})
	f.pairs(40, t.Height, 1, dxfString(t.S), 50, t.Angle*180/math.Pi, 72, int(t.Align))
	if t.Align != Left {
		f.point(11, t.At)
	}
	f.pair(100, "AcDbText")
}

// dxfString writes a text in ASCII, with DXF's own marks for the rest.
func dxfString(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == 'ø':
			b.WriteString("%%c") // the diameter sign
		case r < ' ':
			b.WriteByte(' ')
		case r < 127:
			b.WriteRune(r)
		default:
			fmt.Fprintf(&b, `\U+%04X`, r)
		}
	}
	return b.String()
}
