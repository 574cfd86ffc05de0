package main

import (
	"fmt"
	"image"
	"math"
	"path/filepath"
	"slices"

	"trimscribe/calib"
	"trimscribe/template"
	"trimscribe/template/plate"
	"trimscribe/vision"
)

// flattened returns the photo as the picture needs it, and where it lies as
// seen from the folder of the plate's file. Where it is not to be found, or
// its square is not, the picture does without, and the plate's notes say so.
func (f *plateFlags) flattened(job *plateJob, p *plate.Plate) (pic *template.Picture, rel string, err error) {
	path := f.photo
	if path == "" {
		if path = job.photo(); path == "" {
			return nil, "", nil
		}
		if !exists(path) {
			if slices.Contains(f.formats, "png") {
				p.Notes = append(p.Notes, fmt.Sprintf("The photo is not at %s: the picture shows the panel's circles alone. Say where it is with --photo.", path))
			}
			return nil, "", nil
		}
	}
	rel, err = filepath.Rel(f.dir, path)
	if err != nil {
		rel = path
	}
	rel = filepath.ToSlash(rel)
	if !slices.Contains(f.formats, "png") {
		return nil, rel, nil
	}
	photo, err := openPhoto(path)
	if err != nil {
		if f.photo != "" {
			return nil, "", err
		}
		p.Notes = append(p.Notes, fmt.Sprintf("The picture does without the photo: %v.", err))
		return nil, rel, nil
	}
	photo = halved(photo)
	camera, err := photoCamera(photo, job.survey)
	if err != nil {
		if f.photo != "" {
			return nil, "", fmt.Errorf("%s %w", path, err)
		}
		p.Notes = append(p.Notes, fmt.Sprintf("The picture does without the photo: %s %v.", path, err))
		return nil, rel, nil
	}
	r := p.PictureRegion()
	region := vision.Region{Min: calib.Point{X: r.X0, Y: r.Y0}, Max: calib.Point{X: r.X1, Y: r.Y1}}
	// At the photo's own scale a pixel is one sample.
	scale := min(camera.PxPerMM(p.Centre, p.Height()), mostPictureScale)
	return &template.Picture{Image: vision.Flatten(photo, camera, region, p.Height(), scale), Rect: r}, rel, nil
}

// mostPictureScale is as fine as the picture can show, px per mm.
const mostPictureScale = 9

// leastHalved is the photo's width from which half of its pixels each way are
// plenty for a picture to look at, px.
const leastHalved = 3000

// halved returns a large photo at half its width and height: solving and
// flattening it is then a quarter of the work.
func halved(p *vision.Photo) *vision.Photo {
	if p.Width < leastHalved {
		return p
	}
	w, h := p.Width/2, p.Height/2
	q := &vision.Photo{File: p.File, Width: w, Height: h, Exif: p.Exif, Lin: make([]float32, w*h), RGB: image.NewRGBA(image.Rect(0, 0, w, h))}
	for y := range h {
		for x := range w {
			i := 2*y*p.Width + 2*x
			q.Lin[y*w+x] = (p.Lin[i] + p.Lin[i+1] + p.Lin[i+p.Width] + p.Lin[i+p.Width+1]) / 4
			a, b := p.RGB.PixOffset(2*x, 2*y), p.RGB.PixOffset(2*x, 2*y+1)
			o := q.RGB.PixOffset(x, y)
			for c := range 4 {
				q.RGB.Pix[o+c] = uint8((int(p.RGB.Pix[a+c]) + int(p.RGB.Pix[a+4+c]) + int(p.RGB.Pix[b+c]) + int(p.RGB.Pix[b+4+c])) / 4)
			}
		}
	}
	return q
}

// photo returns where the survey's first photo should lie: where the plate's
// file says, else beside the survey.
func (j *plateJob) photo() string {
	dir := filepath.Dir(j.path)
	switch {
	case j.before != nil && j.before.Photo != "":
		if p := filepath.FromSlash(j.before.Photo); filepath.IsAbs(p) {
			return p
		}
		return filepath.Join(dir, filepath.FromSlash(j.before.Photo))
	case len(j.survey.Photos) == 0 || j.survey.Photos[0].File == "":
		return ""
	}
	return filepath.Join(dir, filepath.Base(j.survey.Photos[0].File))
}

// diagonal is that of a 36 x 24 mm frame, on which a 35 mm-equivalent focal
// length is defined (CIPA DC-008), mm.
const diagonal = 43.27

// viewOf is the camera that a survey tells of its first photo.
func viewOf(s *calib.Survey) (calib.Camera, bool) {
	if len(s.Photos) == 0 {
		return calib.Camera{}, false
	}
	return s.Photos[0].View()
}

// photoCamera is the camera of a survey's first photo. Where the survey does
// not tell it, being older, or the photo is of another size, it is solved once
// more, from the square and with the survey's own numbers.
func photoCamera(photo *vision.Photo, s *calib.Survey) (calib.Camera, error) {
	if cam, ok := viewOf(s); ok && math.Abs(float64(cam.Width)/float64(photo.Width)-float64(cam.Height)/float64(photo.Height)) < 0.01 {
		cam.Lens = cam.Scaled(photo.Width, photo.Height)
		return cam, nil
	}
	var f photoFlags
	f.square = squareSize{[2]float64{calib.SquareSize, calib.SquareSize}, usualSquareBound, false}
	if len(s.Squares) > 0 {
		f.square.mm = s.Squares[0].Size
	}
	if len(s.Photos) > 0 && s.Photos[0].Focal > 0 {
		w, h := float64(photo.Width), float64(photo.Height)
		f.focalEquiv = length{mm: s.Photos[0].Focal * diagonal / calib.Point{X: w, Y: h}.Norm(), given: true}
	}
	shot, err := f.shoot(photo)
	if err != nil {
		return calib.Camera{}, err
	}
	if err := shot.solvePose(&f); err != nil {
		return calib.Camera{}, err
	}
	return shot.solution.Camera, nil
}
