package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"

	"trimscribe/calib"
	"trimscribe/vision"
)

// leftOut is a photo that the calibration does not use.
type leftOut struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

// boardPhoto is a photo in which the board was found. The corners are in the
// picture as the camera stored it, before it is turned: that is how the lens
// lies, however the phone was held.
type boardPhoto struct {
	file          string
	corners       []calib.Point
	width, height int // as stored
	orientation   int
	camera        calib.CameraName
}

// boardViews is what the photos of a board show.
type boardViews struct {
	given   int // photos
	photos  []boardPhoto
	leftOut []leftOut
}

// calibrated is a lens and all there is to say of it.
type calibrated struct {
	boardViews
	fit    *calib.LensFit // its views are the photos, in their order
	record *calib.LensFile
}

// gatherViews finds the board in the photos. A photo that cannot be opened is
// an error; one that does not show the board, or is of another camera or size
// than most, is left out.
func gatherViews(paths []string, board calib.Board, stage func(string)) (*boardViews, error) {
	v := &boardViews{given: len(paths), leftOut: []leftOut{}}
	hint := ""
	for i, path := range paths {
		stage(fmt.Sprintf("looking for the board in photo %d of %d", i+1, len(paths)))
		photo, err := openPhoto(path)
		if err != nil {
			return nil, err
		}
		corners, ok := vision.FindBoard(photo, board.Columns, board.Rows)
		if !ok {
			if i == 0 && min(board.Columns, board.Rows) > vision.MinBoard {
				hint = countedCells(photo, board)
			}
			v.leave(path, fmt.Sprintf("no board of %d x %d inner corners is seen whole in it", board.Columns, board.Rows))
			continue
		}
		v.add(photo, corners)
	}
	v.keepMost()
	if n := len(v.photos); n < vision.MinViews {
		text := fmt.Sprintf("a lens needs at least %d photos of the board, better 8 to 15, and %d of %d can be used", vision.MinViews, n, len(paths))
		if hint != "" {
			return nil, fmt.Errorf("%s: %s", text, hint)
		}
		for _, l := range v.leftOut {
			text += fmt.Sprintf("; %s: %s", l.File, l.Why)
			if len(v.leftOut) > 3 {
				text += ", and so on"
				break
			}
		}
		return nil, fmt.Errorf("%s", text)
	}
	return v, nil
}

// countedCells tells whether the cells were counted where the inner corners
// were asked for.
func countedCells(p *vision.Photo, b calib.Board) string {
	if _, ok := vision.FindBoard(p, b.Columns-1, b.Rows-1); !ok {
		return ""
	}
	return fmt.Sprintf("the board has %d x %d cells, and --board counts the corners inside, where four cells meet: give --board %dx%d", b.Columns, b.Rows, b.Columns-1, b.Rows-1)
}

func (v *boardViews) leave(path, why string) {
	v.leftOut = append(v.leftOut, leftOut{filepath.Base(path), why})
}

func (v *boardViews) add(p *vision.Photo, corners []calib.Point) {
	b := boardPhoto{file: p.File, width: p.Width, height: p.Height, orientation: p.Orientation, camera: cameraOf(p)}
	for _, c := range corners {
		b.corners = append(b.corners, calib.UnturnPoint(c, p.Width, p.Height, p.Orientation))
	}
	if p.Orientation >= 5 {
		b.width, b.height = b.height, b.width
	}
	for _, other := range v.photos {
		if sameCorners(other.corners, b.corners) {
			v.leave(p.File, "it is the same picture as "+filepath.Base(other.file))
			return
		}
	}
	v.photos = append(v.photos, b)
}

// sameCorners tells whether two photos are one: a second look at one photo
// tells nothing new, and would make the lens look surer than it is.
func sameCorners(a, b []calib.Point) bool {
	return slices.EqualFunc(a, b, func(p, q calib.Point) bool { return p.Dist(q) < 0.01 })
}

// cameraOf is what a photo tells of its camera, in the lens file's terms.
func cameraOf(p *vision.Photo) calib.CameraName {
	return calib.CameraName{
		Make: p.Make, Model: p.Model, LensModel: p.LensModel,
		FocalLength: p.FocalLength, FocalEquiv: p.FocalEquiv,
	}
}

// kind is what photos of one lens have in common.
type kind struct {
	width, height int
	camera        calib.CameraName
}

func (b boardPhoto) kind() kind { return kind{b.width, b.height, b.camera} }

// keepMost leaves out the photos that are not like most.
func (v *boardViews) keepMost() {
	count := map[kind]int{}
	for _, b := range v.photos {
		count[b.kind()]++
	}
	if len(count) < 2 {
		return
	}
	most := slices.MaxFunc(v.photos, func(a, b boardPhoto) int { return cmp.Compare(count[a.kind()], count[b.kind()]) }).kind()
	var kept []boardPhoto
	for _, b := range v.photos {
		if k := b.kind(); k != most {
			v.leave(b.file, k.unlike(most))
			continue
		}
		kept = append(kept, b)
	}
	v.photos = kept
}

// unlike says in what a photo differs from most.
func (k kind) unlike(most kind) string {
	switch {
	case k.camera.Make != most.camera.Make || k.camera.Model != most.camera.Model:
		return fmt.Sprintf("it is of another camera (%s) than most (%s)", cameraWordsOf(k.camera.Make, k.camera.Model), cameraWordsOf(most.camera.Make, most.camera.Model))
	case k.width != most.width || k.height != most.height:
		return fmt.Sprintf("it has %d x %d pixels, and most have %d x %d", k.width, k.height, most.width, most.height)
	}
	return "it was taken at another zoom, or with another lens of the camera, than most"
}

// fit calibrates, and writes the lens file's record.
func (v *boardViews) fit(board calib.Board) (*calibrated, error) {
	first := v.photos[0]
	var seen [][]calib.Point
	for _, b := range v.photos {
		seen = append(seen, b.corners)
	}
	guess := 0.0
	if first.camera.FocalEquiv > 0 {
		lens, _ := calib.AssumeLens(first.width, first.height, first.camera.FocalEquiv)
		guess = lens.Fx
	}
	fit, err := vision.CalibrateLens(board, first.width, first.height, guess, seen)
	if err != nil {
		return nil, err
	}
	c := &calibrated{boardViews: *v, fit: fit}
	rms, n := fit.RMS()
	c.record = calib.NewLensFile(fit.Lens, fit.U, rms, first.camera)
	c.record.Corners = n
	for i, b := range v.photos {
		if _, used := fit.ViewRMS(i); used == 0 {
			c.leave(b.file, "its corners do not fit the others: the board was bent, or the photo is blurred")
			continue
		}
		c.record.Photos = append(c.record.Photos, filepath.Base(b.file))
	}
	c.record.Doubts = fit.Doubts(first.orientation)
	return c, nil
}
