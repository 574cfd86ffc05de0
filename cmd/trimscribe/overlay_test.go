package main

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
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
		if err := writeOverlay(&b, photo, &found{survey, cam}); err != nil {
			t.Fatal(err)
		}
		if dir := os.Getenv("OVERLAY_DIR"); dir != "" { // to look at
			os.WriteFile(dir+"/"+string(rune('a'+size[0]%7))+".jpg", b.Bytes(), 0o666)
		}
		m, err := jpeg.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		longest := max(m.Bounds().Dx(), m.Bounds().Dy())
		if want := min(2400, max(size[0], size[1])); longest != want {
			t.Errorf("%v: %d pixels long, want %d", size, longest, want)
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
