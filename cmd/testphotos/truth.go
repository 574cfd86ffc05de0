package main

import (
	"encoding/json"

	"trimscribe/calib"
)

// scene is what a scene writes about itself: the truth to be filed, and how its
// photo is to be made.
type scene struct {
	Truth     truth         `json:"truth"`
	Render    [2]int        `json:"render_px"` // width and height: more than the photo's where its lens draws the corners in
	Antialias float64       `json:"antialias"` // difference between neighbours, as a share of white, above which pixels are divided
	Develop   developing    `json:"develop"`
	Exif      exifOfTheTest `json:"exif"`
}

// truth is a test photo's truth file. Lengths are in mm, in the panel's frame
// (see calib's package comment).
type truth struct {
	About    string        `json:"about"`
	Args     []string      `json:"args"`                // hints that a user would give
	Status   int           `json:"status"`              // expected exit status of trimscribe
	OnDemand bool          `json:"on_demand,omitempty"` // too large to be kept: accuracy --large renders it
	Square   *truthSquare  `json:"square"`              // null when there is none
	Squares  []truthSquare `json:"squares"`             // further ones
	Camera   truthCamera   `json:"camera"`
	Holes    []truthCircle `json:"holes"`             // the mounting holes, which must be chosen
	Grille   *truthCircle  `json:"grille"`            // null when there is none
	Tweeter  *truthCircle  `json:"tweeter,omitempty"` // the rim of a tweeter that sits in the opening
	Others   []truthCircle `json:"others"`            // circles that must not be chosen
}

type truthSquare struct {
	Number int        `json:"number"`
	Size   [2]float64 `json:"size_mm"`
	X      float64    `json:"x_mm"`
	Y      float64    `json:"y_mm"`
	Turn   float64    `json:"turn_deg"`
}

// truthCircle is a circle's mouth: the sharp edge where its wall meets its face.
// Of what is not round it is the centre, and the short width.
type truthCircle struct {
	Kind     string  `json:"kind,omitempty"`
	X        float64 `json:"x_mm"`
	Y        float64 `json:"y_mm"`
	Z        float64 `json:"z_mm"`
	Diameter float64 `json:"diameter_mm"`
	Mouth    float64 `json:"mouth_outer_mm,omitempty"` // the chamfer's outer edge
	Fillet   float64 `json:"fillet_mm,omitempty"`      // the radius that rounds the mouth

	Shape  string      `json:"shape,omitempty"`     // none: round
	Widths *[2]float64 `json:"widths_mm,omitempty"` // long and short
	Turn   *float64    `json:"turn_deg,omitempty"`  // of the long width, or the way a D's flat lies, anticlockwise
}

// truthCamera is the scene's camera in OpenCV's terms.
type truthCamera struct {
	Width    int           `json:"width_px"`
	Height   int           `json:"height_px"`
	Fx       float64       `json:"fx_px"`
	Fy       float64       `json:"fy_px"`
	Cx       float64       `json:"cx_px"`
	Cy       float64       `json:"cy_px"`
	K1       float64       `json:"k1"`
	K2       float64       `json:"k2"`
	P1       float64       `json:"p1"`
	P2       float64       `json:"p2"`
	K3       float64       `json:"k3"`
	R        [3][3]float64 `json:"r"` // panel to camera
	T        [3]float64    `json:"t_mm"`
	Tilt     float64       `json:"tilt_deg"`
	Distance float64       `json:"distance_mm"` // to the first square's centre
}

// camera returns the truth's camera as the tool's own type.
func (c truthCamera) camera() calib.Camera {
	return calib.Camera{
		Lens: calib.Lens{
			Width: c.Width, Height: c.Height,
			Fx: c.Fx, Fy: c.Fy, Cx: c.Cx, Cy: c.Cy,
			K1: c.K1, K2: c.K2, P1: c.P1, P2: c.P2, K3: c.K3,
		},
		Pose: calib.Pose{R: c.R, T: calib.Vec3{X: c.T[0], Y: c.T[1], Z: c.T[2]}},
	}
}

// encode returns the truth as it stands in a file, ending in a newline.
func (t *truth) encode() ([]byte, error) {
	b, err := json.MarshalIndent(t, "", " ")
	if err != nil {
		return nil, err
	}
	return append(b, '\n'), nil
}
