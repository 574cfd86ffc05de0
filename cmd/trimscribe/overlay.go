package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"math"

	"github.com/fogleman/gg"
	"golang.org/x/image/draw"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"

	"trimscribe/calib"
	"trimscribe/vision"
)

// The overlay picture is the photo with what was found, above a strip with a
// zoomed picture of each chosen feature, the doubts and one legend. It is looked at on a
// phone's screen, some 400 pixels wide, so letters go by the picture's width.
// The photo keeps the top left corner: --near counts pixels from there.
//
// Lines lie on a dark halo and labels on a plate of their own, so that both are
// seen on light and on dark plastic. Blue against orange keeps apart for
// colour-blind eyes; what is not chosen is dashed and yellow.
const (
	overlayLongest = 2400 // px of the photo's longer side, at most
	overlayQuality = 88   // of the JPEG
)

var (
	holeColor      = color.RGBA{86, 204, 255, 255} // light blue
	grilleColor    = color.RGBA{255, 160, 40, 255} // orange
	tweeterColor   = color.RGBA{255, 120, 200, 255}
	candidateColor = color.RGBA{255, 232, 90, 255}
	missingColor   = color.RGBA{255, 90, 70, 255}
	traceColor     = color.RGBA{170, 230, 190, 255} // pale green
	squareColor    = color.RGBA{255, 255, 255, 255}
	haloColor      = color.RGBA{0, 0, 0, 190}
	stripColor     = color.RGBA{28, 28, 30, 255}
)

// writeOverlay draws what was found on a photo that cam took, as a JPEG.
func writeOverlay(w io.Writer, photo *vision.Photo, s *calib.Survey, cam calib.Camera) error {
	o, err := newOverlay(photo, s, cam)
	if err != nil {
		return err
	}
	o.drawPhoto()
	o.drawStrip()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, o.dc.Image(), &jpeg.Options{Quality: overlayQuality}); err != nil {
		return err
	}
	_, err = w.Write(b.Bytes())
	return err
}

// drawPhoto draws all that lies on the photo.
func (o *overlay) drawPhoto() {
	s := o.survey
	for i, q := range s.Squares {
		o.square(q, i == 0)
	}
	for _, t := range s.Traces {
		for _, p := range t.Points {
			o.path(o.at(p[0], p[1], 0))
		}
		if t.Closed {
			o.dc.ClosePath()
		}
		o.strokeOn(traceColor, 0.4*o.line(), 0.3*o.line())
	}
	for _, c := range s.Candidates {
		o.candidate(c)
	}
	for _, m := range s.Missing {
		o.locate(rim{o.at(m.X, m.Y, m.Z), 0.5 * o.unit}, missingColor, true)
	}
	for _, c := range s.Features {
		o.feature(c)
	}
	// The chosen get the best places for their labels, and theirs are written
	// last, so that no crowd of candidates hides them.
	var chosen []label
	for _, c := range s.Features {
		chosen = append(chosen, o.place(c.ID, o.locator(c), o.large, colorOf(c)))
	}
	if t := s.Tweeter; t != nil {
		at := o.at(t.X, t.Y, heightOfTweeter(s))
		o.tweeter(at)
		chosen = append(chosen, o.place("T", rim{at, tweeterArm * o.unit}, o.large, tweeterColor))
	}
	for _, m := range s.Missing {
		chosen = append(chosen, o.place("?", rim{o.at(m.X, m.Y, m.Z), 0.5 * o.unit}, o.large, missingColor))
	}
	for _, c := range s.Candidates {
		o.write(o.place(fmt.Sprint(c.Number), o.locator(c), o.small, candidateColor))
	}
	for _, q := range s.Squares {
		o.nameSquare(q)
	}
	for _, l := range chosen {
		o.write(l)
	}
}

func colorOf(c calib.Feature) color.RGBA {
	switch c.Kind {
	case calib.KindGrille:
		return grilleColor
	case calib.KindTweeter:
		return tweeterColor
	}
	return holeColor
}

// heightOfTweeter is the height of what the tweeter's centre was taken from: its
// body, else the grille.
func heightOfTweeter(s *calib.Survey) (z float64) {
	for _, c := range s.Features {
		switch c.Kind {
		case calib.KindGrille:
			z = c.Z
		case calib.KindTweeter:
			return c.Z
		}
	}
	return z
}

// overlay is a photo, made smaller, being drawn on.
type overlay struct {
	dc     *gg.Context
	photo  *vision.Photo
	survey *calib.Survey
	camera calib.Camera
	shrink float64 // overlay pixels per photo pixel
	w, h   float64 // of the photo in the overlay, px
	unit   float64 // a letter's height, px: what all sizes go by
	large  font.Face
	small  font.Face // of what is not chosen
	strip  strip     // below the photo
	taken  []box     // where labels are
	rims   []rim     // circles drawn, which labels keep off
}

type box struct{ x0, y0, x1, y1 float64 }

type rim struct {
	at calib.Point // px in the overlay
	r  float64
}

func newOverlay(photo *vision.Photo, s *calib.Survey, cam calib.Camera) (*overlay, error) {
	shrink := overlayShrink(photo)
	w, h := int(math.Round(float64(photo.Width)*shrink)), int(math.Round(float64(photo.Height)*shrink))
	o := &overlay{photo: photo, survey: s, camera: cam, shrink: shrink, w: float64(w), h: float64(h)}
	o.unit = float64(w) / 40
	var err error
	for _, f := range []struct {
		face *font.Face
		size float64
	}{{&o.large, 1}, {&o.small, 0.8}} {
		if *f.face, err = boldFace(f.size * o.unit); err != nil {
			return nil, err
		}
	}
	o.strip = o.layStrip()
	all := image.NewRGBA(image.Rect(0, 0, w, h+int(math.Ceil(o.strip.h))))
	draw.Draw(all, all.Bounds(), image.NewUniform(stripColor), image.Point{}, draw.Src)
	draw.BiLinear.Scale(all, image.Rect(0, 0, w, h), photo.RGB, photo.RGB.Bounds(), draw.Src, nil)
	o.dc = gg.NewContextForRGBA(all)
	o.dc.SetLineCapRound()
	o.dc.SetLineJoinRound()
	return o, nil
}

func boldFace(size float64) (font.Face, error) {
	parsed, err := opentype.Parse(gobold.TTF)
	if err != nil {
		return nil, err
	}
	return opentype.NewFace(parsed, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
}

// at returns where a point of the panel lies in the overlay; gg counts from a
// pixel's corner, the camera from its centre.
func (o *overlay) at(x, y, z float64) calib.Point { return overlayAt(o.camera, o.shrink, x, y, z) }

func overlayAt(cam calib.Camera, shrink, x, y, z float64) calib.Point {
	p := cam.Project(calib.Vec3{X: x, Y: y, Z: z})
	return calib.Point{X: (p.X + 0.5) * shrink, Y: (p.Y + 0.5) * shrink}
}

// overlayShrink is how many pixels of the overlay one of the photo becomes.
func overlayShrink(photo *vision.Photo) float64 {
	return math.Min(1, overlayLongest/float64(max(photo.Width, photo.Height)))
}
