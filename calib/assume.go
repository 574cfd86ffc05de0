package calib

import "math"

// fullFrameDiagonal is the diagonal of the 36 x 24 mm frame that 35 mm-
// equivalent focal lengths refer to, mm (CIPA DC-008, tag 0xA405).
const fullFrameDiagonal = 43.2666

// Where a focal length comes from.
const (
	FocalExif    = "exif"    // the photo says
	FocalGiven   = "given"   // the user says
	FocalSquare  = "square"  // the square's own perspective
	FocalAssumed = "assumed" // neither: a phone's usual lens
)

// usualEquiv is what a phone's main lens has, mm, when the photo does not say
// (common practice: 24 to 28 mm).
const usualEquiv = 26.5

// Relative standard uncertainties of a focal length, by where it comes from.
const (
	exifFocalU    = 0.02 // rounded to a whole millimetre, and focusing near draws the lens out
	assumedFocalU = 0.25
)

// CentreU is the standard uncertainty of the principal point of a phone's
// photo, as a share of its longer side: lenses are centred to a few tenths of
// a percent, and stabilised ones move.
const CentreU = 0.004

// AssumedK1U is the standard uncertainty of k1 in a phone's photo as it comes
// out of the phone, which mostly has taken the lens's distortion out: what it
// leaves is some tenths of a percent at the picture's corners, where r² is about
// 0.6. Phones that leave much more are what a shy prior is for.
const AssumedK1U = 0.005

// AssumeLens is the lens that a photo's Exif 35 mm-equivalent focal length
// (mm; 0: unknown) suggests: no distortion, principal point in the middle.
func AssumeLens(width, height int, equiv float64) (l Lens, relativeU float64) {
	relativeU = exifFocalU
	if equiv <= 0 {
		equiv, relativeU = usualEquiv, assumedFocalU
	}
	f := equiv / fullFrameDiagonal * math.Hypot(float64(width), float64(height))
	return Lens{
		Width: width, Height: height, Fx: f, Fy: f,
		Cx: float64(width-1) / 2, Cy: float64(height-1) / 2,
	}, relativeU
}

// FocalSource tells where the solved focal length comes from: the square has
// the say when its perspective settles it better than the assumption did.
func (s *Solution) FocalSource() string {
	switch u := math.Sqrt(s.cov.At(iFocal, iFocal)); {
	case s.model.a.FocalU <= exifFocalU:
		return FocalExif
	case u < 0.2*s.model.a.FocalU:
		return FocalSquare
	default:
		return FocalAssumed
	}
}
