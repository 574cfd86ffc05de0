package template

import (
	"bytes"
	"fmt"
	"image/color"
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

func (f *dxfFile) tables(layers []*Layer) {
	f.section("TABLES")
	f.table("VPORT", func(record newRecord) {
		record("AcDbViewportTableRecord", "*Active")
		f.pairs(10, 0, 20, 0, 11, 1, 21, 1, 12, 0, 22, 0, 13, 0, 23, 0, 14, 10, 24, 10, 15, 10, 25, 10,
			16, 0, 26, 0, 36, 1, 17, 0, 27, 0, 37, 0, 40, 300, 41, 1.4, 42, 50, 43, 0, 44, 0, 50, 0, 51, 0,
			71, 0, 72, 100, 73, 1, 74, 3, 75, 0, 76, 0, 77, 0, 78, 0)
	})
	f.table("LTYPE", func(record newRecord) {
		for _, name := range []string{"ByBlock", "ByLayer", "Continuous"} {
			record("AcDbLinetypeTableRecord", name)
			f.pairs(3, "", 72, 65, 73, 0, 40, 0)
		}
		for _, l := range layers {
			if len(l.Dash) > 0 {
				record("AcDbLinetypeTableRecord", lineType(l))
				f.lineTypeElements(l.Dash)
			}
		}
	})
	f.table("LAYER", func(record newRecord) {
		for _, l := range append([]*Layer{{Name: "0", Width: 0.25}}, layers...) {
			record("AcDbLayerTableRecord", l.Name)
			f.pairs(62, colourIndex(l.Color), 6, lineType(l), 370, lineWeight(l.Width), 390, handle(hNormalStyle))
		}
	})
	f.table("STYLE", func(record newRecord) {
		record("AcDbTextStyleTableRecord", "Standard")
		f.pairs(40, 0, 41, 1, 50, 0, 71, 0, 42, 2.5, 3, "txt", 4, "")
	})
	f.table("VIEW", nil)
	f.table("UCS", nil)
	f.table("APPID", func(record newRecord) { record("AcDbRegAppTableRecord", "ACAD") })
	f.dimStyles()
	f.blockRecords()
	f.pair(0, "ENDSEC")
}

// newRecord begins a table's record and leaves the pen behind its name and
// flags.
type newRecord func(class, name string)

// table writes a table; fill calls record for each of its records.
func (f *dxfFile) table(name string, fill func(record newRecord)) {
	owner := f.newHandle()
	f.pairs(0, "TABLE", 2, name, 5, owner, 330, 0, 100, "AcDbSymbolTable", 70, 0)
	if fill != nil {
		fill(func(class, record string) {
			f.pairs(0, name, 5, f.newHandle(), 330, owner, 100, "AcDbSymbolTableRecord", 100, class, 2, record, 70, 0)
		})
	}
	f.pair(0, "ENDTAB")
}

// lineTypeElements writes a pattern: strokes are positive, gaps negative. An
// odd list is run through twice, as PDF and SVG do.
func (f *dxfFile) lineTypeElements(dash []float64) {
	if len(dash)%2 == 1 {
		dash = append(dash[:len(dash):len(dash)], dash...)
	}
	sum := 0.0
	for _, v := range dash {
		sum += v
	}
	f.pairs(3, "", 72, 65, 73, len(dash), 40, sum)
	for i, v := range dash {
		if i%2 == 1 {
			v = -v
		}
		f.pairs(49, v, 74, 0)
	}
}

func lineType(l *Layer) string {
	if len(l.Dash) == 0 {
		return "Continuous"
	}
	return "dash-" + l.Name
}

// dimStyles writes the one dimension style every file must have; its handle
// has a group code of its own.
func (f *dxfFile) dimStyles() {
	owner := f.newHandle()
	f.pairs(0, "TABLE", 2, "DIMSTYLE", 5, owner, 330, 0, 100, "AcDbSymbolTable", 70, 1, 100, "AcDbDimStyleTable")
	f.pairs(0, "DIMSTYLE", 105, f.newHandle(), 330, owner, 100, "AcDbSymbolTableRecord", 100, "AcDbDimStyleTableRecord",
		2, "Standard", 70, 0)
	f.pair(0, "ENDTAB")
}

// blockRecords writes the two that every file has: model and paper.
func (f *dxfFile) blockRecords() {
	owner := f.newHandle()
	f.pairs(0, "TABLE", 2, "BLOCK_RECORD", 5, owner, 330, 0, 100, "AcDbSymbolTable", 70, 2)
	record := func(name string, h, layout int) {
		f.pairs(0, "BLOCK_RECORD", 5, handle(h), 330, owner, 100, "AcDbSymbolTableRecord", 100, "AcDbBlockTableRecord",
			2, name, 340, handle(layout))
	}
	record("*Model_Space", hModelSpace, hModelLayout)
	record("*Paper_Space", hPaperSpace, hPaperLayout)
	f.pair(0, "ENDTAB")
}

func (f *dxfFile) blocks() {
	f.section("BLOCKS")
	f.block(hModelSpace, "*Model_Space")
	f.block(hPaperSpace, "*Paper_Space")
	f.pair(0, "ENDSEC")
}

func (f *dxfFile) block(owner int, name string) {
	f.pairs(0, "BLOCK", 5, f.newHandle(), 330, handle(owner), 100, "AcDbEntity", 8, "0", 100, "AcDbBlockBegin",
		2, name, 70, 0)
	f.point(10, calib.Point{})
	f.pairs(3, name, 1, "")
	f.pairs(0, "ENDBLK", 5, f.newHandle(), 330, handle(owner), 100, "AcDbEntity", 8, "0", 100, "AcDbBlockEnd")
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

// objects writes the dictionaries that every file of this version has.
func (f *dxfFile) objects() {
	f.section("OBJECTS")
	f.dictionary(hRoot, 0, "ACAD_GROUP", hGroups, "ACAD_LAYOUT", hLayouts, "ACAD_PLOTSTYLENAME", hPlotStyles)
	f.dictionary(hGroups, hRoot)
	f.dictionary(hLayouts, hRoot, "Model", hModelLayout, "Layout1", hPaperLayout)
	f.pairs(0, "ACDBDICTIONARYWDFLT", 5, handle(hPlotStyles), 330, handle(hRoot), 100, "AcDbDictionary", 281, 1,
		3, "Normal", 350, handle(hNormalStyle), 100, "AcDbDictionaryWithDefault", 340, handle(hNormalStyle))
	f.pairs(0, "ACDBPLACEHOLDER", 5, handle(hNormalStyle), 330, handle(hPlotStyles))
	f.layout("Model", hModelLayout, hModelSpace, 0, 1024)
	f.layout("Layout1", hPaperLayout, hPaperSpace, 1, 0)
	f.pair(0, "ENDSEC")
}

func (f *dxfFile) dictionary(h, owner int, entries ...any) {
	f.pairs(0, "DICTIONARY", 5, handle(h), 330, handle(owner), 100, "AcDbDictionary", 281, 1)
	for i := 0; i < len(entries); i += 2 {
		f.pairs(3, entries[i], 350, handle(entries[i+1].(int)))
	}
}

func (f *dxfFile) layout(name string, h, block, order, flags int) {
	f.pairs(0, "LAYOUT", 5, handle(h), 330, handle(hLayouts), 100, "AcDbPlotSettings", 1, "", 2, "none_device", 4, "", 6, "",
		40, 0, 41, 0, 42, 0, 43, 0, 44, 0, 45, 0, 46, 0, 47, 0, 48, 0, 49, 0, 140, 0, 141, 0, 142, 1, 143, 1,
		70, flags, 72, 1, 73, 0, 74, 5, 7, "", 75, 16, 147, 1, 148, 0, 149, 0,
		100, "AcDbLayout", 1, name, 70, 1, 71, order, 10, 0, 20, 0, 11, 420, 21, 297, 12, 0, 22, 0, 32, 0,
		14, 0, 24, 0, 34, 0, 15, 0, 25, 0, 35, 0, 146, 0, 13, 0, 23, 0, 33, 0, 16, 1, 26, 0, 36, 0, 17, 0, 27, 1, 37, 0,
		76, 0, 330, handle(block))
}

// colourIndex returns the nearest of DXF's fixed colours. Black is 7, which
// programs show as white on a dark ground.
func colourIndex(c color.RGBA) int {
	fixed := []struct {
		index   int
		r, g, b float64
	}{
		{7, 0, 0, 0}, {1, 255, 0, 0}, {2, 255, 255, 0}, {3, 0, 255, 0}, {4, 0, 255, 255}, {5, 0, 0, 255}, {6, 255, 0, 255},
		{8, 128, 128, 128}, {9, 192, 192, 192}, {7, 255, 255, 255},
	}
	best, dist := 7, math.Inf(1)
	for _, f := range fixed {
		d := math.Hypot(math.Hypot(float64(c.R)-f.r, float64(c.G)-f.g), float64(c.B)-f.b)
		if d < dist {
			best, dist = f.index, d
		}
	}
	return best
}

// lineWeight returns the nearest of the widths that DXF allows, in hundredths
// of a millimetre.
func lineWeight(mm float64) int {
	best := 0
	for _, w := range []int{0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211} {
		if math.Abs(float64(w)-mm*100) < math.Abs(float64(best)-mm*100) {
			best = w
		}
	}
	return best
}
