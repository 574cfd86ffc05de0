package main

import (
	"bytes"
	"errors"
	"image"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"trimscribe/calib"
	"trimscribe/cmd/internal/score"
	"trimscribe/vision"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"trimscribe": main})
}

// TestScripts runs the command lines in testdata/script. $TESTDATA is the
// folder of the test photos.
func TestScripts(t *testing.T) {
	photos, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("TESTDATA", photos)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status": statusCmd, "lines": linesCmd, "files": filesCmd, "agrees": agreesCmd, "same": sameCmd, "turn": turnCmd,
		},
	})
}

// status N COMMAND... runs a command that must exit with N.
func statusCmd(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N COMMAND...")
	}
	got := 0
	err := ts.Exec(args[1], args[2:]...)
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if strconv.Itoa(got) != args[0] {
		ts.Fatalf("exit status %d, want %s", got, args[0])
	}
}

// lines N FILE: the file, or stdout or stderr, has N lines.
func linesCmd(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: lines N FILE")
	}
	if got := strings.Count(ts.ReadFile(args[1]), "\n"); strconv.Itoa(got) != args[0] {
		ts.Fatalf("%s has %d lines, want %s", args[1], got, args[0])
	}
}

// files DIR NAME...: the folder holds these and no others, hidden ones counted.
func filesCmd(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: files DIR NAME...")
	}
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	var got []string
	for _, e := range entries {
		if e.Name() != ".tmp" { // testscript's own
			got = append(got, e.Name())
		}
	}
	if g, w := strings.Join(got, " "), strings.Join(args[1:], " "); g != w {
		ts.Fatalf("%s holds %s, want %s", args[0], g, w)
	}
}

// agrees SURVEY TRUTH: nothing is missed or invented, and the errors are
// within what a plain photo must reach: 0.06 mm in distances and 0.15 mm in
// diameters.
func agreesCmd(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: agrees SURVEY TRUTH")
	}
	survey, err := calib.DecodeSurvey([]byte(ts.ReadFile(args[0])))
	ts.Check(err)
	truth, err := score.ReadTruth(ts.MkAbs(args[1]))
	ts.Check(err)
	s := score.Weigh(truth, survey)
	if s.Expected == 0 || s.Missed > 0 || s.Invented > 0 || s.Distance > 0.06 || s.Diameter > 0.15 {
		ts.Fatalf("%+v", s)
	}
}

// same SURVEY SURVEY: the same features lie at the same places, to MM.
func sameCmd(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: same MM SURVEY SURVEY")
	}
	limit, err := strconv.ParseFloat(args[0], 64)
	ts.Check(err)
	a, err := calib.DecodeSurvey([]byte(ts.ReadFile(args[1])))
	ts.Check(err)
	b, err := calib.DecodeSurvey([]byte(ts.ReadFile(args[2])))
	ts.Check(err)
	if len(a.Features) == 0 || len(a.Features) != len(b.Features) {
		ts.Fatalf("%d and %d features", len(a.Features), len(b.Features))
	}
	for i, f := range a.Features {
		g := b.Features[i]
		if d := (calib.Point{X: f.X, Y: f.Y}).Dist(calib.Point{X: g.X, Y: g.Y}); f.ID != g.ID || d > limit {
			ts.Fatalf("%s and %s are %.3f mm apart", f.ID, g.ID, d)
		}
	}
}

// turn IN OUT ORIENTATION stores a photo lying as a phone would, with Exif
// saying how it is to be turned. 6 and 8 are upright phones.
func turnCmd(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: turn IN OUT ORIENTATION")
	}
	p, err := vision.Open(ts.MkAbs(args[0]))
	ts.Check(err)
	w, h := p.Width, p.Height
	m := image.NewRGBA(image.Rect(0, 0, h, w))
	for y := range h {
		for x := range w {
			switch args[2] {
			case "6": // stored row 0 is the picture's right side
				m.SetRGBA(y, w-1-x, p.RGB.RGBAAt(x, y))
			case "8": // stored row 0 is its left side
				m.SetRGBA(h-1-y, x, p.RGB.RGBAAt(x, y))
			}
		}
	}
	var b bytes.Buffer
	ts.Check(jpeg.Encode(&b, m, &jpeg.Options{Quality: 97}))
	o, err := strconv.Atoi(args[2])
	ts.Check(err)
	// A big-endian TIFF stream with the one tag (CIPA DC-008, 4.6.2).
	exif := "Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00" + string(rune(o)) + "\x00\x00\x00\x00\x00\x00"
	segment := "\xff\xe1\x00" + string(rune(len(exif)+2)) + exif
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), insert(b.Bytes(), 2, segment), 0o666))
}
