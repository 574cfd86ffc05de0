package main

import (
	"encoding/json"

	"trimscribe/cmd/internal/score"
)

// scene is what a scene writes about itself: the truth to be filed, and how its
// photo is to be made.
type scene struct {
	Truth     truth         `json:"truth"`
	Render    [2]int        `json:"render_px"` // width and height: more than the photo's where its lens draws the corners in
	Antialias float64       `json:"antialias"` // difference between neighbours, as a share of white, above which pixels are divided
	Develop   developing    `json:"develop"`
	Exif      exifOfTheTest `json:"exif"`
	score.Outlines
}

// truth is a test photo's truth file. Lengths are in mm, in the panel's frame
// (see calib's package comment).
type truth struct {
	About    string         `json:"about"`
	Args     []string       `json:"args"`                // hints that a user would give
	Status   int            `json:"status"`              // expected exit status of trimscribe
	OnDemand bool           `json:"on_demand,omitempty"` // too large to be kept: accuracy --large renders it
	Square   *score.Square  `json:"square"`              // null when there is none
	Squares  []score.Square `json:"squares"`             // further ones
	Camera   score.Camera   `json:"camera"`
	Holes    []truthCircle  `json:"holes"`             // the mounting holes, which must be chosen
	Grille   *truthCircle   `json:"grille"`            // null when there is none
	Tweeter  *truthCircle   `json:"tweeter,omitempty"` // the rim of a tweeter that sits in the opening
	Others   []truthCircle  `json:"others"`            // circles that must not be chosen
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

// encode returns the truth as it stands in a file, ending in a newline.
func (t *truth) encode() ([]byte, error) {
	b, err := json.MarshalIndent(t, "", " ")
	if err != nil {
		return nil, err
	}
	return append(b, '\n'), nil
}
