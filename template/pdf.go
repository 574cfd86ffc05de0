package template

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"math"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"trimscribe/calib"
)

const ptPerMM = 72 / 25.4 // ISO 32000-1, 8.3.2.3: a PDF unit is 1/72 inch

// WritePDF writes pages as a PDF, vectors throughout. The title is the
// document's. The same pages give the same bytes.
func WritePDF(w io.Writer, title string, pages []Page) error {
	if len(pages) == 0 {
		return errors.New("there is no page to write")
	}
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: pages[0].W, Ht: pages[0].H}})
	f.SetTitle(title, true)
	f.SetCreator("trimscribe", true)
	f.SetCreationDate(time.Unix(0, 0).UTC()) // a real date would change the bytes
	f.SetModificationDate(time.Unix(0, 0).UTC())
	f.SetCatalogSort(true)
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.AddUTF8FontFromBytes("go", "", goregular.TTF)
	f.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	images := map[image.Image]string{}
	for _, p := range pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: p.W, Ht: p.H})
		for _, part := range p.Parts {
			drawPDF(f, p, part, images)
		}
	}
	return f.Output(w)
}

// pdfPen maps a part's millimetres to the page's, y down, and is a pen.
type pdfPen struct {
	f      *fpdf.Fpdf
	at     calib.Point
	sx, sy float64
	h      float64
}

func (p pdfPen) to(q calib.Point) (x, y float64) {
	return (q.X + p.at.X) / p.sx, p.h - (q.Y+p.at.Y)/p.sy
}

func (p pdfPen) moveTo(q calib.Point) { p.f.MoveTo(p.to(q)) }
func (p pdfPen) lineTo(q calib.Point) { p.f.LineTo(p.to(q)) }
func (p pdfPen) closePath()           { p.f.ClosePath() }
func (p pdfPen) cubicTo(c1, c2, q calib.Point) {
	x1, y1 := p.to(c1)
	x2, y2 := p.to(c2)
	x, y := p.to(q)
	p.f.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
}

func drawPDF(f *fpdf.Fpdf, page Page, part Part, images map[image.Image]string) {
	sx, sy := page.scale()
	pen := pdfPen{f, part.At, sx, sy, page.H}
	if c := part.Clip; c != nil {
		f.ClipRect(c.X0/sx, page.H-c.Y1/sy, c.W()/sx, c.H()/sy, false)
		defer f.ClipEnd()
	}
	for _, l := range part.Drawing.Layers {
		r, g, b := int(l.Color.R), int(l.Color.G), int(l.Color.B)
		f.SetDrawColor(r, g, b)
		f.SetFillColor(r, g, b)
		f.SetTextColor(r, g, b)
		f.SetLineWidth(l.Width)
		f.SetDashPattern(l.Dash, 0)
		for _, s := range l.Shapes {
			switch s := s.(type) {
			case Text:
				pen.text(s)
			case Picture:
				pen.picture(s, images)
			case Fill:
				trace(s, pen)
				f.DrawPath("F*")
			default:
				trace(s, pen)
				f.DrawPath("D")
			}
		}
	}
}

func (p pdfPen) text(t Text) {
	style := ""
	if t.Bold {
		style = "B"
	}
	p.f.SetFont("go", style, t.Height/capHeight*ptPerMM)
	x, y := p.to(t.At)
	p.f.TransformBegin()
	p.f.TransformRotate(t.Angle*180/math.Pi, x, y)
	p.f.Text(x-TextWidth(t.S, t.Height, t.Bold)*float64(t.Align)/2, y, printable(t.S))
	p.f.TransformEnd()
}

func (p pdfPen) picture(pic Picture, images map[image.Image]string) {
	opt := fpdf.ImageOptions{ImageType: "JPEG"}
	name, known := images[pic.Image]
	if !known {
		name = fmt.Sprint("picture", len(images))
		images[pic.Image] = name
		var b bytes.Buffer
		if err := jpeg.Encode(&b, pic.Image, &jpeg.Options{Quality: 85}); err != nil {
			p.f.SetError(err)
			return
		}
		p.f.RegisterImageOptionsReader(name, opt, &b)
	}
	x0, y1 := p.to(calib.Point{X: pic.Rect.X0, Y: pic.Rect.Y0})
	x1, y0 := p.to(calib.Point{X: pic.Rect.X1, Y: pic.Rect.Y1})
	p.f.ImageOptions(name, x0, y0, x1-x0, y1-y0, false, opt, 0, "")
}
