package calib

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
)

// FocalLensFile is the focal length's source when a lens file gives it.
const FocalLensFile = "lens file"

// LensFile is a camera's calibrated lens, written as NAME.lens.json. It is
// for the picture as the camera stores it, before it is turned the way Exif
// says: a phone held upright still has its lens lying.
type LensFile struct {
	Format  string `json:"format,omitempty"`  // LensFormat; a file written by hand may leave it out
	Version int    `json:"version,omitempty"` // LensVersion; likewise

	CameraName

	Width  int     `json:"width_px"`
	Height int     `json:"height_px"`
	Fx     float64 `json:"fx_px"`
	Fy     float64 `json:"fy_px"`
	Cx     float64 `json:"cx_px"`
	Cy     float64 `json:"cy_px"`
	K1     float64 `json:"k1"`
	K2     float64 `json:"k2"`
	P1     float64 `json:"p1"`
	P2     float64 `json:"p2"`
	K3     float64 `json:"k3"`

	// Standard uncertainties (k = 1); 0 is not known.
	UFx float64 `json:"u_fx_px,omitempty"`
	UFy float64 `json:"u_fy_px,omitempty"`
	UCx float64 `json:"u_cx_px,omitempty"`
	UCy float64 `json:"u_cy_px,omitempty"`
	UK1 float64 `json:"u_k1,omitempty"`
	UK2 float64 `json:"u_k2,omitempty"`
	UP1 float64 `json:"u_p1,omitempty"`
	UP2 float64 `json:"u_p2,omitempty"`
	UK3 float64 `json:"u_k3,omitempty"` // 0 too when k3 was held at 0

	RMS     float64  `json:"rms_px"` // of the corners about the fit: root of the mean squared distance
	Photos  []string `json:"photos,omitempty"`
	Corners int      `json:"corners,omitempty"`
	Doubts  []string `json:"doubts,omitempty"`
}

// CameraName is what Exif tells of a camera, by which a lens file knows its
// own. Empty and 0 are unknown.
type CameraName struct {
	Make        string  `json:"make,omitempty"`
	Model       string  `json:"model,omitempty"`
	LensModel   string  `json:"lens_model,omitempty"`
	FocalLength float64 `json:"focal_length_mm,omitempty"`
	FocalEquiv  float64 `json:"focal_equiv_mm,omitempty"` // 35 mm-equivalent
}

// The lens file's own name and version.
const (
	LensFormat  = "trimscribe-lens"
	LensVersion = 1
)

// NewLensFile writes a calibrated lens down.
func NewLensFile(l, u Lens, rms float64, c CameraName) *LensFile {
	return &LensFile{
		Format: LensFormat, Version: LensVersion, CameraName: c,
		Width: l.Width, Height: l.Height,
		Fx: l.Fx, Fy: l.Fy, Cx: l.Cx, Cy: l.Cy, K1: l.K1, K2: l.K2, P1: l.P1, P2: l.P2, K3: l.K3,
		UFx: u.Fx, UFy: u.Fy, UCx: u.Cx, UCy: u.Cy, UK1: u.K1, UK2: u.K2, UP1: u.P1, UP2: u.P2, UK3: u.K3,
		RMS: rms,
	}
}

// Lens returns the lens, for the size and lie of the file.
func (f *LensFile) Lens() Lens {
	return Lens{
		Width: f.Width, Height: f.Height, Fx: f.Fx, Fy: f.Fy, Cx: f.Cx, Cy: f.Cy,
		K1: f.K1, K2: f.K2, K3: f.K3, P1: f.P1, P2: f.P2,
	}
}

// Uncertainty returns the lens's standard uncertainties, each in its own
// parameter's place.
func (f *LensFile) Uncertainty() Lens {
	return Lens{
		Fx: f.UFx, Fy: f.UFy, Cx: f.UCx, Cy: f.UCy,
		K1: f.UK1, K2: f.UK2, K3: f.UK3, P1: f.UP1, P2: f.UP2,
	}
}

// Encode returns the file's bytes, ending in a newline.
func (f *LensFile) Encode() ([]byte, error) {
	return indented(f)
}

// DecodeLens reads a lens file's bytes. What it returns is a lens that can be
// computed with: finite, and one to one in the middle of its picture. Its errors are
// predicates for the user, without the file's name: "is not a lens file".
func DecodeLens(b []byte) (*LensFile, error) {
	var f LensFile
	if err := json.Unmarshal(b, &f); err != nil {
		return nil, fmt.Errorf("is not a lens file: %w", err)
	}
	if f.Format != LensFormat && (f.Format != "" || f.Fx == 0) {
		return nil, errors.New(`is not a lens file: make one with "trimscribe lens"`)
	}
	if f.Version > LensVersion {
		return nil, fmt.Errorf("is a lens file of version %d, and this trimscribe reads version %d", f.Version, LensVersion)
	}
	if err := f.check(); err != nil {
		return nil, err
	}
	return &f, nil
}

func (f *LensFile) check() error {
	const most = 1 << 16 // px
	if f.Width < 1 || f.Height < 1 || f.Width > most || f.Height > most {
		return errors.New("does not say which size of picture it is for: width_px and height_px are missing or wrong")
	}
	w, h := float64(f.Width), float64(f.Height)
	// From an eighth of the longer side (a view of 152 degrees) to fifty times.
	if least, long := math.Min(f.Fx, f.Fy), math.Max(w, h); least < long/8 || math.Max(f.Fx, f.Fy) > 50*long {
		return fmt.Errorf("is damaged: no lens has the focal lengths %g and %g px for a picture of %d x %d", f.Fx, f.Fy, f.Width, f.Height)
	}
	if f.Fx > 2*f.Fy || f.Fy > 2*f.Fx {
		return errors.New("is damaged: fx_px and fy_px are too different")
	}
	if f.Cx < 0 || f.Cy < 0 || f.Cx > w || f.Cy > h {
		return errors.New("is damaged: its principal point (cx_px, cy_px) lies outside the picture")
	}
	for _, v := range []float64{f.UFx, f.UFy, f.UCx, f.UCy, f.UK1, f.UK2, f.UP1, f.UP2, f.UK3, f.RMS, f.FocalLength, f.FocalEquiv} {
		if v < 0 {
			return errors.New("is damaged: an uncertainty, the residual or a focal length is negative")
		}
	}
	if !f.Lens().OneToOne(InnerPart) {
		return errors.New("is damaged: its distortion (k1, k2, k3, p1, p2) folds the picture over itself")
	}
	return nil
}

// InnerPart is the part of the picture, each way, in which a lens must hold.
// Beyond it a polynomial fitted to few photos may fold over: what it knows of
// the far corners is a guess.
const InnerPart = 0.75

// OneToOne tells whether in the inner part of the picture, each way, each
// pixel has its own line of sight: whether undistorting can be undone along
// that part's border, which is where a polynomial folds over first.
func (l Lens) OneToOne(part float64) bool {
	const steps = 16
	w, h := float64(l.Width-1), float64(l.Height-1)
	for i := range steps + 1 {
		t := float64(i) / steps
		for _, px := range []Point{{t * w, 0}, {t * w, h}, {0, t * h}, {w, t * h}} {
			px = Point{w / 2, h / 2}.Mul(1 - part).Add(px.Mul(part))
			d := Point{(px.X - l.Cx) / l.Fx, (px.Y - l.Cy) / l.Fy}
			p := l.Undistort(d)
			if !(l.Distort(p).Dist(d) < 1e-6) || p.Dot(d) < 0 || !l.rising(p) { // also NaN
				return false
			}
		}
	}
	return true
}

// rising tells whether the radial distortion rises all the way from the
// axis to p.
func (l Lens) rising(p Point) bool {
	const steps = 32
	for i := range steps {
		r2 := p.Dot(p) * float64(i+1) / steps
		if 1+r2*(3*l.K1+r2*(5*l.K2+r2*7*l.K3)) <= 0 {
			return false
		}
	}
	return true
}
