package template

import (
	"fmt"
	"strings"

	"trimscribe/calib"
)

// Paper is a size of sheet, millimetres.
type Paper struct {
	Name string
	W, H float64
	// Fixed keeps the sheet the way W and H say. Otherwise Template may turn
	// it, when that saves sheets.
	Fixed bool
}

const inch = 25.4 // mm

// papers are the sheets a person may have: ISO 216's A series, and the
// American sizes of ASME Y14.1 (Letter is its A, Tabloid its B) with Legal.
var papers = []Paper{
	{Name: "A4", W: 210, H: 297},
	{Name: "A3", W: 297, H: 420},
	{Name: "A2", W: 420, H: 594},
	{Name: "A1", W: 594, H: 841},
	{Name: "A0", W: 841, H: 1189},
	{Name: "Letter", W: 8.5 * inch, H: 11 * inch},
	{Name: "Legal", W: 8.5 * inch, H: 14 * inch},
	{Name: "Tabloid", W: 11 * inch, H: 17 * inch},
}

// PaperNames lists the names that ParsePaper knows, for help texts.
func PaperNames() []string {
	names := make([]string, len(papers))
	for i, p := range papers {
		names[i] = p.Name
	}
	return names
}

// ParsePaper returns the paper of a name in any case: "a4", "Letter". A
// "-portrait" or "-landscape" after it fixes which way the sheet lies.
func ParsePaper(s string) (Paper, error) {
	name, way, _ := strings.Cut(strings.ToLower(strings.TrimSpace(s)), "-")
	for _, p := range papers {
		if strings.ToLower(p.Name) != name {
			continue
		}
		switch way {
		case "":
			return p, nil
		case "portrait":
			p.Fixed = true
			return p, nil
		case "landscape":
			p = p.turned()
			p.Fixed = true
			return p, nil
		}
	}
	return Paper{}, fmt.Errorf("%q is no paper known here: use one of %s, with -landscape after it to turn it",
		s, strings.Join(PaperNames(), ", "))
}

func (p Paper) turned() Paper {
	p.W, p.H = p.H, p.W
	return p
}

// Page is one sheet. Its drawings are in millimetres as they are to be on
// the printed sheet, from the sheet's lower left corner.
type Page struct {
	W, H float64 // the sheet, mm
	// Scale is what the printer makes of 1 mm, each way, where known; the
	// writers divide by it, so that the print comes out true. Zero is 1. The
	// drawings then lie on a sheet of W x Scale[0] by H x Scale[1].
	Scale [2]float64
	Parts []Part // the first lies undermost
}

// Part is a drawing placed on a page.
type Part struct {
	Drawing *Drawing
	At      calib.Point // where the drawing's origin lies on the page
	Clip    *Rect       // on the page; what is outside is not drawn; nil is no limit
}

// scale returns Scale with its zeros filled in.
func (p Page) scale() (sx, sy float64) {
	sx, sy = p.Scale[0], p.Scale[1]
	if sx == 0 {
		sx = 1
	}
	if sy == 0 {
		sy = 1
	}
	return sx, sy
}
