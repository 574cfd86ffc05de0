package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"trimscribe/calib"
	"trimscribe/vision"
)

// photoCommand measures a photo, or several of one panel, and writes the survey
// and the template.
func photoCommand(args []string, stdout, stderr io.Writer) (int, error) {
	var f photoFlags
	groups := f.groups()
	paths, err := parse(groups, gatherCorners(withRadius(args)))
	switch {
	case err != nil:
		return 0, err
	case f.help:
		fmt.Fprint(stdout, photoHelp(groups))
		return statusGood, nil
	case f.isVersion:
		fmt.Fprintln(stdout, versionLine())
		return statusGood, nil
	}
	if err := f.agree(len(paths)); err != nil {
		return 0, err
	}
	if f.dir == "" {
		f.dir = filepath.Dir(paths[0])
	}
	names, err := photoNames(paths)
	if err != nil {
		return 0, err
	}
	var photos []*vision.Photo
	for _, path := range paths {
		photo, err := openPhoto(path)
		if err != nil {
			return 0, err
		}
		photos = append(photos, photo)
	}
	if err := checkTargets(f.dir, f.fileNames(names), f.force); err != nil {
		return 0, err
	}
	progress := newProgress(stderr, f.json)
	defer progress.done()
	got, err := measureAll(photos, &f, progress.stage)
	if err != nil {
		return 0, err
	}
	if err := f.known(got.survey); err != nil {
		return 0, err
	}
	progress.stage("drawing")
	files, err := f.draw(names, photos, got)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", paths[0], err)
	}
	made, err := writeAll(f.dir, files)
	if err != nil {
		return 0, err
	}
	progress.done()
	return f.say(stdout, got.survey, made)
}

// say reports a survey and the files made, and returns the exit status.
func (f *photoFlags) say(stdout io.Writer, s *calib.Survey, made []string) (int, error) {
	status := statusOf(s.Doubts)
	if f.json {
		return status, writeJSON(stdout, struct {
			Status int      `json:"status"`
			Files  []string `json:"files"`
			*calib.Survey
		}{status, made, s})
	}
	report(stdout, s, f.units.Units, made)
	if f.budget {
		reportBudget(stdout, s, f.units.Units)
	}
	return status, nil
}

// measureAll takes one photo through the stages, or several together. Its
// errors are whole sentences.
func measureAll(photos []*vision.Photo, f *photoFlags, stage func(string)) (*found, error) {
	if len(photos) > 1 {
		return measureSeveral(photos, f, stage)
	}
	got, err := measure(photos[0], f, stage)
	var usage usageError
	if errors.As(err, &usage) {
		return nil, err
	}
	if err != nil {
		return nil, fmt.Errorf("%s %w", photos[0].File, err)
	}
	return got, nil
}

// openPhoto opens a photo, but not our own picture of one: the lines drawn on
// an overlay would be measured as if they were the panel.
func openPhoto(path string) (*vision.Photo, error) {
	photo, err := vision.Open(path)
	if err != nil {
		if filepath.Ext(path) == "" && !strings.ContainsRune(path, filepath.Separator) && !exists(path) {
			return nil, fmt.Errorf("there is neither a file nor a command %s", path)
		}
		return nil, err
	}
	if isMarked(path, headOf(path)) {
		return nil, fmt.Errorf("%s is a picture that trimscribe made; give the photo itself", path)
	}
	return photo, nil
}

// headOf returns the first bytes of a file, as many as isMarked looks at in a
// picture.
func headOf(path string) []byte {
	f, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer f.Close()
	b := make([]byte, markHead)
	n, _ := io.ReadFull(f, b)
	return b[:n]
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// agree tells whether the flags go together, for so many photos.
func (f *photoFlags) agree(photos int) error {
	switch {
	case photos == 0:
		return usagef("give a photo, such as trimscribe panel.jpg")
	case photos > 1 && f.rectangle.given:
		return usagef("--corners are those of one photo; give one photo, or lay the reference square for several")
	case photos > 1 && f.tweeterDiameter.given:
		return usagef("--tweeter-diameter is for one photo, in which the tweeter sits in the opening; give that one alone")
	}
	for _, n := range f.pick {
		for _, m := range f.drop {
			if n == m {
				return usagef("circle %d is both picked and dropped; give it to --pick or to --drop", n)
			}
		}
	}
	if err := f.rectangleAgrees(); err != nil {
		return err
	}
	if err := f.trace.settle(f.units.Units); err != nil {
		return err
	}
	if f.lens.LensFile != nil && f.focalEquiv.given {
		return usagef("--lens and --focal-equiv both give the focal length; leave one out")
	}
	if f.tweeterHeight.given && !f.tweeterDiameter.given {
		return usagef("--tweeter-height is the height of a tweeter that sits in the opening; give its --tweeter-diameter too")
	}
	if f.holeDiameter.given && f.grilleDiameter.given && f.holeDiameter.mm >= f.grilleDiameter.mm {
		return usagef("the holes are wider than the grille; exchange --hole-diameter and --grille-diameter")
	}
	return nil
}

// known tells whether the circles picked and dropped are there at all.
func (f *photoFlags) known(s *calib.Survey) error {
	most := 0
	for _, c := range slices.Concat(s.Features, s.Candidates) {
		most = max(most, c.Number)
	}
	for _, n := range slices.Concat(f.pick, f.drop) {
		if n > most {
			return usagef("there is no circle %d in this photo: the overlay picture's numbers end at %d", n, most)
		}
	}
	return nil
}
