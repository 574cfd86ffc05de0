package calib

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// PhotoOf is what a photo tells of the camera that took it and of how it
// lies.
type PhotoOf struct {
	CameraName
	Width, Height int  // px, after Exif orientation
	Orientation   int  // Exif's, 1 to 8; 0 is not told
	Cropped       bool // its shape is not that of the picture the camera stored
}

// For returns the lens for a photo: scaled to its size and turned its way,
// with the standard uncertainties likewise. notes are sentences about what
// could not be checked. The error, when the file is not for this photo, is a
// predicate of the photo: "is of another camera".
func (f *LensFile) For(p PhotoOf) (l, u Lens, notes []string, err error) {
	if err := f.sameCamera(p.CameraName); err != nil {
		return Lens{}, Lens{}, nil, err
	}
	if p.Cropped {
		return Lens{}, Lens{}, nil, errors.New("was cropped, so that the lens file's picture no longer lies where it did: give the photo as the camera stored it")
	}
	w, h := p.Width, p.Height
	if p.Orientation >= 5 {
		w, h = h, w
	}
	if !sameShape(f.Width, f.Height, w, h) {
		if sameShape(f.Width, f.Height, h, w) {
			return Lens{}, Lens{}, nil, fmt.Errorf("is %d x %d pixels and does not tell which way it was turned, and the lens file is for %d x %d: give the photo as the camera stored it, or calibrate with photos that lie the same way", p.Width, p.Height, f.Width, f.Height)
		}
		return Lens{}, Lens{}, nil, fmt.Errorf("is %d x %d pixels, which is another shape than the lens file's %d x %d: the camera was set to another format, or the photo was cropped", p.Width, p.Height, f.Width, f.Height)
	}
	if (f.Model != "" && p.Model == "") || (f.Make != "" && p.Make == "") {
		notes = append(notes, "The photo does not tell which camera took it, so the lens file was taken on trust.")
	}
	if !f.Lens().OneToOne(1) {
		notes = append(notes, "The lens file does not hold in the picture's far corners; keep what is measured out of them.")
	}
	l = f.Lens().Scaled(w, h).Turned(p.Orientation)
	u = scaledSpread(f.Uncertainty(), f.Width, w, p.Orientation)
	return l, u, notes, nil
}

// sameCamera refuses a photo of another camera, or at another zoom.
func (f *LensFile) sameCamera(p CameraName) error {
	for _, c := range []struct{ what, mine, theirs string }{
		{"camera", f.Model, p.Model}, {"camera", f.Make, p.Make}, {"lens", f.LensModel, p.LensModel},
	} {
		if c.mine != "" && c.theirs != "" && !strings.EqualFold(c.mine, c.theirs) {
			return fmt.Errorf("was taken with another %s (%s) than the lens file is of (%s): calibrate that one, or leave out --lens", c.what, c.theirs, c.mine)
		}
	}
	for _, z := range []struct {
		mine, theirs float64
		what         string
	}{{f.FocalEquiv, p.FocalEquiv, " (35 mm-equivalent)"}, {f.FocalLength, p.FocalLength, ""}} {
		if z.mine > 0 && z.theirs > 0 && math.Abs(z.mine-z.theirs) > zoomSame*z.mine {
			return fmt.Errorf("was taken at another zoom: its focal length is %.3g mm%s, and the lens file's is %.3g mm; calibrate at this zoom, or leave out --lens", z.theirs, z.what, z.mine)
		}
	}
	return nil
}

// zoomSame is by what share two focal lengths in Exif may differ and be one
// zoom: cameras write them to two or three figures.
const zoomSame = 0.012

// sameShape tells whether two pictures are one at different sizes, each side
// rounded to whole pixels.
func sameShape(w0, h0, w, h int) bool {
	s := float64(w) / float64(w0)
	return math.Abs(s*float64(h0)-float64(h)) <= 0.5*(1+s)+1e-9
}

// Scaled returns the lens for another size of the same picture. Pixel
// centres lie at whole numbers, so that the picture's corner is at -0.5.
func (l Lens) Scaled(width, height int) Lens {
	if l.Width == width && l.Height == height {
		return l
	}
	sx, sy := float64(width)/float64(l.Width), float64(height)/float64(l.Height)
	l.Width, l.Height = width, height
	l.Fx, l.Fy = l.Fx*sx, l.Fy*sy
	l.Cx, l.Cy = (l.Cx+0.5)*sx-0.5, (l.Cy+0.5)*sy-0.5
	return l
}

// Turned returns the lens as it is after a picture is turned the way an Exif
// orientation says (1 to 8, CIPA DC-008, tag 0x0112; anything else is 1).
//
// The tangential distortion is r² q + 2 n (n q) with q = (p2, p1) and n the
// normalised point, so q turns as a vector does.
func (l Lens) Turned(orientation int) Lens {
	swap, flipX, flipY := turnOf(orientation)
	if swap {
		l.Width, l.Height = l.Height, l.Width
		l.Fx, l.Fy = l.Fy, l.Fx
		l.Cx, l.Cy = l.Cy, l.Cx
		l.P1, l.P2 = l.P2, l.P1
	}
	if flipX {
		l.Cx, l.P2 = float64(l.Width-1)-l.Cx, -l.P2
	}
	if flipY {
		l.Cy, l.P1 = float64(l.Height-1)-l.Cy, -l.P1
	}
	return l
}

// TurnPoint returns where a pixel of a stored picture of the given size lies
// after it is turned the way an Exif orientation says.
func TurnPoint(p Point, width, height, orientation int) Point {
	swap, flipX, flipY := turnOf(orientation)
	if swap {
		p.X, p.Y = p.Y, p.X
		width, height = height, width
	}
	if flipX {
		p.X = float64(width-1) - p.X
	}
	if flipY {
		p.Y = float64(height-1) - p.Y
	}
	return p
}

// UnturnPoint returns where a pixel of a turned picture, of the given size,
// lies in the stored one.
func UnturnPoint(p Point, width, height, orientation int) Point {
	return TurnPoint(p, width, height, unturned(orientation))
}

// turnOf says what an orientation does: exchange x and y, then mirror.
func turnOf(orientation int) (swap, flipX, flipY bool) {
	switch orientation {
	case 2:
		return false, true, false
	case 3:
		return false, true, true
	case 4:
		return false, false, true
	case 5:
		return true, false, false
	case 6:
		return true, true, false
	case 7:
		return true, true, true
	case 8:
		return true, false, true
	}
	return false, false, false
}

// unturned is the orientation that undoes another: the quarter turns undo
// each other, the rest themselves.
func unturned(orientation int) int {
	switch orientation {
	case 6:
		return 8
	case 8:
		return 6
	}
	return orientation
}

// scaledSpread scales and turns standard uncertainties with their lens.
func scaledSpread(u Lens, from, to, orientation int) Lens {
	s := float64(to) / float64(from)
	u.Fx, u.Fy, u.Cx, u.Cy = s*u.Fx, s*u.Fy, s*u.Cx, s*u.Cy
	if swap, _, _ := turnOf(orientation); swap {
		u.Fx, u.Fy, u.Cx, u.Cy, u.P1, u.P2 = u.Fy, u.Fx, u.Cy, u.Cx, u.P2, u.P1
	}
	return u
}

// Standard uncertainties that a lens file cannot know of.
const (
	// refocusU is how much a focal length moves, relative, with the distance
	// the camera is focused at: the lens draws out by f²/d, which for a phone's
	// 4 to 7 mm between 300 and 600 mm is 0.7 to 1.2 % from end to end (thin
	// lens); most photos of a panel are taken near the board photos' distance.
	refocusU = 0.002
	// unsaidFocalU, unsaidCentreU (share of the longer side) and unsaidK1U stand for what
	// a file written by hand does not say.
	unsaidFocalU  = 0.005
	unsaidCentreU = 0.002
	unsaidK1U     = 0.003
)

// FocalU returns the relative standard uncertainty of the focal length in a
// photo that a lens with standard uncertainties u took, refocusing included.
func (l Lens) FocalU(u Lens) float64 {
	own := math.Max(u.Fx/l.Fx, u.Fy/l.Fy)
	if own == 0 {
		own = unsaidFocalU
	}
	return math.Hypot(own, refocusU)
}

// CentreU returns the standard uncertainty of the principal point, px,
// likewise.
func (l Lens) CentreU(u Lens) float64 {
	if own := math.Max(u.Cx, u.Cy); own > 0 {
		return own
	}
	return unsaidCentreU * float64(max(l.Width, l.Height))
}

// K1U returns the standard uncertainty of k1, likewise. Where the higher terms
// are uncertain they make up for k1 and not add to it, so that it stands for all.
func (l Lens) K1U(u Lens) float64 {
	if u.K1 > 0 {
		return u.K1
	}
	return unsaidK1U
}
