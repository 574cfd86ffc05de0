package main

import (
	"bytes"
	"errors"
	"flag"
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

// sweep runs what measures many photos too: go test ./cmd/trimscribe -sweep.
var sweep = flag.Bool("sweep", false, "run the tests that measure many photos")

// slow skips a test that measures many photos, unless they are asked for.
func slow(t *testing.T) {
	if !*sweep {
		t.Skip("run with -sweep")
	}
}

// TestScripts runs the command lines in testdata/script, or with -sweep those in
// its folder sweep. $TESTDATA is the
// folder of the test photos, $HALF the sail panel's photo at half its size and
// without Exif: enough where a fault does not hang on the numbers, in a quarter
// of the time.
func TestScripts(t *testing.T) {
	photos, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	half := filepath.Join(t.TempDir(), "half.jpg")
	if err := halve(filepath.Join(photos, "sail-panel.jpg"), half); err != nil {
		t.Fatal(err)
	}
	dir := "testdata/script"
	if *sweep {
		dir = "testdata/script/sweep"
	}
	testscript.Run(t, testscript.Params{
		Dir:                 dir,
		RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("TESTDATA", photos)
			e.Setenv("HALF", half)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status": statusCmd, "lines": linesCmd, "files": filesCmd, "agrees": agreesCmd, "turn": turnCmd, "heights": heightsCmd,
		},
	})
}

// halve writes a photo at half its size, a JPEG without Exif.
func halve(from, to string) error {
	p, err := vision.Open(from)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, halved(p).RGB, &jpeg.Options{Quality: 95}); err != nil {
		return err
	}
	return os.WriteFile(to, b.Bytes(), 0o666)
}

// heights SURVEY TRUTH: nothing is missed or invented, each height is solved to
// 0.3 mm, and distances are right to 0.10 mm and to 1.5 times their U95.
func heightsCmd(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: heights SURVEY TRUTH")
	}
	survey, err := calib.DecodeSurvey([]byte(ts.ReadFile(args[0])))
	ts.Check(err)
	truth, err := score.ReadTruth(ts.MkAbs(args[1]))
	ts.Check(err)
	s := score.Weigh(truth, survey)
	if s.Expected == 0 || s.Missed > 0 || s.Invented > 0 || s.Solved != s.Expected || s.Height > 0.3 || score.Worst(s.Distances).MM > 0.10 || score.WorstRatio(s.Distances) > 1.5 {
		ts.Fatalf("%+v", s)
	}
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
	if s.Expected == 0 || s.Missed > 0 || s.Invented > 0 || score.Worst(s.Distances).MM > 0.06 || score.Worst(s.Diameters).MM > 0.15 {
		ts.Fatalf("%+v", s)
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
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), insert(b.Bytes(), 2, exifSegment(o)), 0o666))
}
