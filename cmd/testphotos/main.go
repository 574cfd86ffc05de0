// Command testphotos makes the test photos: it renders the scenes in
// testdata/scenes with POV-Ray, develops each picture as a phone's camera
// would, and writes testdata/NAME.jpg with its truth, testdata/NAME.json.
//
//	go run ./cmd/testphotos [--preview] [--out DIR] [NAME...]
//	go run ./cmd/testphotos --outlines NAME
//
// Without names it makes all of them, which takes a few minutes a photo. Of a
// photo that is too large to be kept, only the truth is written, unless --out
// says where to. It runs from the top of the repository. A scene always gives
// the same bytes on one machine; see testdata/README.md for how to add one.
package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/pflag"
)

func main() {
	preview := pflag.Bool("preview", false, "render a quarter of the size into the temporary folder, for a look while a scene is written")
	testdata := pflag.String("testdata", "testdata", "folder of scenes, photos and truths")
	out := pflag.String("out", "", "`folder` for the photos and truths, if it is to be another one")
	outlines := pflag.Bool("outlines", false, "render nothing: print the outlines of one scene's solids, for accuracy --traces")
	pflag.Parse()
	if *outlines {
		if err := printOutlines(*testdata, pflag.Args()); err != nil {
			fmt.Fprintln(os.Stderr, "testphotos:", err)
			os.Exit(1)
		}
		return
	}
	if err := run(*testdata, *out, pflag.Args(), *preview); err != nil {
		fmt.Fprintln(os.Stderr, "testphotos:", err)
		os.Exit(1)
	}
}

func run(testdata, out string, names []string, preview bool) error {
	if len(names) == 0 {
		scenes, err := filepath.Glob(filepath.Join(testdata, "scenes", "*.pov"))
		if err != nil || len(scenes) == 0 {
			return fmt.Errorf("there is no scene in %s; run this from the top of the repository", filepath.Join(testdata, "scenes"))
		}
		for _, s := range scenes {
			names = append(names, strings.TrimSuffix(filepath.Base(s), ".pov"))
		}
	}
	scale := 1
	if preview {
		scale = 4
		out = cmp.Or(out, os.TempDir())
	}
	keep := out == ""
	out = cmp.Or(out, testdata)
	if err := os.MkdirAll(out, 0o777); err != nil {
		return err
	}
	for _, name := range names {
		start := time.Now()
		if err := makePhoto(testdata, name, out, scale, keep); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		fmt.Printf("%s  %.0f s\n", filepath.Join(out, name), time.Since(start).Seconds())
	}
	return nil
}

// makePhoto renders one scene, its sides divided by scale, and writes the photo
// and its truth into the folder out; of one that is too large to be kept there,
// only its truth.
func makePhoto(testdata, name, out string, scale int, keep bool) error {
	if keep {
		s, err := readScene(filepath.Join(testdata, "scenes"), name)
		if err != nil {
			return err
		}
		if s.Truth.OnDemand {
			return writeTruth(s, out, name)
		}
	}
	picture, scene, err := render(filepath.Join(testdata, "scenes"), name, scale)
	if err != nil {
		return err
	}
	picture = bend(picture, scene, scale)
	photo, err := encode(develop(picture, scene.Develop), scene.Develop.Quality, scene.Exif)
	if err != nil {
		return err
	}
	if err := replaceFile(filepath.Join(out, name+".jpg"), photo); err != nil {
		return err
	}
	if scene.Truth.Camera.K1 != 0 {
		if err := writeLens(scene, filepath.Join(out, lensFolder), name); err != nil {
			return err
		}
	}
	return writeTruth(scene, out, name)
}

// lensFolder is where lens files go: beside the photos each .json is a truth.
const lensFolder = "lenses"

func writeLens(s *scene, out, name string) error {
	text, err := s.lensFile().Encode()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(out, 0o777); err != nil {
		return err
	}
	return replaceFile(filepath.Join(out, name+".lens.json"), text)
}

func writeTruth(s *scene, out, name string) error {
	truth, err := s.Truth.encode()
	if err != nil {
		return err
	}
	return replaceFile(filepath.Join(out, name+".json"), truth)
}

// printOutlines prints the edges of a scene's solids, and its lamps, as JSON.
func printOutlines(testdata string, names []string) error {
	if len(names) != 1 {
		return errors.New("--outlines takes the name of one scene")
	}
	s, err := readScene(filepath.Join(testdata, "scenes"), names[0])
	if err != nil {
		return err
	}
	return json.NewEncoder(os.Stdout).Encode(s.Outlines)
}

// replaceFile writes a file beside its place and then moves it there, so that
// an interrupted run leaves no half file.
func replaceFile(path string, data []byte) error {
	part := path + ".part"
	if err := os.WriteFile(part, data, 0o644); err != nil {
		return err
	}
	return os.Rename(part, path)
}
