package calib

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// A lens with all that a lens can have, off centre both ways.
var crooked = Lens{Width: 4000, Height: 3000, Fx: 3100, Fy: 3080, Cx: 2031, Cy: 1467, K1: -0.12, K2: 0.05, K3: 0.01, P1: 0.002, P2: -0.003}

// What a turned lens sees of a turned ray is the turned pixel, for each of
// Exif's eight orientations; and turning back gives the lens and the pixel.
func TestLensTurnsWithItsPicture(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	project := func(l Lens, ray Point) Point {
		d := l.Distort(ray)
		return Point{l.Fx*d.X + l.Cx, l.Fy*d.Y + l.Cy}
	}
	for orientation := range 10 {
		turned := crooked.Turned(orientation)
		if back := turned.Turned(unturned(orientation)); back != crooked {
			t.Errorf("orientation %d: there and back gives %+v", orientation, back)
		}
		for range 20 {
			ray := Point{rnd.Float64() - 0.5, rnd.Float64() - 0.5}
			px := project(crooked, ray)
			want := TurnPoint(px, crooked.Width, crooked.Height, orientation)
			// The ray turns as the picture does, about the optical axis.
			turnedRay := TurnPoint(ray.Add(Point{0.5, 0.5}), 2, 2, orientation).Sub(Point{0.5, 0.5})
			if got := project(turned, turnedRay); got.Dist(want) > 1e-9 {
				t.Fatalf("orientation %d: %v, want %v", orientation, got, want)
			}
			if back := UnturnPoint(want, turned.Width, turned.Height, orientation); back.Dist(px) > 1e-9 {
				t.Fatalf("orientation %d: %v came back as %v", orientation, px, back)
			}
		}
	}
}

// CIPA DC-008, tag 0x0112: at 6 the stored row 0 is the picture's right side,
// at 8 its left side, at 3 its foot. The stored first pixel is at row 0 and
// column 0.
func TestTurnPointAgainstExif(t *testing.T) {
	for orientation, want := range map[int]Point{
		1: {0, 0}, 2: {9, 0}, 3: {9, 4}, 4: {0, 4}, 5: {0, 0}, 6: {4, 0}, 7: {4, 9}, 8: {0, 9},
	} {
		if got := TurnPoint(Point{}, 10, 5, orientation); got != want {
			t.Errorf("orientation %d: the first pixel of 10 x 5 goes to %v, want %v", orientation, got, want)
		}
	}
}

// At half the size, a pixel's middle lies where four had theirs together.
func TestLensScalesWithItsPicture(t *testing.T) {
	half := crooked.Scaled(2000, 1500)
	ray := Point{0.2, -0.1}
	d, e := crooked.Distort(ray), half.Distort(ray)
	px := Point{crooked.Fx*d.X + crooked.Cx, crooked.Fy*d.Y + crooked.Cy}
	got := Point{half.Fx*e.X + half.Cx, half.Fy*e.Y + half.Cy}
	if want := (Point{(px.X - 0.5) / 2, (px.Y - 0.5) / 2}); got.Dist(want) > 1e-9 {
		t.Errorf("%v, want %v", got, want)
	}
}

func phoneLens() *LensFile {
	u := Lens{Fx: 3, Fy: 3, Cx: 5, Cy: 4, K1: 0.001}
	return NewLensFile(crooked, u, 0.4, CameraName{Make: "Invented", Model: "P1", FocalLength: 5.43, FocalEquiv: 26})
}

func TestLensFileReadsBack(t *testing.T) {
	f := phoneLens()
	f.Photos, f.Corners = []string{"a.jpg", "b.jpg"}, 108
	b, err := f.Encode()
	if err != nil {
		t.Fatal(err)
	}
	got, err := DecodeLens(b)
	if err != nil {
		t.Fatal(err)
	}
	if got.Lens() != crooked || got.Uncertainty() != f.Uncertainty() || got.CameraName != f.CameraName || got.RMS != 0.4 || got.Corners != 108 {
		t.Errorf("read back as %+v", got)
	}
}

// A lens file written by hand needs the lens and its size, and no more.
func TestLensFileByHand(t *testing.T) {
	f, err := DecodeLens([]byte(`{"width_px": 640, "height_px": 480, "fx_px": 535.9, "fy_px": 535.9, "cx_px": 342.3, "cy_px": 235.6, "k1": -0.266}`))
	if err != nil {
		t.Fatal(err)
	}
	l, u, notes, err := f.For(PhotoOf{Width: 640, Height: 480})
	if err != nil || l != f.Lens() {
		t.Fatalf("%+v, %v", l, err)
	}
	if f.Lens().OneToOne(1) || len(notes) == 0 {
		t.Error("with k1 alone this lens folds over in the far corners, and nothing says so")
	}
	if l.FocalU(u) < 0.003 || l.CentreU(u) < 1 {
		t.Errorf("an uncertainty that is not told is taken as %g and %g px", l.FocalU(u), l.CentreU(u))
	}
}

func TestDecodeLensRefuses(t *testing.T) {
	good := `"width_px": 640, "height_px": 480, "fx_px": 535.9, "fy_px": 535.9, "cx_px": 342.3, "cy_px": 235.6`
	for text, want := range map[string]string{
		``:                                     "is not a lens file",
		`[1]`:                                  "is not a lens file",
		`{}`:                                   `"trimscribe lens"`,
		`{"format": "trimscribe-survey"}`:      "is not a lens file",
		`{"version": 9, ` + good + `}`:         "version 9",
		`{"fx_px": 500}`:                       "width_px",
		`{` + good + `, "width_px": 6400}`:     "is damaged",
		`{` + good + `, "fy_px": 100}`:         "too different",
		`{` + good + `, "cx_px": 700}`:         "principal point",
		`{` + good + `, "k1": -1.5}`:           "folds",
		`{` + good + `, "k1": 1e300}`:          "folds",
		`{` + good + `, "p1": 3}`:              "folds",
		`{` + good + `, "u_fx_px": -1}`:        "negative",
		`{` + good + `, "fx_px": 1e999}`:       "is not a lens file",
		`{` + good + `, "k2": "wide"}`:         "is not a lens file",
		`{` + good + `, "height_px": 9999999}`: "width_px and height_px",
	} {
		if _, err := DecodeLens([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}

func TestLensFileForPhotos(t *testing.T) {
	name := phoneLens().CameraName
	at := func(change func(*PhotoOf)) PhotoOf {
		p := PhotoOf{CameraName: name, Width: 4000, Height: 3000, Orientation: 1}
		change(&p)
		return p
	}
	for what, c := range map[string]struct {
		photo PhotoOf
		err   string // empty: taken
		want  Lens
	}{
		"the same":             {at(func(*PhotoOf) {}), "", crooked},
		"upright":              {at(func(p *PhotoOf) { p.Width, p.Height, p.Orientation = 3000, 4000, 6 }), "", crooked.Turned(6)},
		"half the size":        {at(func(p *PhotoOf) { p.Width, p.Height = 2000, 1500 }), "", crooked.Scaled(2000, 1500)},
		"half, upright":        {at(func(p *PhotoOf) { p.Width, p.Height, p.Orientation = 1500, 2000, 8 }), "", crooked.Scaled(2000, 1500).Turned(8)},
		"rounded":              {at(func(p *PhotoOf) { p.Width, p.Height = 1599, 1199 }), "", crooked.Scaled(1599, 1199)},
		"small letters":        {at(func(p *PhotoOf) { p.Model = "p1" }), "", crooked},
		"no Exif":              {PhotoOf{Width: 4000, Height: 3000}, "", crooked},
		"another model":        {at(func(p *PhotoOf) { p.Model = "P2" }), "another camera (P2) than the lens file is of (P1)", Lens{}},
		"another make":         {at(func(p *PhotoOf) { p.Make = "Made up" }), "another camera", Lens{}},
		"another zoom":         {at(func(p *PhotoOf) { p.FocalLength = 9 }), "another zoom", Lens{}},
		"cropped zoom":         {at(func(p *PhotoOf) { p.FocalEquiv = 52 }), "another zoom", Lens{}},
		"another format":       {at(func(p *PhotoOf) { p.Height = 2250 }), "another shape", Lens{}},
		"cropped":              {at(func(p *PhotoOf) { p.Cropped = true }), "was cropped", Lens{}},
		"upright, way unknown": {at(func(p *PhotoOf) { p.Width, p.Height, p.Orientation = 3000, 4000, 0 }), "which way it was turned", Lens{}},
	} {
		l, _, notes, err := phoneLens().For(c.photo)
		switch {
		case c.err == "" && err != nil:
			t.Errorf("%s: %v", what, err)
		case c.err == "" && l != c.want:
			t.Errorf("%s: %+v, want %+v", what, l, c.want)
		case c.err != "" && (err == nil || !strings.Contains(err.Error(), c.err)):
			t.Errorf("%s: %v, want %q", what, err, c.err)
		}
		if told := len(notes) > 0; told != (what == "no Exif") {
			t.Errorf("%s: notes %q", what, notes)
		}
	}
}

// The uncertainties turn and scale with the lens.
func TestLensFileSpread(t *testing.T) {
	f := phoneLens()
	_, u, _, err := f.For(PhotoOf{CameraName: f.CameraName, Width: 1500, Height: 2000, Orientation: 6})
	if err != nil || u.Cx != 2 || u.Cy != 2.5 || u.Fx != 1.5 {
		t.Errorf("%+v, %v", u, err)
	}
	l := f.Lens()
	if got := l.FocalU(Lens{Fx: 3.1}); math.Abs(got-math.Hypot(0.001, refocusU)) > 1e-12 {
		t.Errorf("relative uncertainty %g", got)
	}
}

// Distance and focal length do the same to a board seen square-on: the spread
// of a fit to such a view must not claim to know the focal length.
func TestSpreadOfOneViewIsOpen(t *testing.T) {
	b := Board{Columns: 5, Rows: 4, Cell: 20}
	f := &LensFit{Board: b, Lens: Lens{Width: 4000, Height: 3000, Fx: 3000, Fy: 3000, Cx: 2000, Cy: 1500}}
	cam := Camera{f.Lens, Pose{R: Mat3{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, T: Vec3{-40, -30, 400}}}
	view := BoardView{Pose: cam.Pose}
	for i, c := range b.Corners() {
		px := cam.Project(Vec3{c.X, c.Y, 0})
		view.Corners = append(view.Corners, px.Add(Point{0.1 * math.Sin(float64(i)), 0.1 * math.Cos(3*float64(i))}))
		view.Used = append(view.Used, true)
	}
	f.Views = []BoardView{view}
	if u, ok := f.Spread(true); ok && u.Fx < 0.02*f.Lens.Fx {
		t.Errorf("one square-on view settles the focal length to %.2f px", u.Fx)
	}
}

// A part of the picture without the board is named as a person sees it: the
// same corners, stored upright or lying.
func TestLensDoubtsNameTheEmptyPart(t *testing.T) {
	l := Lens{Width: 4000, Height: 3000, Fx: 3000, Fy: 3000, Cx: 2000, Cy: 1500}
	b := Board{Columns: 12, Rows: 9, Cell: 20}
	f := &LensFit{Board: b, Lens: l, U: Lens{Fx: 3, Fy: 3}}
	for range 8 {
		// Square to the picture's middle part, tilted besides.
		v := BoardView{Pose: Pose{R: Rotation(Vec3{0.5, 0, 0}), T: Vec3{-110, -80, 400}}}
		for i := range b.Corners() {
			at := Point{float64(i%12)*330 + 100, float64(i/12)*330 + 100}
			v.Corners = append(v.Corners, at)
			v.Used = append(v.Used, at.X > 1400 || at.Y > 1100) // not the upper left
		}
		f.Views = append(f.Views, v)
	}
	for orientation, want := range map[int]string{1: "picture's upper left,", 6: "picture's upper right,", 3: "picture's lower right,", 8: "picture's lower left,"} {
		if all := strings.Join(f.Doubts(orientation), " "); !strings.Contains(all, want) {
			t.Errorf("orientation %d: %q does not name %q", orientation, all, want)
		}
	}
	if share, reach := f.Coverage(); share < 0.7 || share > 0.95 || reach < 0.9 || reach > 1 {
		t.Errorf("coverage %.2f, out to %.2f", share, reach)
	}
}

func FuzzDecodeLens(f *testing.F) {
	b, err := phoneLens().Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b)
	f.Add([]byte(`{"width_px": 640, "height_px": 480, "fx_px": 535.9, "fy_px": 535.9, "cx_px": 342.3, "cy_px": 235.6, "k1": -0.266, "k3": 0.2}`))
	f.Add([]byte(`{"format": "trimscribe-lens"}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		lens, err := DecodeLens(b)
		if err != nil {
			return
		}
		// What is taken can be computed with, but in the far corners.
		l := lens.Lens()
		w, h := float64(l.Width-1), float64(l.Height-1)
		for _, at := range []Point{{0.15, 0.15}, {0.85, 0.15}, {0.15, 0.85}, {0.85, 0.85}, {0.33, 0.2}} {
			px := Point{w * at.X, h * at.Y}
			d := Point{(px.X - l.Cx) / l.Fx, (px.Y - l.Cy) / l.Fy}
			if back := l.Distort(l.Undistort(d)); !(back.Dist(d) < 1e-5) {
				t.Fatalf("%v comes back as %v by %+v", d, back, l)
			}
		}
		out, err := lens.Encode()
		if err != nil {
			t.Fatal(err)
		}
		again, err := DecodeLens(out)
		if err != nil || again.Lens() != l {
			t.Fatalf("read back as %+v, %v", again, err)
		}
	})
}
