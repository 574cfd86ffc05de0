package vision

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"gocv.io/x/gocv"
)

// The sizes Open takes. Below the least, a square of a twelfth of the width
// has code cells of five pixels; above the most, a picture of one float and
// four bytes a pixel no longer fits a common computer's memory.
const (
	MinWidth  = 640         // px, on the longer side
	MaxPixels = 200_000_000 // px
)

// maxFile is the largest file Open reads: above any photo of MaxPixels.
const maxFile = 2 << 30

// Open reads a JPEG or PNG photo. Its errors are whole sentences for the
// user that name the file.
func Open(path string) (*Photo, error) {
	b, err := readPicture(path)
	if err != nil {
		return nil, err
	}
	p, err := Decode(b)
	if err != nil {
		return nil, fmt.Errorf("%s %w", path, err)
	}
	p.File = path
	return p, nil
}

func readPicture(path string) ([]byte, error) {
	st, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("there is no file %s", path)
	case err != nil:
		return nil, fmt.Errorf("%s cannot be opened: %w", path, reason(err))
	case st.IsDir():
		return nil, fmt.Errorf("%s is a folder; give the photo in it", path)
	case !st.Mode().IsRegular():
		return nil, fmt.Errorf("%s is not a file; save the photo as one first", path)
	case st.Size() > maxFile:
		return nil, fmt.Errorf("%s has %d MB, more than any photo this version reads", path, st.Size()>>20)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", path, reason(err))
	}
	return b, nil
}

// reason takes the operation and the path off a file error: the sentence has
// them already.
func reason(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

// Decode reads a JPEG or PNG picture from a file's bytes. Its errors are
// predicates without the file's name: "is empty".
func Decode(b []byte) (*Photo, error) {
	h, err := readHeader(b)
	if err != nil {
		return nil, err
	}
	if max(h.width, h.height) < MinWidth {
		return nil, fmt.Errorf("has only %d x %d pixels; trimscribe needs at least %d on the longer side, so give the photo as the camera stored it", h.width, h.height, MinWidth)
	}
	if h.width > MaxPixels/h.height {
		return nil, fmt.Errorf("has %d x %d pixels, more than the %d million this version reads", h.width, h.height, MaxPixels/1_000_000)
	}
	info := readExif(h.exif)
	if h.kind == "JPEG" {
		if err := checkJPEG(b); err != nil {
			return nil, err
		}
	}

	// Orientation is ours to obey, whatever this OpenCV was built to do.
	m, err := gocv.IMDecode(b, gocv.IMReadUnchanged|gocv.IMReadIgnoreOrientation)
	if err != nil {
		return nil, fmt.Errorf("is damaged: %w", err)
	}
	defer m.Close()
	if m.Empty() {
		return nil, fmt.Errorf("is a damaged %s; copy it from the camera again", h.kind)
	}
	if m.Cols() != h.width || m.Rows() != h.height {
		return nil, fmt.Errorf("is a damaged %s: its header says %d x %d pixels and it has %d x %d", h.kind, h.width, h.height, m.Cols(), m.Rows())
	}
	p, err := fromMat(m, info.orientation)
	if err != nil {
		return nil, err
	}
	p.Exif = info.judge(h.width, h.height)
	return p, nil
}
