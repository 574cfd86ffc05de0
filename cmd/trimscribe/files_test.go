package main

import (
	"bytes"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trimscribe/calib"
	"trimscribe/template"
	"trimscribe/vision"
)

// Every file of ours is known for ours, is still a good file with the mark
// in it, and loses the mark when somebody makes it anew.
func TestMarks(t *testing.T) {
	survey, cam := madeSurvey(1200, 900)
	f := photoFlags{}
	f.groups()
	files, err := f.draw([]string{"panel"}, []*vision.Photo{plain(1200, 900)}, &found{survey, []calib.Camera{cam}})
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 6 {
		t.Fatalf("%d files", len(files))
	}
	for _, file := range files {
		if !isMarked(file.name, file.data) {
			t.Errorf("%s is not known for ours", file.name)
		}
		var err error
		switch filepath.Ext(file.name) {
		case ".png":
			_, err = png.Decode(bytes.NewReader(file.data))
		case ".jpg":
			_, err = jpeg.Decode(bytes.NewReader(file.data))
		}
		if err != nil {
			t.Errorf("%s with its mark: %v", file.name, err)
		}
	}
	var j, p bytes.Buffer
	jpeg.Encode(&j, image.NewGray(image.Rect(0, 0, 9, 9)), nil)
	png.Encode(&p, image.NewGray(image.Rect(0, 0, 9, 9)))
	for name, data := range map[string]string{
		"a.jpg": j.String(), "a.png": p.String(), "a.svg": "<svg/>", "a.dxf": "0\nEOF\n", "a.pdf": "%PDF-1.4", "a.json": `{"format":"other"}`, "b.json": "not JSON",
		"c.png": "", "c.jpg": "",
	} {
		if isMarked(name, []byte(data)) {
			t.Errorf("%s, somebody's, is taken for ours", name)
		}
	}
	var sheet bytes.Buffer
	pages, err := template.SquareSheet(template.SheetOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if err := template.WritePDF(&sheet, "Reference square", pages); err != nil || !isMarked(squareFile, sheet.Bytes()) {
		t.Errorf("the square's sheet is not known for ours (%v)", err)
	}
}

// A folder in the place of the last file makes the last move fail: then none
// of the files is there, and no half-written one either.
func TestWriteAllOrNone(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "made", "here")
	if err := os.MkdirAll(filepath.Join(dir, "b", "full"), 0o777); err != nil {
		t.Fatal(err)
	}
	paths, err := writeAll(dir, []file{{"a", []byte("1")}, {"b", []byte("2")}})
	if err == nil || paths != nil || strings.Contains(err.Error(), "rename") {
		t.Errorf("got %v, %v", paths, err)
	}
	if left := names(t, dir); left != "b" {
		t.Errorf("left behind: %s", left)
	}
	paths, err = writeAll(filepath.Join(dir, "new"), []file{{"a", []byte("1")}, {"c", []byte("2")}})
	if err != nil || len(paths) != 2 || names(t, filepath.Join(dir, "new")) != "a c" {
		t.Errorf("got %v, %v", paths, err)
	}
	plainFile := filepath.Join(dir, "plain")
	if err := os.WriteFile(plainFile, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	st, err := os.Stat(paths[0])
	like, err2 := os.Stat(plainFile)
	if err != nil || err2 != nil || st.Mode() != like.Mode() {
		t.Errorf("its mode is %v, an ordinary file's %v", st.Mode(), like.Mode())
	}
}

func names(t *testing.T, dir string) string {
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var n []string
	for _, e := range entries {
		n = append(n, e.Name())
	}
	return strings.Join(n, " ")
}

// The report's words, from a made survey.
func TestReport(t *testing.T) {
	s, _ := madeSurvey(4032, 3024)
	var b strings.Builder
	report(&b, s, template.Millimetres, []string{"out/panel.survey.json"})
	want := `photo   panel.jpg, 4032 x 3024 pixels
square  number 1, 59.70 x 60.20 mm; number 2, 59.70 x 60.20 mm, seen at 7.4 pixels/mm
camera  406 mm away, tilted by 9.7 degrees; focal length from the photo's Exif
holes   3: H1 4.21, H2 4.19 and H3 4.20 mm wide
grille  44.03 mm wide; centre to H1 42.72 and H2 46.10, +-0.06
others  3 more circles, not chosen; they are numbered in the overlay picture

out/panel.survey.json
`
	if b.String() != want {
		t.Errorf("got\n%s", b.String())
	}
	s.Features, s.Candidates, s.Doubts = nil, s.Candidates[:1], []string{"no set of mounting holes was found"}
	b.Reset()
	report(&b, s, template.Inches, nil)
	for _, want := range []string{"2.350 x 2.370 in", "16.0 in away", "holes   none found", "grille  none found", "one more circle", "Doubtful:\n  no set of mounting holes was found\n"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is missing in\n%s", want, b.String())
		}
	}
}

// With no feature at all the underlay still shows the square.
func TestSurroundings(t *testing.T) {
	s := &calib.Survey{}
	r := surroundings(s, 10)
	if r.Min != (calib.Point{X: -40, Y: -40}) || r.Max != (calib.Point{X: 40, Y: 40}) {
		t.Error(r)
	}
	s.Features = []calib.Feature{{X: 100, Y: 50, Diameter: 4}, {X: 120, Y: 20, Diameter: 40}}
	if r = surroundings(s, 10); r.Min != (calib.Point{X: 88, Y: -10}) || r.Max != (calib.Point{X: 150, Y: 62}) {
		t.Error(r)
	}
}

// A circle that is not there is a slip of the pen, and no choice.
func TestKnown(t *testing.T) {
	s, _ := madeSurvey(4032, 3024)
	for n, good := range map[int]bool{1: true, 12: true, 13: false, 5000: false} {
		if err := (&photoFlags{pick: numbers{n}}).known(s); (err == nil) != good {
			t.Errorf("--pick %d: %v", n, err)
		}
		if err := (&photoFlags{drop: numbers{n}}).known(s); (err == nil) != good {
			t.Errorf("--drop %d: %v", n, err)
		}
	}
}
