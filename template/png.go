package template

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"

	"github.com/fogleman/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"

	xdraw "golang.org/x/image/draw"

	"trimscribe/calib"
)

// WritePNG draws a page as a PNG of the given resolution, dots per inch, which
// the file records.
func WritePNG(w io.Writer, p Page, dpi float64) error {
	img, err := drawRaster(p, dpi/inch)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	e := png.Encoder{}
	if p.hasPicture() { // grain does not pack: trying hard would cost time for nothing
		e.CompressionLevel = png.BestSpeed
	}
	if err := e.Encode(&b, img); err != nil {
		return err
	}
	_, err = w.Write(withResolution(b.Bytes(), dpi))
	return err
}

// hasPicture tells whether a photo is on the page.
func (p Page) hasPicture() bool {
	for _, part := range p.Parts {
		for _, l := range part.Drawing.Layers {
			for _, s := range l.Shapes {
				if _, ok := s.(Picture); ok {
					return true
				}
			}
		}
	}
	return false
}

// withResolution puts a pHYs chunk into a PNG, behind its IHDR chunk, which
// always comes first and is 25 bytes long (ISO/IEC 15948, 11.2.2, 11.3.5.3).
func withResolution(b []byte, dpi float64) []byte {
	const head = 8 + 25
	perMetre := uint32(math.Round(dpi / inch * 1000))
	chunk := append([]byte{0, 0, 0, 9}, "pHYs"...)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = append(chunk, 1) // the unit is the metre
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	return append(append(b[:head:head], chunk...), b[head:]...)
}

// rasterPen maps a part's millimetres to pixels, y down, and is a pen.
type rasterPen struct {
	dc     *gg.Context
	at     calib.Point
	kx, ky float64 // px per mm
	h      float64 // of the page, px
	fonts  map[fontKey]font.Face
}

type fontKey struct {
	bold bool
	px   float64
}

func (p rasterPen) to(q calib.Point) (x, y float64) {
	return (q.X + p.at.X) * p.kx, p.h - (q.Y+p.at.Y)*p.ky
}

func (p rasterPen) moveTo(q calib.Point) { p.dc.MoveTo(p.to(q)) }
func (p rasterPen) lineTo(q calib.Point) { p.dc.LineTo(p.to(q)) }
func (p rasterPen) closePath()           { p.dc.ClosePath() }
func (p rasterPen) cubicTo(c1, c2, q calib.Point) {
	x1, y1 := p.to(c1)
	x2, y2 := p.to(c2)
	x, y := p.to(q)
	p.dc.CubicTo(x1, y1, x2, y2, x, y)
}

func drawRaster(page Page, pxPerMM float64) (image.Image, error) {
	dc := gg.NewContext(int(math.Round(page.W*pxPerMM)), int(math.Round(page.H*pxPerMM)))
	dc.SetRGB(1, 1, 1)
	dc.Clear()
	dc.SetLineCapButt()
	dc.SetFillRuleEvenOdd()
	sx, sy := page.scale()
	pen := rasterPen{dc: dc, kx: pxPerMM / sx, ky: pxPerMM / sy, h: page.H * pxPerMM, fonts: map[fontKey]font.Face{}}
	for _, part := range page.Parts {
		clip := dc.Image().Bounds()
		if part.Clip != nil {
			clip = clip.Intersect(pen.box(*part.Clip)) // the pen is still at the page's origin here
			dc.DrawRectangle(float64(clip.Min.X), float64(clip.Min.Y), float64(clip.Dx()), float64(clip.Dy()))
			dc.Clip()
		}
		at := pen
		at.at = part.At
		if err := at.part(part.Drawing, clip); err != nil {
			return nil, err
		}
		dc.ResetClip()
	}
	return dc.Image(), nil
}

// box returns the pixels of a rectangle, to the nearest.
func (p rasterPen) box(r Rect) image.Rectangle {
	x0, y1 := p.to(calib.Point{X: r.X0, Y: r.Y0})
	x1, y0 := p.to(calib.Point{X: r.X1, Y: r.Y1})
	round := func(v float64) int { return int(math.Round(v)) }
	return image.Rect(round(x0), round(y0), round(x1), round(y1))
}

func (p rasterPen) part(d *Drawing, clip image.Rectangle) error {
	k := math.Sqrt(p.kx * p.ky)
	for _, l := range d.Layers {
		p.dc.SetColor(l.Color)
		p.dc.SetLineWidth(l.Width * k)
		dash := make([]float64, len(l.Dash))
		for i, v := range l.Dash {
			dash[i] = v * k
		}
		p.dc.SetDash(dash...)
		for _, s := range l.Shapes {
			switch s := s.(type) {
			case Text:
				if err := p.text(s, k); err != nil {
					return err
				}
			case Picture:
				to := p.dc.Image().(*image.RGBA).SubImage(clip).(draw.Image)
				xdraw.BiLinear.Scale(to, p.box(s.Rect), s.Image, s.Image.Bounds(), draw.Over, nil)
			case Fill:
				trace(s, p)
				p.dc.Fill()
			default:
				trace(s, p)
				p.dc.Stroke()
			}
		}
	}
	return nil
}

func (p rasterPen) text(t Text, k float64) error {
	key := fontKey{t.Bold, t.Height / capHeight * k}
	face, ok := p.fonts[key]
	if !ok {
		f := regularFont
		if t.Bold {
			f = boldFont
		}
		var err error
		// 72 dpi makes the size count in pixels.
		if face, err = opentype.NewFace(f, &opentype.FaceOptions{Size: key.px, DPI: 72, Hinting: font.HintingNone}); err != nil {
			return err
		}
		p.fonts[key] = face
	}
	p.dc.SetFontFace(face)
	x, y := p.to(t.At)
	p.dc.Push()
	p.dc.RotateAbout(-t.Angle, x, y)
	p.dc.DrawString(printable(t.S), x-TextWidth(t.S, t.Height, t.Bold)*k*float64(t.Align)/2, y)
	p.dc.Pop()
	return nil
}
