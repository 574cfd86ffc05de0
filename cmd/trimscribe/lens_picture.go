package main

import (
	"fmt"
	"image/color"
	"image/png"
	"io"
	"math"
	"strings"

	"github.com/fogleman/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"

	"trimscribe/calib"
)

// The lens picture: the camera's frame with all corners of all photos in it,
// each with an arrow, magnified, from where the lens puts it to where it was
// found. What a person should see at once: parts of the frame without corners
// (tinted), and arrows that run together, which a good fit has nowhere.
const (
	lensLongest = 1400.0 // px of the frame's longer side
	lensMargin  = 50.0
	lensFoot    = 150.0
	lensHead    = 96.0
	lensArrow   = 26.0 // px that the round length of the legend's arrow is about
)

var (
	lensInk   = color.RGBA{30, 36, 44, 255}
	lensSlate = color.RGBA{96, 106, 118, 255}
	lensTint  = color.RGBA{255, 238, 204, 255} // a part without corners
	lensDot   = color.RGBA{0, 92, 158, 255}
	lensShaft = color.RGBA{214, 84, 0, 255}
)

// lensPicture is the picture being drawn.
type lensPicture struct {
	*gg.Context
	c       *calibrated
	turn    int     // Exif's orientation of the first photo: the frame is shown as a person sees it
	scale   float64 // picture pixels per photo pixel
	w, h    float64 // of the frame, picture pixels
	magnify float64 // of the arrows, picture pixels per photo pixel
	round   float64 // photo pixels that the legend's arrow stands for
	bold    func(size float64) font.Face
	plain   func(size float64) font.Face
}

func writeLensPicture(w io.Writer, c *calibrated) error {
	p, err := newLensPicture(c)
	if err != nil {
		return err
	}
	p.head()
	p.tiles()
	p.corners()
	p.foot()
	return png.Encode(w, p.Image())
}

func newLensPicture(c *calibrated) (*lensPicture, error) {
	p := &lensPicture{c: c, turn: c.photos[0].orientation}
	l := c.fit.Lens.Turned(p.turn)
	p.scale = lensLongest / float64(max(l.Width, l.Height))
	p.w, p.h = p.scale*float64(l.Width), p.scale*float64(l.Height)
	rms, _ := c.fit.RMS()
	p.round = roundLength(2 * rms)
	p.magnify = lensArrow / p.round
	width := math.Max(p.w, 900)
	p.Context = gg.NewContext(int(width+2*lensMargin), int(p.h+lensHead+lensFoot))
	p.SetColor(color.White)
	p.Clear()
	for _, f := range []struct {
		to  *func(float64) font.Face
		ttf []byte
	}{{&p.bold, gobold.TTF}, {&p.plain, goregular.TTF}} {
		parsed, err := opentype.Parse(f.ttf)
		if err != nil {
			return nil, err
		}
		*f.to = func(size float64) font.Face {
			face, _ := opentype.NewFace(parsed, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
			return face
		}
	}
	return p, nil
}

// roundLength is the number 1, 2 or 5 with a power of ten that is next below
// v.
func roundLength(v float64) float64 {
	ten := math.Pow(10, math.Floor(math.Log10(math.Max(v, 1e-6))))
	for _, f := range []float64{5, 2, 1} {
		if f*ten <= v {
			return f * ten
		}
	}
	return ten
}

func (p *lensPicture) write(s string, face font.Face, c color.Color, x, y, align float64) {
	p.SetFontFace(face)
	p.SetColor(c)
	p.DrawStringAnchored(s, x, y, align, 0)
}

func (p *lensPicture) head() {
	l, u := p.c.fit.Lens, p.c.fit.U
	title := "Lens calibration"
	if camera := strings.TrimSpace(p.c.record.Make + " " + p.c.record.Model); camera != "" {
		title += ": " + camera
	}
	p.write(title, p.bold(26), lensInk, lensMargin, 44, 0)
	p.write(fmt.Sprintf("%d photos, %d x %d px; focal length %.1f px, +-%.1f (U95); k1 %.4f", len(p.c.record.Photos), l.Width, l.Height, l.Fx, 2*u.Fx, l.K1),
		p.plain(19), lensSlate, lensMargin, 74, 0)
}

// at is where a pixel of the stored picture lies in ours.
func (p *lensPicture) at(px calib.Point) calib.Point {
	l := p.c.fit.Lens
	q := calib.TurnPoint(px, l.Width, l.Height, p.turn)
	return calib.Point{X: lensMargin + (q.X+0.5)*p.scale, Y: lensHead + (q.Y+0.5)*p.scale}
}

// tiles tints the parts of the frame that no corner lies in.
func (p *lensPicture) tiles() {
	columns, rows := p.c.fit.Tiles()
	tw, th := float64(p.c.fit.Lens.Width)/float64(columns), float64(p.c.fit.Lens.Height)/float64(rows)
	p.SetColor(lensTint)
	for row, seen := range p.c.fit.Covered(columns, rows) {
		for col, s := range seen {
			if s {
				continue
			}
			a := p.at(calib.Point{X: float64(col)*tw - 0.5, Y: float64(row)*th - 0.5})
			b := p.at(calib.Point{X: float64(col+1)*tw - 0.5, Y: float64(row+1)*th - 0.5})
			p.DrawRectangle(a.X, a.Y, b.X-a.X, b.Y-a.Y)
		}
	}
	p.Fill()
	p.SetColor(lensInk)
	p.SetLineWidth(2)
	p.DrawRectangle(lensMargin, lensHead, p.w, p.h)
	p.Stroke()
}

// corners draws all corners and their residuals.
func (p *lensPicture) corners() {
	for v, view := range p.c.fit.Views {
		for k, used := range view.Used {
			if !used {
				continue
			}
			at := p.at(view.Corners[k].Sub(p.c.fit.Residual(v, k)))
			tip := p.at(view.Corners[k]).Sub(at).Mul(p.magnify / p.scale)
			p.arrow(at, at.Add(tip))
			p.SetColor(lensDot)
			p.DrawCircle(at.X, at.Y, 2.6)
			p.Fill()
		}
	}
	l := p.c.fit.Lens
	mid := p.at(calib.Point{X: l.Cx, Y: l.Cy})
	p.cross(mid)
}

func (p *lensPicture) arrow(from, to calib.Point) {
	p.SetColor(lensShaft)
	p.SetLineWidth(1.3)
	p.DrawLine(from.X, from.Y, to.X, to.Y)
	p.Stroke()
	d := to.Sub(from)
	n := d.Norm()
	if n < 3 {
		return
	}
	d = d.Mul(math.Min(6, 0.6*n) / n)
	side := calib.Point{X: -d.Y, Y: d.X}.Mul(0.4)
	p.MoveTo(to.X, to.Y)
	p.LineTo(to.X-d.X+side.X, to.Y-d.Y+side.Y)
	p.LineTo(to.X-d.X-side.X, to.Y-d.Y-side.Y)
	p.ClosePath()
	p.Fill()
}

func (p *lensPicture) cross(at calib.Point) {
	p.SetColor(lensInk)
	p.SetLineWidth(2)
	p.DrawLine(at.X-12, at.Y, at.X+12, at.Y)
	p.DrawLine(at.X, at.Y-12, at.X, at.Y+12)
	p.Stroke()
}

// foot explains the signs.
func (p *lensPicture) foot() {
	rms, n := p.c.fit.RMS()
	top := lensHead + p.h + 36
	text := func(s string, x, y float64) { p.write(s, p.plain(19), lensInk, x, y, 0) }
	x := lensMargin + 8

	p.SetColor(lensDot)
	p.DrawCircle(x+4, top-6, 4)
	p.Fill()
	text("a corner of the board, where the lens puts it", x+44, top)
	p.arrow(calib.Point{X: x - 4, Y: top + 26}, calib.Point{X: x - 4 + lensArrow + 6, Y: top + 26})
	text(fmt.Sprintf("to where it was found, magnified %.0f times", p.magnify/p.scale), x+44, top+32)
	p.cross(calib.Point{X: x + 8, Y: top + 58})
	text("the lens's middle (principal point)", x+44, top+64)

	right := lensMargin + math.Max(p.w, 900)/2 + 30
	p.SetColor(lensTint)
	p.DrawRectangle(right, top-16, 28, 18)
	p.Fill()
	text("a part of the picture without a corner", right+44, top)
	p.SetColor(lensShaft)
	p.SetLineWidth(2)
	p.DrawLine(right, top+26, right+lensArrow, top+26)
	p.Stroke()
	text(fmt.Sprintf("%g px in the photo, at the arrows' scale", p.round), right+44, top+32)
	text(fmt.Sprintf("%d corners, %.2f px off (root mean square)", n, rms), right+44, top+64)
	p.write("Good: dots all over, short arrows in all directions. Bad: empty parts, arrows that run together.", p.plain(17), lensSlate, lensMargin, top+100, 0)
}
