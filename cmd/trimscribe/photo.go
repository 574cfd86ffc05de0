package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"trimscribe/calib"
	"trimscribe/template"
	"trimscribe/vision"
)

// previewDPI is the resolution of the template's PNG, dots per inch.
const previewDPI = 150

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
	case len(paths) == 0:
		return 0, usagef("give a photo, such as trimscribe panel.jpg")
	case len(paths) > 1 && f.rectangle.given:
		return 0, usagef("--corners are those of one photo; give one photo, or lay the reference square for several")
	}
	if err := f.agree(); err != nil {
		return 0, err
	}
	if f.dir == "" {
		f.dir = filepath.Dir(paths[0])
	}
	names, err := photoNames(paths)
	if err != nil {
		return 0, err
	}
	if len(paths) > 1 && f.tweeterDiameter.given {
		return 0, usagef("--tweeter-diameter is for one photo, in which the tweeter sits in the opening; give that one alone")
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
	status := statusOf(got.survey.Doubts)
	if f.json {
		return status, writeJSON(stdout, struct {
			Status int      `json:"status"`
			Files  []string `json:"files"`
			*calib.Survey
		}{status, made, got.survey})
	}
	report(stdout, got.survey, f.units.Units, made)
	if f.budget {
		reportBudget(stdout, got.survey, f.units.Units)
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

// agree tells whether the flags go together.
func (f *photoFlags) agree() error {
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

// fileNames lists what is written for photos of these names: the survey and
// the formats asked for, by the first photo's name, and each photo's overlay.
func (f *photoFlags) fileNames(photos []string) []string {
	names := []string{photos[0] + ".survey.json"}
	for _, format := range allFormats {
		for i, photo := range photos {
			if f.formats.has(format) && (i == 0 || format == "overlay") {
				names = append(names, drawingName(photo, format))
			}
		}
	}
	return names
}

func drawingName(name, format string) string {
	if format == "overlay" {
		return name + "-overlay.jpg"
	}
	return name + "-template." + format
}

// draw makes all the files in memory.
func (f *photoFlags) draw(names []string, photos []*vision.Photo, got *found) ([]file, error) {
	survey, err := got.survey.Encode()
	if err != nil {
		return nil, err
	}
	sheets, err := template.Template(got.survey, template.Options{
		Paper:      f.paper.Paper,
		Units:      f.units.Units,
		PrintScale: f.printScale,
		Underlay:   f.underlayOf(photos[0], got),
		Budget:     f.budget,
	})
	if err != nil {
		return nil, err
	}
	files := []file{{names[0] + ".survey.json", survey}}
	add := func(name string, write func(io.Writer) error) {
		var b bytes.Buffer
		if err == nil {
			err = write(&b)
			files = append(files, file{name, marked(name, b.Bytes())})
		}
	}
	for _, format := range allFormats {
		if !f.formats.has(format) {
			continue
		}
		name := drawingName(names[0], format)
		switch format {
		case "pdf":
			add(name, func(w io.Writer) error { return template.WritePDF(w, "Template of "+photos[0].Name(), sheets.Pages) })
		case "svg":
			add(name, func(w io.Writer) error { return template.WriteSVG(w, sheets.Drawing) })
		case "dxf":
			add(name, func(w io.Writer) error { return template.WriteDXF(w, sheets.Drawing) })
		case "png":
			add(name, func(w io.Writer) error { return template.WritePNG(w, sheets.Preview, previewDPI) })
		case "overlay":
			for i, photo := range photos {
				add(drawingName(names[i], format), func(w io.Writer) error { return writeOverlay(w, photo, got.survey, got.cameras[i]) })
			}
		}
	}
	return files, err
}

// The underlay: how far it reaches beyond what was found, and its resolution,
// which is that of a common printer's picture.
const (
	underlayMargin = 20 // mm
	underlayScale  = 6  // px per mm, about 150 dpi
)

// underlayOf flattens the photo about what was found, in the plane of the
// holes; nil when it is not wanted.
func (f *photoFlags) underlayOf(photo *vision.Photo, got *found) *template.Picture {
	if !f.underlay {
		return nil
	}
	r := surroundings(got.survey, underlayMargin)
	z := 0.0
	for _, c := range got.survey.Features {
		if c.Kind == calib.KindHole {
			z = c.Z
			break
		}
	}
	flat := vision.Flatten(photo, got.cameras[0], r, z, underlayScale)
	return &template.Picture{Image: flat, Rect: template.Rect{X0: r.Min.X, Y0: r.Min.Y, X1: r.Max.X, Y1: r.Max.Y}}
}

// surroundings is the rectangle that holds all chosen circles, or the first
// square when none is, with a margin, and all traced edges.
func surroundings(s *calib.Survey, margin float64) vision.Region {
	var r vision.Region
	grow := func(c calib.Point, by float64) {
		r.Min = calib.Point{X: min(r.Min.X, c.X-by), Y: min(r.Min.Y, c.Y-by)}
		r.Max = calib.Point{X: max(r.Max.X, c.X+by), Y: max(r.Max.Y, c.Y+by)}
	}
	for i, c := range s.Features {
		at := calib.Point{X: c.X, Y: c.Y}
		if i == 0 {
			r = vision.Region{Min: at, Max: at}
		}
		grow(at, c.Diameter/2+margin)
	}
	for _, t := range s.Traces {
		for _, q := range t.Points {
			grow(calib.Point{X: q[0], Y: q[1]}, margin/4)
		}
	}
	if len(s.Features) == 0 {
		grow(calib.Point{}, calib.SquareSize/2+margin)
	}
	return r
}
