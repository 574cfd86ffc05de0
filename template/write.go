package template

import (
	"errors"
	"io"
)

// WritePDF writes pages as a PDF, vectors throughout. The title is the
// document's. The same pages give the same bytes.
func WritePDF(w io.Writer, title string, pages []Page) error { return errors.New("not written yet") }

// WriteSVG writes a drawing as SVG in millimetres: y is turned to run down,
// and a point (x, y) of the drawing is (x, -y) of the SVG, its viewBox round
// it.
func WriteSVG(w io.Writer, d *Drawing) error { return errors.New("not written yet") }

// WriteDXF writes a drawing as DXF R2000 in millimetres, in the drawing's own
// coordinates. Pictures are left out: DXF can't hold them.
func WriteDXF(w io.Writer, d *Drawing) error { return errors.New("not written yet") }

// WritePNG draws a page as a PNG of the given resolution, dots per inch, which
// the file records.
func WritePNG(w io.Writer, p Page, dpi float64) error { return errors.New("not written yet") }
