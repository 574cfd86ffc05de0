package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"strings"
	"testing"

	"trimscribe/calib"
	"trimscribe/vision"
)

// madeSurvey is a survey of an invented panel, and the camera it was seen by:
// 12 megapixels from 400 mm, tilted by ten degrees.
func madeSurvey(w, h int) (*calib.Survey, calib.Camera) {
	f := 3000 * float64(w) / 4032
	upright := calib.Mat3{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}
	cam := calib.Camera{
		Lens: calib.Lens{Width: w, Height: h, Fx: f, Fy: f, Cx: float64(w-1) / 2, Cy: float64(h-1) / 2},
		Pose: calib.Pose{R: calib.Rotation(calib.Vec3{X: 0.12, Y: 0.12}).Mul(upright), T: calib.Vec3{X: -70, Y: 10, Z: 400}},
	}
	s := &calib.Survey{
		Format: calib.SurveyFormat, Version: calib.SurveyVersion,
		Photos:  []calib.SurveyPhoto{{File: "panel.jpg", Width: w, Height: h, Tilt: 9.7, Distance: 406, Focal: f, FocalSource: "exif", PxPerMM: f / 406}},
		Squares: []calib.SurveySquare{{Number: 1, Size: [2]float64{59.7, 60.2}}, {Number: 2, Size: [2]float64{59.7, 60.2}, X: 190, Y: -70, Turn: 30}},
		Features: []calib.Feature{
			{ID: "H1", Number: 1, Kind: calib.KindHole, X: 130, Y: 20, Diameter: 4.21, U95: 0.05},
			{ID: "H2", Number: 2, Kind: calib.KindHole, X: 60, Y: 40, Diameter: 4.19, U95: 0.05},
			{ID: "H3", Number: 3, Kind: calib.KindHole, X: 75, Y: -40, Diameter: 4.2, U95: 0.05},
			{ID: "G", Number: 9, Kind: calib.KindGrille, X: 90, Y: 5, Diameter: 44.03, U95: 0.05},
		},
		Candidates: []calib.Feature{
			{ID: "C4", Number: 4, Kind: calib.KindHole, X: 150, Y: 60, Diameter: 6},
			{ID: "C7", Number: 7, Kind: calib.KindHole, X: 156, Y: 60, Diameter: 4.5},
			{ID: "C12", Number: 12, Kind: calib.KindGrille, X: 90, Y: 5, Diameter: 52},
		},
		Tweeter:   &calib.TweeterCentre{X: 90, Y: 1.5, From: "grille and offset"},
		Distances: []calib.DistanceEntry{{From: "H1", To: "H2", MM: 72.8, U95: 0.05}, {From: "G", To: "H1", MM: 42.72, U95: 0.04}, {From: "H2", To: "G", MM: 46.1, U95: 0.06}},
		Doubts:    []string{},
	}
	return s, cam
}

// plain is a photo of nothing: half light, half dark.
func plain(w, h int) *vision.Photo {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := uint8(235)
			if x > w/2 {
				v = 25
			}
			m.SetRGBA(x, y, color.RGBA{v, v, v, 255})
		}
	}
	return &vision.Photo{File: "panel.jpg", Width: w, Height: h, RGB: m}
}

// The circles are drawn where the camera sees them, in both halves of the
// picture: a ring beside its hole would send the user after an error that is
// not there.
func TestOverlayDrawsWhereTheCameraSees(t *testing.T) {
	for _, size := range [][2]int{{4032, 3024}, {1200, 900}, {900, 1200}} {
		survey, cam := madeSurvey(size[0], size[1])
		photo := plain(size[0], size[1])
		var b bytes.Buffer
		if err := writeOverlay(&b, photo, survey, cam); err != nil {
			t.Fatal(err)
		}
		if dir := os.Getenv("OVERLAY_DIR"); dir != "" { // to look at
			os.WriteFile(fmt.Sprintf("%s/%d.jpg", dir, size[0]), b.Bytes(), 0o666)
		}
		m, err := jpeg.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		if want := size[0] * min(2400, max(size[0], size[1])) / max(size[0], size[1]); m.Bounds().Dx() != want {
			t.Errorf("%v: %d pixels wide, want %d", size, m.Bounds().Dx(), want)
		}
		k := float64(m.Bounds().Dx()) / float64(size[0])
		for _, c := range survey.Features {
			p := cam.Project(calib.Vec3{X: c.X + c.Diameter/2*math.Cos(2.5), Y: c.Y + c.Diameter/2*math.Sin(2.5), Z: c.Z})
			if d := nearness(m, (p.X+0.5)*k, (p.Y+0.5)*k, colorOf(c)); d > 90 {
				t.Errorf("%v: %s is not drawn at its rim (colour off by %d)", size, c.ID, d)
			}
		}
	}
}

// nearness is how far the nearest colour within two pixels is from a wanted
// one, as the greatest difference of a channel.
func nearness(m image.Image, x, y float64, want color.RGBA) int {
	best := 255
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			r, g, b, _ := m.At(int(x)+dx, int(y)+dy).RGBA()
			d := 0
			for _, c := range [][2]int{{int(r >> 8), int(want.R)}, {int(g >> 8), int(want.G)}, {int(b >> 8), int(want.B)}} {
				d = max(d, c[0]-c[1], c[1]-c[0])
			}
			best = min(best, d)
		}
	}
	return best
}

// On a phone's screen, 400 pixels wide, letters are at least 8 pixels high;
// no label of what was chosen lies on another or outside the photo, and each chosen feature is seen large,
// its edge where the fit says.
func TestOverlayIsSeenOnAPhone(t *testing.T) {
	for _, size := range [][2]int{{4032, 3024}, {900, 1200}} {
		survey, cam := madeSurvey(size[0], size[1])
		survey.Doubts = []string{"two sets of mounting holes are about as likely; " + strings.Repeat("this goes on and on, ", 12)}
		survey.Missing = []calib.MissingHole{{X: 120, Y: -30}}
		o, err := newOverlay(plain(size[0], size[1]), survey, cam)
		if err != nil {
			t.Fatal(err)
		}
		if letter := 0.8 * o.unit * 400 / o.w; letter < 8 {
			t.Errorf("%v: letters are %.1f pixels high", size, letter)
		}
		o.drawPhoto()
		for i, a := range o.taken {
			if a.x0 < 0 || a.y0 < 0 || a.x1 > o.w || a.y1 > o.h {
				t.Errorf("%v: a label lies at %v", size, a)
			}
			for _, b := range o.taken[:i] {
				if a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 {
					t.Errorf("%v: labels lie on one another, at %v and %v", size, a, b)
				}
			}
		}
		for i, l := range o.strip.doubts {
			if w := textWidth(o.small, l); w > o.w-2*stripGap*o.unit {
				t.Errorf("%v: line %d of the doubts is %.0f of %.0f pixels wide", size, i, w, o.w)
			}
		}
		o.drawStrip()
		// The zoomed pictures stand in rows below the doubts; a hole's circle is
		// as wide as its picture over 1.9, and the grille's over 1.15.
		gap, feed := stripGap*o.unit, stripFeed*o.unit
		top := o.h + gap + (float64(len(o.strip.doubts))+0.8)*feed + gap
		for i, f := range survey.Features {
			x := gap + float64(i%o.strip.columns)*(o.strip.cell+gap)
			y := top + float64(i/o.strip.columns)*(o.strip.cell+feed+gap)
			half := o.strip.cell / 2
			r := half / 1.9
			if f.Kind == calib.KindGrille {
				r = half / 1.15
			}
			// The widest way of the circle as seen lies somewhere round it.
			best := 255
			for k := range 90 {
				sin, cos := math.Sincos(float64(k) * math.Pi / 45)
				best = min(best, nearness(o.dc.Image(), x+half+r*cos, y+half+r*sin, colorOf(f)))
			}
			if best > 40 {
				t.Errorf("%v: %s has no circle in its zoomed picture (colour off by %d)", size, f.ID, best)
			}
		}
	}
}
