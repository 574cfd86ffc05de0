package plate

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"

	"trimscribe/calib"
	"trimscribe/template"
)

// PictureMargin is how far the picture shows the panel round the plate, mm.
const PictureMargin = 12

// PictureRegion returns the part of the panel that the picture shows, in the
// survey's frame.
func (p *Plate) PictureRegion() template.Rect {
	b := p.Plate.Outline.Bounds()
	if g := p.panel.grille; g != nil {
		b = b.Union(template.Circle{Centre: g.at, R: g.r}.Bounds())
	}
	b = b.Move(p.Centre).Grow(PictureMargin)
	return template.Rect{X0: math.Floor(b.X0), Y0: math.Floor(b.Y0), X1: math.Ceil(b.X1), Y1: math.Ceil(b.Y1)}
}

// Height returns the height at which the plate lies on the panel, in the
// survey's frame: that of its highest boss.
func (p *Plate) Height() float64 {
	z := math.Inf(-1)
	for _, h := range p.panel.holes {
		z = math.Max(z, h.z)
	}
	return z
}

// The picture's look.
var (
	plateTint = color.RGBA{255, 176, 32, 255} // amber: no trim is
	halo      = color.RGBA{255, 255, 255, 255}
)

const (
	tintStrength = 0.42
	captionRoom  = 13.0 // mm below the picture
)

// Picture draws the plate where it will lie, on the flattened photo of
// PictureRegion or, without one, on the panel's circles.
func (p *Plate) Picture(name string, photo *template.Picture) template.Page {
	region := p.PictureRegion()
	d := &template.Drawing{}
	under := d.NewLayer("photo", 0, template.Slate)
	panel := d.NewLayer("panel", 0.3, template.Slate)
	light := d.NewLayer("halo", 1, halo)
	edges := d.NewLayer("edges", 0.4, template.Ink)
	centre := d.NewLayer("tweeter-centre", 0.3, template.Red)
	words := d.NewLayer("words", 0.2, template.Ink)
	red := d.NewLayer("doubts", 0.2, template.Red)

	part := p.Plate.Placed(Place{Move: p.Centre})
	if photo != nil {
		under.Add(template.Picture{Image: tinted(part, photo), Rect: photo.Rect})
		addPart(light, part)
	} else {
		under.Add(template.Picture{Image: tinted(part, blank(region)), Rect: region})
		for _, h := range p.panel.holes {
			panel.Add(template.Circle{Centre: h.at.Add(p.Centre), R: h.diameter / 2})
		}
		if g := p.panel.grille; g != nil {
			panel.Add(template.Circle{Centre: g.at.Add(p.Centre), R: g.r})
		}
	}
	addPart(edges, part)
	crosshair(centre, p.Centre, 6)
	centre.Add(template.Circle{Centre: p.Centre, R: 2})
	for _, h := range p.holes {
		p.tag(words, light, h, region)
	}
	foot := region.Y0 - captionRoom
	text := fmt.Sprintf("%s: bore ø%.2f, ring ø%.2f, %d ears, %s mm thick, seen from behind", name, p.Bore, p.Ring, len(p.holes), short(p.Settings.Thickness))
	words.Add(template.Text{At: point{X: region.X0 + 3, Y: region.Y0 - 5.2}, Height: fitText(text, region.W()-6, 2.6), S: text})
	second, l := "The plate is drawn where the survey says it will lie. Try a cardboard test piece first.", words
	if len(p.Doubts) > 0 {
		second, l = "DOUBTFUL SURVEY: "+p.Doubts[0], red
	}
	l.Add(template.Text{At: point{X: region.X0 + 3, Y: region.Y0 - 10}, Height: fitText(second, region.W()-6, 2.4), S: second})
	return template.Page{W: region.W(), H: region.Y1 - foot, Parts: []template.Part{{Drawing: d, At: point{X: -region.X0, Y: -foot}}}}
}

// fitText returns the height of capitals at which a text is no wider than
// that, and no higher than most.
func fitText(s string, width, most float64) float64 {
	return math.Min(most, most*width/template.TextWidth(s, most, false))
}

// tag names a hole beyond its ear, in a white box.
func (p *Plate) tag(words, light *template.Layer, h placedHole, region template.Rect) {
	const size = 3.2
	w := template.TextWidth(h.id, size, true)
	away := point{X: 1}
	if n := h.at.Norm(); n > 0 {
		away = h.at.Mul(1 / n)
	}
	c := p.Centre.Add(h.b).Add(away.Mul(p.EarHalf + 4.5))
	c.X = math.Max(region.X0+w, math.Min(region.X1-w, c.X))
	light.Add(template.Fill{Loops: [][]point{{{X: c.X - w/2 - 1, Y: c.Y - size/2 - 1}, {X: c.X + w/2 + 1, Y: c.Y - size/2 - 1},
		{X: c.X + w/2 + 1, Y: c.Y + size/2 + 1}, {X: c.X - w/2 - 1, Y: c.Y + size/2 + 1}}}})
	words.Add(template.Text{At: point{X: c.X, Y: c.Y - size/2}, Height: size, S: h.id, Bold: true, Align: template.Middle})
}

// blank is a pale panel where there is no photo.
func blank(r template.Rect) *template.Picture {
	const perMM = 6
	img := image.NewRGBA(image.Rect(0, 0, int(r.W()*perMM), int(r.H()*perMM)))
	draw.Draw(img, img.Bounds(), image.NewUniform(color.RGBA{232, 235, 238, 255}), image.Point{}, draw.Src)
	return &template.Picture{Image: img, Rect: r}
}

// tinted returns a picture with the part laid on it as a translucent sheet.
func tinted(p *Part, pic *template.Picture) image.Image {
	b := pic.Image.Bounds()
	img := image.NewRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(img, img.Bounds(), pic.Image, b.Min, draw.Src)
	kx, ky := float64(b.Dx())/pic.Rect.W(), float64(b.Dy())/pic.Rect.H()
	var loops [][]point
	for _, path := range append([]Path{p.Outline}, p.Openings...) {
		at, _ := path.corners()
		loops = append(loops, at)
	}
	for y := range b.Dy() {
		inside(loops, pic.Rect.Y1-(float64(y)+0.5)/ky, func(x0, x1 float64) {
			from := max(0, int(math.Round((x0-pic.Rect.X0)*kx)))
			to := min(b.Dx(), int(math.Round((x1-pic.Rect.X0)*kx)))
			for x := from; x < to; x++ {
				i := img.PixOffset(x, y)
				for c, tint := range [3]uint8{plateTint.R, plateTint.G, plateTint.B} {
					img.Pix[i+c] = uint8((1-tintStrength)*float64(img.Pix[i+c]) + tintStrength*float64(tint))
				}
			}
		})
	}
	return img
}

// inside calls f for each stretch of a level line that lies inside, by the
// even-odd rule.
func inside(loops [][]calib.Point, y float64, f func(x0, x1 float64)) {
	var xs []float64
	for _, loop := range loops {
		for i, a := range loop {
			b := loop[(i+1)%len(loop)]
			if (a.Y > y) != (b.Y > y) {
				xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	slices.Sort(xs)
	for i := 0; i+1 < len(xs); i += 2 {
		f(xs[i], xs[i+1])
	}
}
