package plate

import (
	"strings"

	"trimscribe/template"
)

// Words on a part are drawn as single strokes: a cutter engraves them as they
// are, and no drawing program has to know a font.

// strokes are the letters' lines on a grid 4 wide and 6 high: runs of points,
// column and row, parted by spaces.
var strokes = map[rune]string{
	'A': "0004264440 0343", 'B': "00063645443303 3342413000", 'C': "4536160501103041", 'D': "00062644422000",
	'E': "46060040 0333", 'F': "460600 0333", 'G': "45361605011030414323", 'H': "0006 4046 0343", 'I': "2026",
	'J': "4641301001", 'K': "0006 4602 1340", 'L': "060040", 'M': "0006234640", 'N': "00064046", 'O': "100105163645413010",
	'P': "00063645443303", 'Q': "100105163645413010 2240", 'R': "00063645443303 2340", 'S': "453616050413334241301001",
	'T': "0646 2026", 'U': "060110304146", 'V': "062046", 'W': "0610233046", 'X': "0046 0640", 'Y': "062346 2320",
	'Z': "06460040", '0': "100105163645413010", '1': "052620", '2': "05163645440040", '3': "064623334241301001",
	'4': "30360242", '5': "4606033342413000", '6': "36160501103041423303", '7': "064610",
	'8': "13040516364544331302011030414233", '9': "10304145361605041343", '-': "0343", '.': "2021", '/': "0046",
	'+': "0343 2125",
}

const (
	strokeW, strokeH = 4.0, 6.0
	strokeSpace      = 1.6 // between letters, of the grid
)

// width returns the width of the mark's text, mm.
func (m Mark) width() float64 {
	n := float64(len([]rune(m.Text)))
	return (n*(strokeW+strokeSpace) - strokeSpace) * m.Height / strokeH
}

// Lines returns the mark as straight strokes.
func (m Mark) Lines() []template.Shape {
	k := m.Height / strokeH
	place := Place{Turn: m.Angle, Move: m.At}
	corner := point{X: -m.width() / 2, Y: -m.Height / 2}
	var lines []template.Shape
	for i, r := range []rune(strings.ToUpper(m.Text)) {
		x := float64(i) * (strokeW + strokeSpace)
		for run := range strings.FieldsSeq(strokes[r]) {
			var before point
			for j := 0; j+1 < len(run); j += 2 {
				p := place.Point(corner.Add(point{X: x + float64(run[j]-'0'), Y: float64(run[j+1] - '0')}.Mul(k)))
				if j > 0 {
					lines = append(lines, template.Line{A: before, B: p})
				}
				before = p
			}
		}
	}
	return lines
}
