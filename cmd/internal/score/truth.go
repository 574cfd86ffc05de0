// Package score weighs a survey against the truth of a test photo.
package score

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"trimscribe/calib"
)

// Truth is a truth file, as far as it is weighed: one run of trimscribe, and
// what it must find. Lengths are in mm, in the panel's frame (see calib's
// package comment).
type Truth struct {
	Photos   []string // by name, in the truth's folder: NAME.jpg when the file names none
	Args     []string // what a user would add to the command, run in the truth's folder
	Status   int      // expected exit status
	OnDemand bool     `json:"on_demand"` // too large to be kept: rendered when asked for
	Holes    []Circle // the mounting holes
	Grille   *Circle  // nil when there is none
	Tweeter  *Circle  // the body of a tweeter that sits in the opening; nil when there is none
	Square   Square   // without a size when there is none
	Squares  []Square // further ones
	Camera   Camera
}

// Circle is a circle on the panel, or a shape that is not quite one.
type Circle struct {
	X        float64    `json:"x_mm"`
	Y        float64    `json:"y_mm"`
	Z        float64    `json:"z_mm"`
	Diameter float64    `json:"diameter_mm"`
	Mouth    float64    `json:"mouth_outer_mm"` // the outer edge of a chamfer on the face; 0 for none
	Fillet   float64    `json:"fillet_mm"`      // the radius that rounds the mouth; 0 for none
	Shape    string     `json:"shape"`          // "" for round, else "slot", "d", "oval", "rounded square"
	Widths   [2]float64 `json:"widths_mm"`      // of what is not round: the long and the short
	Hidden   bool       `json:"half_hidden"`    // something lies before it: to miss it is no fault
}

func (c Circle) at() calib.Point { return calib.Point{X: c.X, Y: c.Y} }

// ReadTruth reads a truth file. One that names photos and no features takes
// the features of its first photo's truth: several photos, or other arguments,
// are then a row of their own without its numbers being written twice.
func ReadTruth(path string) (Truth, error) {
	var t Truth
	if err := read(path, &t); err != nil {
		return t, err
	}
	if len(t.Photos) == 0 {
		t.Photos = []string{strings.TrimSuffix(filepath.Base(path), ".json") + ".jpg"}
		return t, nil
	}
	if t.Expected() > 0 {
		return t, nil
	}
	var first Truth
	if err := read(filepath.Join(filepath.Dir(path), strings.TrimSuffix(t.Photos[0], ".jpg")+".json"), &first); err != nil {
		return t, err
	}
	t.Holes, t.Grille, t.Tweeter, t.OnDemand = first.Holes, first.Grille, first.Tweeter, first.OnDemand
	return t, nil
}

func read(path string, t *Truth) error {
	b, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(b, t); err != nil {
		return fmt.Errorf("%s is not a truth file: %w", path, err)
	}
	return nil
}

// Expected is how many features are to be chosen.
func (t Truth) Expected() int {
	n := len(t.Holes)
	if t.Grille != nil {
		n++
	}
	if t.Tweeter != nil {
		n++
	}
	return n
}
