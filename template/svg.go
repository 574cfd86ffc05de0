package template

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"image/color"
	"image/jpeg"
	"io"
	"math"
	"strconv"
	"strings"

	"trimscribe/calib"
)

// WriteSVG writes a drawing as SVG 1.1 in millimetres: y is turned to run
// down, so that a point (x, y) of the drawing is (x, -y) of the SVG. Each layer
// is a group with the layer's name as id.
func WriteSVG(w io.Writer, d *Drawing) error {
	var b bytes.Buffer
	r := Rect{}
	if b := d.Bounds(); !b.Empty() {
		b = b.Grow(2) // room for the width of lines
		r = Rect{math.Floor(b.X0), math.Floor(b.Y0), math.Ceil(b.X1), math.Ceil(b.Y1)}
	}
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" version="1.1" width="%smm" height="%smm" viewBox="%s %s %s %s">
`, num(r.W()), num(r.H()), num(r.X0), num(-r.Y1), num(r.W()), num(r.H()))
	for _, l := range d.Layers {
		fmt.Fprintf(&b, `<g id="%s" fill="none" stroke="%s" stroke-width="%s"`, escape(l.Name), hex(l.Color), num(l.Width))
		if len(l.Dash) > 0 {
			b.WriteString(` stroke-dasharray="` + nums(l.Dash...) + `"`)
		}
		b.WriteString(">\n")
		for _, s := range l.Shapes {
			if err := svgShape(&b, l, s); err != nil {
				return err
			}
		}
		b.WriteString("</g>\n")
	}
	b.WriteString("</svg>\n")
	_, err := w.Write(b.Bytes())
	return err
}

func svgShape(b *bytes.Buffer, l *Layer, s Shape) error {
	switch s := s.(type) {
	case Line:
		fmt.Fprintf(b, `<line x1="%s" y1="%s" x2="%s" y2="%s"/>`, num(s.A.X), num(-s.A.Y), num(s.B.X), num(-s.B.Y))
	case Circle:
		fmt.Fprintf(b, `<circle cx="%s" cy="%s" r="%s"/>`, num(s.Centre.X), num(-s.Centre.Y), num(s.R))
	case Arc:
		fmt.Fprintf(b, `<path d="M%s%s"/>`, svgPoint(s.at(s.From)), svgArc(s, false))
	case Polyline:
		if len(s.Vertices) == 0 {
			return nil
		}
		d := "M" + svgPoint(s.Vertices[0].Point)
		s.walk(func(_, to calib.Point) { d += "L" + svgPoint(to) }, func(a Arc, clockwise bool) { d += svgArc(a, clockwise) })
		if s.Closed {
			d += "Z"
		}
		fmt.Fprintf(b, `<path d="%s"/>`, d)
	case Fill:
		d := ""
		for _, loop := range s.Loops {
			for i, p := range loop {
				d += []string{"L", "M"}[max(0, 1-i)] + svgPoint(p)
			}
			d += "Z"
		}
		fmt.Fprintf(b, `<path d="%s" fill="%s" fill-rule="evenodd" stroke="none"/>`, d, hex(l.Color))
	case Text:
		svgText(b, l, s)
	case Picture:
		return svgPicture(b, s)
	}
	b.WriteByte('\n')
	return nil
}

// svgArc goes on along an arc. A whole turn would vanish, its ends being one,
// so an arc of more than a half turn goes in two.
func svgArc(a Arc, clockwise bool) string {
	if a.To-a.From > math.Pi {
		mid := (a.From + a.To) / 2
		first, second := Arc{a.Centre, a.R, a.From, mid}, Arc{a.Centre, a.R, mid, a.To}
		if clockwise {
			first, second = second, first
		}
		return svgArc(first, clockwise) + svgArc(second, clockwise)
	}
	// SVG's positive sweep is clockwise as seen, y being down.
	sweep, end := 0, a.To
	if clockwise {
		sweep, end = 1, a.From
	}
	return fmt.Sprintf("A%s %s 0 0 %d %s", num(a.R), num(a.R), sweep, svgPoint(a.at(end)))
}

func svgText(b *bytes.Buffer, l *Layer, t Text) {
	fmt.Fprintf(b, `<text x="%s" y="%s" fill="%s" stroke="none" font-family="Go, Helvetica, Arial, sans-serif" font-size="%s"`,
		num(t.At.X), num(-t.At.Y), hex(l.Color), num(t.Height/capHeight))
	if t.Bold {
		b.WriteString(` font-weight="bold"`)
	}
	if t.Align != Left {
		fmt.Fprintf(b, ` text-anchor="%s"`, map[Align]string{Middle: "middle", Right: "end"}[t.Align])
	}
	if t.Angle != 0 {
		fmt.Fprintf(b, ` transform="rotate(%s %s %s)"`, num(-t.Angle*180/math.Pi), num(t.At.X), num(-t.At.Y))
	}
	b.WriteString(">" + escape(t.S) + "</text>")
}

func svgPicture(b *bytes.Buffer, p Picture) error {
	var j bytes.Buffer
	if err := jpeg.Encode(&j, p.Image, &jpeg.Options{Quality: 85}); err != nil {
		return err
	}
	fmt.Fprintf(b, `<image x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none" xlink:href="data:image/jpeg;base64,%s"/>`+"\n",
		num(p.Rect.X0), num(-p.Rect.Y1), num(p.Rect.W()), num(p.Rect.H()), base64.StdEncoding.EncodeToString(j.Bytes()))
	return nil
}

func svgPoint(p calib.Point) string { return nums(p.X, -p.Y) }

// num writes a length to a tenth of a nanometre: enough for any use, and
// free of a binary fraction's tail.
func num(v float64) string {
	v = math.Round(v*1e7) / 1e7
	if v == 0 {
		v = 0 // not "-0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func nums(v ...float64) string {
	s := make([]string, len(v))
	for i := range v {
		s[i] = num(v[i])
	}
	return strings.Join(s, " ")
}

func hex(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func escape(s string) string {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(s)) // a bytes.Buffer takes all
	return b.String()
}
