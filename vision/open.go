package vision

import (
	"errors"
	"fmt"
	"image"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"sync"

	"gocv.io/x/gocv"
)

// Photo is a picture as a person sees it: turned the way Exif says, with its
// light made linear.
type Photo struct {
	File          string // its path, as the user gave it
	Width, Height int    // px, after turning

	// Lin is the luminance of each pixel, row by row, 0 (black) to 1 (white),
	// proportional to light: the sRGB curve is undone, because an edge blurred
	// by a lens is symmetric in light and not in stored values. An sRGB
	// picture is assumed, as phones make it.
	Lin []float32

	// RGB is the picture as stored (not linear), for showing; it is opaque.
	RGB *image.RGBA

	Exif // what it says of the camera
}

// Exif is what a photo's Exif block says of the camera. Zero values are unknown.
type Exif struct {
	FocalEquiv  float64 // 35 mm-equivalent focal length, mm (CIPA DC-008, tag 0xA405), by the 43.27 mm diagonal
	FocalLength float64 // true focal length, mm
	Make, Model string  // of the camera
	LensModel   string
	Orientation int  // how the stored picture was turned, 1 to 8 (tag 0x0112); 0 when it is not told
	Cropped     bool // the picture's shape is not the one Exif tells, so that FocalEquiv no longer holds and is left 0
}

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

// fromMat makes a photo of a decoded picture: 1, 3 or 4 channels (grey, BGR,
// BGRA) of 8 or 16 bits, turned as the Exif orientation says. What is
// transparent is laid on white.
func fromMat(m gocv.Mat, orientation int) (*Photo, error) {
	src := source{channels: m.Channels(), width: m.Cols(), height: m.Rows()}
	var err error
	switch m.Type() {
	case gocv.MatTypeCV8UC1, gocv.MatTypeCV8UC3, gocv.MatTypeCV8UC4:
		src.b8, err = m.DataPtrUint8()
		src.lut = linearOf8
	case gocv.MatTypeCV16UC1, gocv.MatTypeCV16UC3, gocv.MatTypeCV16UC4:
		src.b16, err = m.DataPtrUint16()
		src.lut = linearOf16()
	default:
		return nil, fmt.Errorf("has a kind of pixel that trimscribe does not read; save it as an ordinary JPEG or PNG")
	}
	if err != nil {
		return nil, fmt.Errorf("cannot be decoded: %w", err)
	}
	t := turnOf(orientation, src.width, src.height)
	p := &Photo{Width: t.width, Height: t.height}
	p.Lin = make([]float32, t.width*t.height)
	p.RGB = image.NewRGBA(image.Rect(0, 0, t.width, t.height))
	inBands(src.height, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			src.row(y, p, t)
		}
	})
	return p, nil
}

// source is a decoded picture's memory: b8 or b16, and the linear value of
// each stored one.
type source struct {
	width, height, channels int
	b8                      []uint8
	b16                     []uint16
	lut                     []float32
}

// Rec. 709's weights of linear red, green and blue in luminance (ITU-R BT.709-6, 3.2).
const (
	wRed   = 0.2126
	wGreen = 0.7152
	wBlue  = 0.0722
)

// row puts one row of the source where the turn has it.
func (s *source) row(y int, p *Photo, t turn) {
	at := t.origin + y*t.downStep
	if s.channels == 3 && s.b8 != nil { // nearly every photo: kept tight
		line := s.b8[y*s.width*3:][:s.width*3]
		for i := 0; i < len(line); i += 3 {
			b, g, r := line[i], line[i+1], line[i+2]
			p.Lin[at] = wRed*s.lut[r] + wGreen*s.lut[g] + wBlue*s.lut[b]
			px := p.RGB.Pix[4*at:][:4]
			px[0], px[1], px[2], px[3] = r, g, b, 255
			at += t.acrossStep
		}
		return
	}
	for x := range s.width {
		r, g, b := s.at(x, y)
		p.Lin[at] = wRed*s.lut[r] + wGreen*s.lut[g] + wBlue*s.lut[b]
		px := p.RGB.Pix[4*at:][:4]
		px[0], px[1], px[2], px[3] = s.to8(r), s.to8(g), s.to8(b), 255
		at += t.acrossStep
	}
}

// at returns a pixel's stored red, green and blue, over white.
func (s *source) at(x, y int) (r, g, b int) {
	full := len(s.lut) - 1
	i := (y*s.width + x) * s.channels
	get := func(k int) int {
		if s.b8 != nil {
			return int(s.b8[i+k])
		}
		return int(s.b16[i+k])
	}
	if s.channels == 1 {
		v := get(0)
		return v, v, v
	}
	b, g, r = get(0), get(1), get(2)
	if s.channels == 4 {
		a := get(3)
		over := func(v int) int { return (v*a + full*(full-a) + full/2) / full }
		r, g, b = over(r), over(g), over(b)
	}
	return r, g, b
}

func (s *source) to8(v int) uint8 {
	if s.b8 != nil {
		return uint8(v)
	}
	return uint8((v*255 + 32767) / 65535)
}

// turn says where a source pixel goes in a picture turned upright: pixel
// (x, y) to index origin + x acrossStep + y downStep.
type turn struct {
	width, height                int // after turning
	origin, acrossStep, downStep int
}

// turnOf returns the turn for an Exif orientation: what the stored first row
// and first column are to the eye (CIPA DC-008, tag 0x0112).
func turnOf(orientation, w, h int) turn {
	switch orientation {
	case 2: // top, right
		return turn{w, h, w - 1, -1, w}
	case 3: // bottom, right
		return turn{w, h, w*h - 1, -1, -w}
	case 4: // bottom, left
		return turn{w, h, w * (h - 1), 1, -w}
	case 5: // left, top
		return turn{h, w, 0, h, 1}
	case 6: // right, top
		return turn{h, w, h - 1, h, -1}
	case 7: // right, bottom
		return turn{h, w, w*h - 1, -h, -1}
	case 8: // left, bottom
		return turn{h, w, h * (w - 1), -h, 1}
	default: // 1, or nothing said
		return turn{w, h, 0, 1, w}
	}
}

// toLinear undoes the sRGB curve (IEC 61966-2-1): stored value to light, both 0 to 1.
func toLinear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func linearTable(n int) []float32 {
	t := make([]float32, n)
	for i := range t {
		t[i] = float32(toLinear(float64(i) / float64(n-1)))
	}
	return t
}

var (
	linearOf8  = linearTable(1 << 8)
	linearOf16 = sync.OnceValue(func() []float32 { return linearTable(1 << 16) })
)

// inBands calls f on bands of rows that together cover 0 to n, one a processor.
func inBands(n int, f func(y0, y1 int)) {
	bands := min(runtime.GOMAXPROCS(0), n)
	var wg sync.WaitGroup
	for i := range bands {
		wg.Add(1)
		go func() {
			defer wg.Done()
			f(n*i/bands, n*(i+1)/bands)
		}()
	}
	wg.Wait()
}

// Name returns the photo's file name without its folder.
func (p *Photo) Name() string { return filepath.Base(p.File) }
