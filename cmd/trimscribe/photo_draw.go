package main

import (
	"bytes"
	"io"

	"trimscribe/calib"
	"trimscribe/template"
	"trimscribe/vision"
)

// previewDPI is the resolution of the template's PNG, dots per inch.
const previewDPI = 150

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
