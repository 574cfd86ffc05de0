package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"trimscribe/calib"
	"trimscribe/cmd/internal/score"
	"trimscribe/vision"
)

// OpenCV's published photos of a chessboard, from the command to the file:
// what is written is what was found, and is ours to write again; a photo given
// twice, and one without the board, are left out and named.
func TestLensOfPublishedPhotos(t *testing.T) {
	photos := publishedPhotos(t)
	dir := t.TempDir()
	twice := filepath.Join(dir, "again.jpg")
	b, err := os.ReadFile(photos[0])
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(twice, b, 0o666); err != nil {
		t.Fatal(err)
	}
	panel := filepath.Join(dir, "panel.jpg")
	if err := halve("../../testdata/sail-panel.jpg", panel); err != nil {
		t.Fatal(err)
	}
	args := append([]string{"lens", "--json", "--cell", "25", "--out", dir, "--name", "left"}, photos...)
	args = append(args, twice, panel)
	for range 2 {
		var stdout, stderr bytes.Buffer
		if status := run(args, &stdout, &stderr); status != statusGood {
			t.Fatalf("status %d: %s%s", status, &stdout, &stderr)
		}
		var answer struct {
			Focal   float64   `json:"fx_px"`
			LeftOut []leftOut `json:"left_out"`
			Photos  []string  `json:"photos"`
			Files   []string  `json:"files"`
		}
		if err := json.Unmarshal(stdout.Bytes(), &answer); err != nil {
			t.Fatal(err)
		}
		// left_intrinsics.yml beside the photos.
		if math.Abs(answer.Focal/535.916-1) > 0.005 || len(answer.Photos) != 13 || len(answer.Files) != 2 {
			t.Errorf("%+v", answer)
		}
		if len(answer.LeftOut) != 2 || !strings.Contains(answer.LeftOut[0].Why, "same picture as left01.jpg") || !strings.Contains(answer.LeftOut[1].Why, "no board") {
			t.Errorf("left out: %+v", answer.LeftOut)
		}
	}
	b, err = os.ReadFile(filepath.Join(dir, "left.lens.json"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := calib.DecodeLens(b); err != nil {
		t.Errorf("the lens file %v", err)
	}
}

func publishedPhotos(t *testing.T) []string {
	t.Helper()
	photos, err := filepath.Glob("/usr/share/doc/opencv-doc/examples/data/left[01]*.jpg")
	if err != nil || len(photos) != 13 {
		if os.Getenv("CI") != "" {
			t.Fatalf("%d photos; apt-get install opencv-doc", len(photos))
		}
		t.Skipf("%d photos; apt-get install opencv-doc", len(photos))
	}
	return photos
}

// A lens lies as the camera's sensor does, however the phone was held: photos
// stored alike but shown turned, each another way, give the same lens.
func TestLensOfPhotosHeldAllWays(t *testing.T) {
	photos := publishedPhotos(t)
	dir := t.TempDir()
	var turned []string
	for i, path := range photos {
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		turned = append(turned, filepath.Join(dir, filepath.Base(path)))
		if err := os.WriteFile(turned[i], insert(b, 2, exifSegment(1+i%8)), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	board := calib.Board{Columns: 9, Rows: 6, Cell: 25}
	var lenses []calib.Lens
	for _, paths := range [][]string{photos, turned} {
		views, err := gatherViews(paths, board, func(string) {})
		if err != nil {
			t.Fatal(err)
		}
		got, err := views.fit(board)
		if err != nil {
			t.Fatal(err)
		}
		lenses = append(lenses, got.fit.Lens)
	}
	a, b := lenses[0], lenses[1]
	if b.Width != 640 || math.Abs(a.Fx-b.Fx) > 0.5 || math.Abs(a.Cx-b.Cx) > 1 || math.Abs(a.Cy-b.Cy) > 1 || math.Abs(a.P1-b.P1) > 3e-4 || math.Abs(a.P2-b.P2) > 3e-4 {
		t.Errorf("%+v\nbecame %+v", a, b)
	}
}

// exifSegment is a JPEG segment with the one tag that says how the picture is
// to be turned: a big-endian TIFF stream (CIPA DC-008, 4.6.2).
func exifSegment(orientation int) string {
	exif := "Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00" + string(rune(orientation)) + "\x00\x00\x00\x00\x00\x00"
	return "\xff\xe1\x00" + string(rune(len(exif)+2)) + exif
}

// A test photo, bent as by a lens with k1 = -0.05 and stored at half its size,
// measures as it did unbent when the lens file says so. The lens file is for
// the full size.
func TestLensFileUnbendsAPhoto(t *testing.T) {
	slow(t)
	survey, s := measureBent(t, "sail-panel", true)
	if s.Missed > 0 || s.Invented > 0 || score.Worst(s.Distances).MM > 0.06 {
		t.Errorf("%+v", s)
	}
	if got := survey.Photos[0].FocalSource; got != calib.FocalLensFile {
		t.Errorf("focal length from %q", got)
	}
}

// Two squares far apart show that the lens bends, and the photo measures well
// without a lens file, and better with one.
func TestTwoSquaresUnbendAPhoto(t *testing.T) {
	slow(t)
	for _, c := range []struct {
		lensFile bool
		most     float64 // mm
	}{{false, 0.15}, {true, 0.06}} {
		survey, s := measureBent(t, "dash-pod-two-squares", c.lensFile)
		if s.Missed > 0 || s.Invented > 0 || score.Worst(s.Distances).MM > c.most {
			t.Errorf("lens file %v: %+v", c.lensFile, s)
		}
		photo := survey.Photos[0]
		if math.Abs(photo.Camera.K1+0.05) > 1.5*photo.K1U95 || photo.K1U95 > 0.03 {
			t.Errorf("lens file %v: k1 is %.4f +-%.4f", c.lensFile, photo.Camera.K1, photo.K1U95)
		}
		if told := slices.ContainsFunc(survey.Notes, func(n string) bool { return strings.Contains(n, "bends straight lines") }); told == c.lensFile {
			t.Errorf("lens file %v: notes %q", c.lensFile, survey.Notes)
		}
	}
}

// measureBent bends a test photo as a lens with k1 = -0.05 would, halves it,
// and measures it with a lens file or with the focal length alone.
func measureBent(t *testing.T, name string, lensFile bool) (*calib.Survey, score.Score) {
	t.Helper()
	dir := t.TempDir()
	straight, err := vision.Open("../../testdata/" + name + ".jpg")
	if err != nil {
		t.Fatal(err)
	}
	pinhole, _ := calib.AssumeLens(straight.Width, straight.Height, straight.FocalEquiv)
	bentLens := pinhole
	bentLens.K1 = -0.05
	small := bentLens.Scaled(straight.Width/2, straight.Height/2)
	if err := os.WriteFile(filepath.Join(dir, "bent.jpg"), bent(t, straight, pinhole, small), 0o666); err != nil {
		t.Fatal(err)
	}
	args := []string{"--json", "--formats", "overlay"}
	if lensFile {
		u := calib.Lens{Fx: 3, Fy: 3, Cx: 3, Cy: 3, K1: 0.001}
		record, err := calib.NewLensFile(bentLens, u, 0.3, calib.CameraName{}).Encode()
		if err != nil {
			t.Fatal(err)
		}
		lens := filepath.Join(dir, "made.lens.json")
		if err := os.WriteFile(lens, record, 0o666); err != nil {
			t.Fatal(err)
		}
		args = append(args, "--lens", lens)
	} else {
		args = append(args, "--focal-equiv", fmt.Sprint(straight.FocalEquiv))
	}
	var stdout, stderr bytes.Buffer
	if status := run(append(args, filepath.Join(dir, "bent.jpg")), &stdout, &stderr); status != statusGood && status != statusDoubtful {
		t.Fatalf("status %d: %s%s", status, &stdout, &stderr)
	}
	survey, err := calib.DecodeSurvey(stdout.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	truth, err := score.ReadTruth("../../testdata/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	s := score.Weigh(truth, survey)
	t.Logf("%+v", s)
	return survey, s
}

// bent is what the lens to would have seen where from saw the photo: a JPEG
// without Exif. The way from pixel to pixel is smooth, so it is worked out
// every 16 pixels.
func bent(t *testing.T, p *vision.Photo, from, to calib.Lens) []byte {
	t.Helper()
	source := func(x, y float64) calib.Point {
		ray := to.Undistort(calib.Point{X: (x - to.Cx) / to.Fx, Y: (y - to.Cy) / to.Fy})
		return calib.Point{X: from.Fx*ray.X + from.Cx, Y: from.Fy*ray.Y + from.Cy}
	}
	const step = 16
	nx, ny := to.Width/step+2, to.Height/step+2
	grid := make([]calib.Point, nx*ny)
	for i := range grid {
		grid[i] = source(float64(i%nx*step), float64(i/nx*step))
	}
	out := image.NewRGBA(image.Rect(0, 0, to.Width, to.Height))
	for y := range to.Height {
		for x := range to.Width {
			i, fx, fy := y/step*nx+x/step, float64(x%step)/step, float64(y%step)/step
			top := grid[i].Mul(1 - fx).Add(grid[i+1].Mul(fx))
			low := grid[i+nx].Mul(1 - fx).Add(grid[i+nx+1].Mul(fx))
			at := top.Mul(1 - fy).Add(low.Mul(fy))
			o := out.Pix[out.PixOffset(x, y):]
			for c := range 3 {
				o[c] = sampled(p.RGB, at, c)
			}
			o[3] = 255
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, out, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// sampled is the mean of a channel over two by two pixels about a place, in
// between by the bilinear way.
func sampled(m *image.RGBA, at calib.Point, channel int) uint8 {
	sum := 0.0
	for _, d := range [4]calib.Point{{X: -0.5, Y: -0.5}, {X: 0.5, Y: -0.5}, {X: -0.5, Y: 0.5}, {X: 0.5, Y: 0.5}} {
		x := math.Min(math.Max(at.X+d.X, 0), float64(m.Rect.Dx()-2))
		y := math.Min(math.Max(at.Y+d.Y, 0), float64(m.Rect.Dy()-2))
		x0, y0 := int(x), int(y)
		fx, fy := x-float64(x0), y-float64(y0)
		i := y0*m.Stride + 4*x0 + channel
		top := float64(m.Pix[i])*(1-fx) + float64(m.Pix[i+4])*fx
		low := float64(m.Pix[i+m.Stride])*(1-fx) + float64(m.Pix[i+m.Stride+4])*fx
		sum += top*(1-fy) + low*fy
	}
	return uint8(sum/4 + 0.5)
}
