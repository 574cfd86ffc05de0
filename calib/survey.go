package calib

import (
	"encoding/json"
	"errors"
	"fmt"
)

// Survey is the record of what was measured, in the panel's frame. It is
// written as NAME.survey.json; tools read it by these field names.
type Survey struct {
	Format     string          `json:"format"`  // always SurveyFormat
	Version    int             `json:"version"` // always SurveyVersion
	Photos     []SurveyPhoto   `json:"photos"`
	Squares    []SurveySquare  `json:"squares"`
	Features   []Feature       `json:"features"`   // chosen: the holes, and at most one grille and one tweeter's body
	Candidates []Feature       `json:"candidates"` // plausible, not chosen
	Missing    []MissingHole   `json:"missing_holes,omitempty"`
	Tweeter    *TweeterCentre  `json:"tweeter_centre,omitempty"`
	Distances  []DistanceEntry `json:"distances"`
	Traces     []Trace         `json:"traces,omitempty"` // edges that a plate must keep clear of
	Checks     []Check         `json:"checks,omitempty"` // distances that the user measured
	Doubts     []string        `json:"doubts"`           // empty when the exit status is 0
	Advice     []Advice        `json:"advice,omitempty"` // what about the photo costs the result most
	Notes      []string        `json:"notes,omitempty"`
}

// The survey file's own name and version.
const (
	SurveyFormat  = "trimscribe-survey"
	SurveyVersion = 1
)

// SurveyPhoto is one photo and where it was taken from.
type SurveyPhoto struct {
	File        string  `json:"file"`
	Width       int     `json:"width_px"` // after Exif orientation
	Height      int     `json:"height_px"`
	Tilt        float64 `json:"tilt_deg"`
	Distance    float64 `json:"distance_mm"` // from the camera's centre to the first square's centre
	Focal       float64 `json:"focal_px"`
	FocalSource string  `json:"focal_source"` // one of the Focal constants
	PxPerMM     float64 `json:"px_per_mm"`    // at the first square
	FocalU95    float64 `json:"focal_u95_px,omitempty"`
	K1U95       float64 `json:"k1_u95,omitempty"`

	Camera *SurveyCamera `json:"camera,omitempty"` // nil in surveys that are older than it
}

// SurveyCamera is the camera as it was solved, in OpenCV's terms: Brown's
// distortion on normalised coordinates, and the pose that takes the panel's
// frame to the camera's, X = R x + T.
type SurveyCamera struct {
	Fx float64 `json:"fx_px"`
	Fy float64 `json:"fy_px"`
	Cx float64 `json:"cx_px"`
	Cy float64 `json:"cy_px"`
	K1 float64 `json:"k1"`
	K2 float64 `json:"k2"`
	P1 float64 `json:"p1"`
	P2 float64 `json:"p2"`
	K3 float64 `json:"k3"`

	R [3][3]float64 `json:"r"`
	T [3]float64    `json:"t_mm"`
}

// View returns the camera that took the photo; ok is false when the survey
// does not tell a sound one.
func (p SurveyPhoto) View() (cam Camera, ok bool) {
	c := p.Camera
	if c == nil || !(c.Fx > 0) || !(c.Fy > 0) || p.Width < 1 || p.Height < 1 {
		return Camera{}, false
	}
	cam = Camera{
		Lens: Lens{Width: p.Width, Height: p.Height, Fx: c.Fx, Fy: c.Fy, Cx: c.Cx, Cy: c.Cy, K1: c.K1, K2: c.K2, K3: c.K3, P1: c.P1, P2: c.P2},
		Pose: Pose{R: c.R, T: Vec3{c.T[0], c.T[1], c.T[2]}},
	}
	return cam, cam.T.Z > 0
}

// SurveySquare is one reference square as found.
type SurveySquare struct {
	Number   int        `json:"number"`         // 0 for a rectangle
	Kind     string     `json:"kind,omitempty"` // empty for a reference square, or KindRectangle
	Size     [2]float64 `json:"size_mm"`        // outside, along its x and y
	X        float64    `json:"x_mm"`           // centre
	Y        float64    `json:"y_mm"`
	Turn     float64    `json:"turn_deg"`    // anticlockwise against the first square
	Residual float64    `json:"residual_mm"` // rms of edge points against the fitted frame
}

// The kinds of feature.
const (
	KindHole    = "hole"
	KindGrille  = "grille"
	KindTweeter = "tweeter" // the body of one that sits in the opening, seen from its back
)

// Feature is a circle measured in the plane at its own height.
type Feature struct {
	ID           string  `json:"id"`     // H1, H2, ... and G; candidates C1, C2, ...
	Number       int     `json:"number"` // by which --pick and --drop know it
	Kind         string  `json:"kind"`
	X            float64 `json:"x_mm"`
	Y            float64 `json:"y_mm"`
	Z            float64 `json:"z_mm"`                    // height it was measured at
	ZU95         float64 `json:"z_u95_mm,omitempty"`      // of a height that was given or solved
	HeightSource string  `json:"height_source,omitempty"` // one of the Height constants
	Spacer       float64 `json:"spacer_mm,omitempty"`     // that evens a hole's face out with the highest; see Spacers
	Diameter     float64 `json:"diameter_mm"`             // of what is not round, the short width
	U95          float64 `json:"u95_mm"`                  // radius about the centre that holds the true one
	DiameterU95  float64 `json:"diameter_u95_mm"`
	Why          string  `json:"why,omitempty"` // why chosen, or why not

	// Of what is not round; see Outline.
	Shape     string       `json:"shape,omitempty"`         // one of the Shape constants
	Widths    *[2]float64  `json:"widths_mm,omitempty"`     // long and short
	WidthsU95 *[2]float64  `json:"widths_u95_mm,omitempty"` // likewise
	Turn      *float64     `json:"turn_deg,omitempty"`      // of the long width, or the way a D's flat lies, anticlockwise from x
	Corner    float64      `json:"corner_mm,omitempty"`     // radius of a rectangle's corners
	Points    [][2]float64 `json:"outline_mm,omitempty"`    // of a free outline: x and y of points in even angles about its centre, from x anticlockwise

	// What one millimetre more of height would do, where photos did not settle it.
	ShiftPerMM *HeightShift `json:"shift_per_mm_height,omitempty"`

	// What makes up U95 (in the direction in which the centre is least sure) and
	// DiameterU95: each input's standard uncertainty.
	Budget         Budget `json:"budget_u_mm,omitempty"`
	DiameterBudget Budget `json:"diameter_budget_u_mm,omitempty"`
}

// MissingHole is a place where a hole would be if the chosen ones are some of a
// larger even set.
type MissingHole struct {
	X float64 `json:"x_mm"`
	Y float64 `json:"y_mm"`
	Z float64 `json:"z_mm"` // the chosen holes' height
}

// Where a height comes from.
const (
	HeightGiven   = "given"   // the user says
	HeightAssumed = "assumed" // nobody says: the square's own face
	HeightSolved  = "solved"  // several photos say
)

// Trace is a visible edge of the panel, such as a rib's or the collar's: a line
// through points of the face's plane, z = 0. What stands proud of it lies
// elsewhere: see Camera.HeightShift.
type Trace struct {
	ID     string       `json:"id"` // E1, E2, ...
	Kind   string       `json:"kind,omitempty"`
	Closed bool         `json:"closed,omitempty"` // the last point leads to the first
	Length float64      `json:"length_mm,omitempty"`
	Points [][2]float64 `json:"points_mm"` // x and y of each
}

// TweeterCentre is where the tweeter's axis is to be.
type TweeterCentre struct {
	X    float64 `json:"x_mm"`
	Y    float64 `json:"y_mm"`
	U95  float64 `json:"u95_mm"`
	From string  `json:"from"` // "grille" or "tweeter body", and " and offset" where one was given
}

// DistanceEntry is a centre-to-centre distance between two features, by
// their ids; "T" is the tweeter centre.
type DistanceEntry struct {
	From string  `json:"from"`
	To   string  `json:"to"`
	MM   float64 `json:"mm"`
	U95  float64 `json:"u95_mm"`

	Budget Budget `json:"budget_u_mm,omitempty"` // what makes it up
}

// Encode returns the survey as it stands in a file, ending in a newline.
func (s *Survey) Encode() ([]byte, error) {
	return indented(s)
}

// indented is JSON as a person reads it, ending in a newline.
func indented(v any) ([]byte, error) {
	b, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return nil, err
	}
	return append(b, '\n'), nil
}

// DecodeSurvey reads a survey file's bytes. Its errors are sentences for the
// user, without the file's name.
func DecodeSurvey(b []byte) (*Survey, error) {
	var s Survey
	if err := json.Unmarshal(b, &s); err != nil {
		return nil, fmt.Errorf("is not a survey: %w", err)
	}
	if s.Format != SurveyFormat {
		return nil, errors.New(`is not a survey: its "format" is not "` + SurveyFormat + `"`)
	}
	if s.Version != SurveyVersion {
		return nil, fmt.Errorf("is a survey of version %d, and this trimscribe reads version %d", s.Version, SurveyVersion)
	}
	return &s, nil
}
