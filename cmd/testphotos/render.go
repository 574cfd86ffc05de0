package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
)

// render runs POV-Ray on the scene NAME.pov of a folder. It returns a pinhole's
// picture, its 16-bit values linear in light, and what the scene wrote about
// itself.
func render(scenes, name string, scale int) (image.RGBA64Image, *scene, error) {
	dir, err := os.MkdirTemp("", "testphotos-")
	if err != nil {
		return nil, nil, err
	}
	defer os.RemoveAll(dir)
	s, err := parse(dir, scenes, name)
	if err != nil {
		return nil, nil, err
	}
	if err := povray(dir, name, s.Render[0]/scale, s.Render[1]/scale, s.Antialias); err != nil {
		return nil, nil, err
	}
	f, err := os.Open(filepath.Join(dir, name+".png"))
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	picture, err := png.Decode(f)
	if err != nil {
		return nil, nil, err
	}
	return picture.(image.RGBA64Image), s, nil // as all that png decodes to are
}

// readScene returns what a scene writes about itself.
func readScene(scenes, name string) (*scene, error) {
	dir, err := os.MkdirTemp("", "testphotos-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	return parse(dir, scenes, name)
}

// parse puts a scene and what it includes into a folder and runs it for a dozen
// pixels: it then says what it writes about itself, the size of its photo too.
func parse(dir, scenes, name string) (*scene, error) {
	if err := copyScene(dir, scenes, name); err != nil {
		return nil, err
	}
	if err := povray(dir, name, 4, 3, 0.3); err != nil {
		return nil, err
	}
	text, err := os.ReadFile(filepath.Join(dir, "truth.json"))
	if err != nil {
		return nil, fmt.Errorf("the scene does not end in Write_truth(): %w", err)
	}
	s := new(scene)
	if err := json.Unmarshal(text, s); err != nil {
		return nil, fmt.Errorf("the scene's truth.json: %w", err)
	}
	return s, nil
}

// copyScene gathers a scene and what it includes in one folder: POV-Ray may, as
// Debian sets it up, write only where it stands and in /tmp.
func copyScene(dir, scenes, name string) error {
	files, err := filepath.Glob(filepath.Join(scenes, "*.inc"))
	if err != nil {
		return err
	}
	for _, from := range append(files, filepath.Join(scenes, name+".pov")) {
		text, err := os.ReadFile(from)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, filepath.Base(from)), text, 0o644); err != nil {
			return err
		}
	}
	return os.WriteFile(filepath.Join(dir, "squares.inc"), squaresInclude(), 0o644)
}

// povray renders NAME.pov in a folder to NAME.png.
//
// Where an edge falls inside a pixel must not be biased: pixels are divided
// wherever neighbours differ by the share antialias of white, on a regular grid (+AM2, no
// jitter), and averaged as light, not as gamma-coded values (+AG1), and the file
// holds light too (File_Gamma).
func povray(dir, name string, width, height int, antialias float64) error {
	cmd := exec.Command("povray", "+I"+name+".pov", "+O"+name+".png",
		"+W"+strconv.Itoa(width), "+H"+strconv.Itoa(height),
		"+FN16", "File_Gamma=1.0", "+A"+strconv.FormatFloat(antialias, 'f', 4, 64), "+AM2", "+R2", "-J", "+AG1.0", "+WT1", "-D")
	cmd.Dir = dir
	var said bytes.Buffer
	cmd.Stderr = &said
	if err := cmd.Run(); err != nil {
		_, what, _ := bytes.Cut(said.Bytes(), []byte("[Parsing"))
		return fmt.Errorf("povray (Debian package povray): %w%s", err, what)
	}
	return nil
}
