package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

// Real photographs and drawings with no reference square in them, though with
// chessboards, dice, playing cards, coins of all sizes and lettering: each must
// be refused in a sentence, and leave no file. From outside: the sample pictures
// of Debian's package opencv-doc; one in four without -sweep.
func TestRealPicturesWithoutSquare(t *testing.T) {
	const folder = "/usr/share/doc/opencv-doc/examples/data"
	var pictures []string
	for _, pattern := range []string{"*.jpg", "*.png"} {
		some, err := filepath.Glob(filepath.Join(folder, pattern))
		if err != nil {
			t.Fatal(err)
		}
		pictures = append(pictures, some...)
	}
	if len(pictures) < 50 {
		if os.Getenv("CI") != "" {
			t.Fatalf("%d pictures in %s; apt-get install opencv-doc", len(pictures), folder)
		}
		t.Skipf("%d pictures in %s; apt-get install opencv-doc", len(pictures), folder)
	}
	if !*sweep {
		pictures = every(4, pictures)
	}
	dir := t.TempDir()
	for _, picture := range pictures {
		var stdout, stderr bytes.Buffer
		if got := run([]string{"--json", "--out", dir, picture}, &stdout, &stderr); got != statusFailed {
			t.Errorf("%s: status %d, want %d: %s", filepath.Base(picture), got, statusFailed, &stdout)
		}
		var said struct{ Error string }
		if err := json.Unmarshal(stdout.Bytes(), &said); err != nil || said.Error == "" {
			t.Errorf("%s: no reason was given: %s", filepath.Base(picture), &stdout)
		}
	}
	left, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range left {
		t.Errorf("%s was written", file.Name())
	}
}

// every returns one in n, the first of them first.
func every(n int, names []string) (out []string) {
	for i := 0; i < len(names); i += n {
		out = append(out, names[i])
	}
	return out
}
