package template

import (
	"image/color"
	"math"

	"trimscribe/calib"
)

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
