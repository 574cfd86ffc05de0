package main

import (
	"bytes"
	"encoding/json"
	"image"
	_ "image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rwcarlsen/goexif/exif"

	"trimscribe/calib"
	"trimscribe/cmd/internal/score"
)

const testdata = "../../testdata"

func scenes(t *testing.T) []string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(testdata, "scenes", "*.pov"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no scenes: %v", err)
	}
	var names []string
	for _, p := range paths {
		names = append(names, strings.TrimSuffix(filepath.Base(p), ".pov"))
	}
	return names
}

// The committed set must hang together: each scene has its photo and its truth,
// the truth is of the photo as it is looked at, and what is to be found can be
// seen.
func TestSet(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join(testdata, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	var total int
	for _, name := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile(filepath.Join(testdata, name+".json"))
			if err != nil {
				t.Fatal(err)
			}
			var tr truth
			decoder := json.NewDecoder(bytes.NewReader(text))
			decoder.DisallowUnknownFields()
			if err := decoder.Decode(&tr); err != nil {
				t.Fatal(err)
			}
			if !strings.HasPrefix(tr.About, "invented: ") {
				t.Errorf("the truth does not say that it is invented: %q", tr.About)
			}
			if !bytes.Contains(readme, []byte("`"+name+"`")) {
				t.Error("README.md's table has no row for it")
			}
			if !tr.OnDemand {
				photo, err := os.ReadFile(filepath.Join(testdata, name+".jpg"))
				if err != nil {
					t.Fatal(err)
				}
				total += len(photo)
				checkSize(t, photo, tr.Camera)
			}
			checkPose(t, tr.Camera)
			checkLensFile(t, name, tr.Camera)
			if tr.Status != 1 {
				checkSeen(t, &tr)
			}
		})
	}
	if total > 40_000_000 {
		t.Errorf("the photos take %d MB; at most 40 are kept in git", total/1_000_000)
	}
}

// A row of the table that no scene made (several photos, other arguments) names
// photos of the set and says what it is for.
func TestRowsOfTheirOwn(t *testing.T) {
	rendered := map[string]bool{}
	for _, name := range scenes(t) {
		rendered[name] = true
	}
	files, err := filepath.Glob(filepath.Join(testdata, "*.json"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if rendered[strings.TrimSuffix(filepath.Base(file), ".json")] {
			continue
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var row struct {
			About  string   `json:"about"`
			Args   []string `json:"args"`
			Status int      `json:"status"`
			Photos []string `json:"photos"`
		}
		decoder := json.NewDecoder(bytes.NewReader(text))
		decoder.DisallowUnknownFields()
		if err := decoder.Decode(&row); err != nil {
			t.Errorf("%s: %v", file, err)
		}
		if row.About == "" || len(row.Photos) == 0 {
			t.Errorf("%s does not say what it is about, or names no photo", file)
		}
		for _, photo := range row.Photos {
			if !rendered[strings.TrimSuffix(photo, ".jpg")] {
				t.Errorf("%s names %s, which no scene makes", file, photo)
			}
		}
	}
}

func checkSize(t *testing.T, photo []byte, c score.Camera) {
	t.Helper()
	stored, _, err := image.DecodeConfig(bytes.NewReader(photo))
	if err != nil {
		t.Fatal(err)
	}
	width, height := stored.Width, stored.Height
	if x, err := exif.Decode(bytes.NewReader(photo)); err == nil {
		if tag, err := x.Get(exif.Orientation); err == nil && tag.String() == "6" {
			width, height = height, width
		}
	}
	if width != c.Width || height != c.Height {
		t.Errorf("the photo is %d x %d, the truth says %d x %d", width, height, c.Width, c.Height)
	}
}

func checkPose(t *testing.T, c score.Camera) {
	t.Helper()
	camera := c.Calib()
	product := camera.R.Mul(camera.R.Transpose())
	for i := range 3 {
		for j := range 3 {
			want := 0.0
			if i == j {
				want = 1
			}
			if math.Abs(product[i][j]-want) > 1e-7 {
				t.Errorf("R is not a rotation: R R' has %g at %d, %d", product[i][j], i, j)
			}
		}
	}
	x, y := calib.Vec3{X: camera.R[0][0], Y: camera.R[0][1], Z: camera.R[0][2]}, calib.Vec3{X: camera.R[1][0], Y: camera.R[1][1], Z: camera.R[1][2]}
	if z := x.Cross(y); z.Dot(calib.Vec3{X: camera.R[2][0], Y: camera.R[2][1], Z: camera.R[2][2]}) < 0 {
		t.Error("R is mirrored")
	}
	if got := camera.Tilt() * 180 / math.Pi; math.Abs(got-c.Tilt) > 1e-4 {
		t.Errorf("R is tilted %.5f degrees, the truth says %.5f", got, c.Tilt)
	}
	if got := camera.Eye().Norm(); math.Abs(got-c.Distance) > 1e-4 {
		t.Errorf("the camera is %.4f mm away, the truth says %.4f", got, c.Distance)
	}
}

// checkLensFile makes sure that a lens which is no pinhole has its lens file.
func checkLensFile(t *testing.T, name string, c score.Camera) {
	t.Helper()
	if c.K1 == 0 {
		return
	}
	text, err := os.ReadFile(filepath.Join(testdata, lensFolder, name+".lens.json"))
	if err != nil {
		t.Fatal(err)
	}
	file, err := calib.DecodeLens(text)
	if err != nil {
		t.Fatalf("the lens file %v", err)
	}
	if file.Lens() != c.Calib().Lens {
		t.Errorf("the lens file says %+v, the truth %+v", file.Lens(), c.Calib().Lens)
	}
}

// checkSeen makes sure that squares and holes lie in the photo, that no paper
// covers a circle, and that no other circle touches a mounting hole.
func checkSeen(t *testing.T, tr *truth) {
	t.Helper()
	camera := tr.Camera.Calib()
	inPhoto := func(what string, v calib.Vec3, clear float64) {
		px := camera.Project(v)
		if px.X < clear || px.Y < clear || px.X > float64(camera.Width-1)-clear || px.Y > float64(camera.Height-1)-clear {
			t.Errorf("%s lies at %.0f, %.0f px, at the photo's edge or beyond", what, px.X, px.Y)
		}
	}
	hub := tr.Grille
	if hub == nil {
		hub = tr.Tweeter
	}
	if tr.Square == nil || hub == nil || len(tr.Holes) == 0 {
		t.Fatal("a photo that is to be measured lacks square, grille and tweeter, or holes")
	}
	circles := append(append([]truthCircle{*hub}, tr.Holes...), tr.Others...)
	for _, s := range append([]score.Square{*tr.Square}, tr.Squares...) {
		sin, cos := math.Sincos(s.Turn * math.Pi / 180)
		paper := (1 + 2*calib.SquareMargin/calib.SquareGrid) / 2
		for _, k := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
			x, y := k[0]*paper*s.Size[0], k[1]*paper*s.Size[1]
			inPhoto("the square's paper", calib.Vec3{X: s.X + cos*x - sin*y, Y: s.Y + sin*x + cos*y}, 20)
		}
		for _, c := range circles {
			dx, dy := c.X-s.X, c.Y-s.Y
			x, y := math.Abs(cos*dx+sin*dy)-paper*s.Size[0], math.Abs(cos*dy-sin*dx)-paper*s.Size[1]
			if math.Hypot(math.Max(x, 0), math.Max(y, 0)) < c.Diameter/2 {
				t.Errorf("paper lies on the circle at %.1f, %.1f mm", c.X, c.Y)
			}
		}
	}
	for i, h := range tr.Holes {
		inPhoto("a hole", calib.Vec3{X: h.X, Y: h.Y, Z: h.Z}, 50)
		for j, c := range circles {
			ownEdge := c.Kind != "" && c.X == h.X && c.Y == h.Y // its boss, insert or counterbore
			if gap := math.Hypot(c.X-h.X, c.Y-h.Y) - (c.Diameter+h.Diameter)/2; j != i+1 && !ownEdge && gap < 1 {
				t.Errorf("the hole at %.1f, %.1f mm is %.1f mm from another circle", h.X, h.Y, gap)
			}
		}
	}
}
