package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"trimscribe/calib"
	"trimscribe/vision"
)

// assumedLens is what is taken for a photo's lens before it is measured.
type assumedLens struct {
	calib.Lens
	focalU  float64  // relative standard uncertainty of the focal length
	centreU float64  // of the principal point, px
	k1U     float64  // of k1
	source  string   // calib.FocalLensFile or FocalGiven; empty: the pose tells
	notes   []string // sentences for the survey
}

// lensOf is the lens of a photo: from the lens file when one is given, else
// from its focal length. The error is a predicate of the photo.
func (f *photoFlags) lensOf(p *vision.Photo) (assumedLens, error) {
	if f.lens.LensFile == nil {
		equiv, source := p.FocalEquiv, ""
		if f.focalEquiv.given {
			equiv, source = f.focalEquiv.mm, calib.FocalGiven
		}
		lens, focalU := calib.AssumeLens(p.Width, p.Height, equiv)
		return assumedLens{Lens: lens, focalU: focalU, centreU: calib.CentreU * float64(max(p.Width, p.Height)), k1U: calib.AssumedK1U, source: source}, nil
	}
	lens, u, notes, err := f.lens.For(calib.PhotoOf{
		CameraName: cameraOf(p), Width: p.Width, Height: p.Height, Orientation: p.Orientation, Cropped: p.Cropped,
	})
	if err != nil {
		return assumedLens{}, fmt.Errorf("%w (lens file %s)", err, f.lens.path)
	}
	return assumedLens{lens, lens.FocalU(u), lens.CentreU(u), lens.K1U(u), calib.FocalLensFile, notes}, nil
}

// lensFile is a lens file's path; the file is read when the flag is set, so
// that nobody waits for a refusal.
type lensFile struct {
	path string
	*calib.LensFile
}

func (v *lensFile) Type() string   { return "FILE" }
func (v *lensFile) String() string { return v.path }

func (v *lensFile) Set(s string) error {
	b, err := os.ReadFile(s)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return errors.New("there is no such file; trimscribe lens makes one")
	case err != nil:
		return fmt.Errorf("it cannot be read: %w", pathReason(err))
	}
	f, err := calib.DecodeLens(b)
	if err != nil {
		return fmt.Errorf("it %w", err)
	}
	*v = lensFile{s, f}
	return nil
}
