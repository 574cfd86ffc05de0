package main

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"trimscribe/calib"
	"trimscribe/template"
)

// usualHeightBound is how far off a height may be when nobody says, mm: what
// callipers' depth rod is good for on a boss (common practice).
const usualHeightBound = 0.2

// height is a length above the square's face, "6.5" or "6.5+-0.3".
type height struct {
	length
	bound float64 // mm
}

func newHeight(example string) height {
	return height{length: length{least: -200, most: 200, example: example}, bound: usualHeightBound}
}

func (v *height) Set(s string) error {
	s, bound, ok := cutBound(s, usualHeightBound)
	if !ok || bound > 20 {
		return fmt.Errorf("behind +- give by how many mm the height may be off, such as %s+-0.3", v.example)
	}
	v.bound = bound
	return v.length.Set(s)
}

// heights is the heights of single features, one a flag: "H1=8.5+-0.3".
type heights []featureHeight

type featureHeight struct {
	of string // H1, G; of a circle that is not chosen C5
	height
}

var heightName = regexp.MustCompile(`^(H[1-9][0-9]?|G|C[1-9][0-9]{0,3})$`)

func (v *heights) Type() string   { return "H1=mm" }
func (v *heights) String() string { return "" }

func (v *heights) Set(s string) error {
	const how = "give which feature is how high in mm, such as H1=8.5 or G=-2+-0.3"
	of, value, _ := strings.Cut(s, "=")
	of = strings.ToUpper(strings.TrimSpace(of))
	if _, err := strconv.Atoi(of); err == nil {
		of = "C" + of
	}
	if !heightName.MatchString(of) {
		return errors.New(how)
	}
	if slices.ContainsFunc(*v, func(h featureHeight) bool { return h.of == of }) {
		return fmt.Errorf("the height of %s is given twice", of)
	}
	h := featureHeight{of, newHeight("8.5")}
	if err := h.height.Set(value); err != nil {
		return fmt.Errorf("%w; %s", err, how)
	}
	*v = append(*v, h)
	return nil
}

// tell tells whether the height of a feature whose id begins so is among them.
func (v heights) tell(first byte) bool {
	return slices.ContainsFunc(v, func(h featureHeight) bool { return h.of[0] == first })
}

// find says which circles the heights are of, by their indices. The error is a
// usage error.
func (v heights) find(c calib.Choice, circles int) (map[int]height, error) {
	found := map[int]height{}
	for _, h := range v {
		i := -1
		switch n, _ := strconv.Atoi(h.of[1:]); {
		case h.of == "G":
			i = c.Grille
		case h.of[0] == 'H' && n <= len(c.Holes):
			i = c.Holes[n-1]
		case h.of[0] == 'C' && n <= circles:
			i = n - 1
		}
		if i >= circles {
			return nil, usagef("--height %s: this is not a circle; give its height with --hole-height, --grille-height or --tweeter-height", h.of)
		}
		if i < 0 {
			return nil, usagef("--height %s: there is no %s in this photo; look at the overlay picture for what was found", h.of, h.of)
		}
		if _, twice := found[i]; twice {
			return nil, usagef("--height %s: the height of this circle is given twice", h.of)
		}
		found[i] = h.height
	}
	return found, nil
}

// The readings of heights: circles that share one err together.
const (
	readingHoles = 1 + iota
	readingGrille
	readingTweeter
)

// heightOf is what the user says of the height of a circle by its kind.
func (f *photoFlags) heightOf(c calib.Circle) (h height, reading int) {
	if kindOf(c) == calib.KindGrille {
		return f.grilleHeight, readingGrille
	}
	return f.holeHeight, readingHoles
}

// untoldWords says which features' heights nobody told and no photos showed,
// and what a millimetre of it would do to each; it is empty when there are none.
func untoldWords(s *calib.Survey, u template.Units) string {
	var untold []calib.Feature
	for _, f := range s.Features {
		if f.HeightSource == calib.HeightAssumed && f.ShiftPerMM != nil {
			untold = append(untold, f)
		}
	}
	if len(untold) == 0 {
		return ""
	}
	return fmt.Sprintf("%s not told, so taken as the square's own: each mm higher would move %s", list(ids(untold)), list(shifts(untold, u)))
}

func ids(features []calib.Feature) (out []string) {
	for _, f := range features {
		out = append(out, f.ID)
	}
	return out
}

// shifts says which way each feature goes and how far when it stands 1 mm
// higher than taken.
func shifts(features []calib.Feature, u template.Units) (out []string) {
	for _, f := range features {
		by := calib.Point{X: f.ShiftPerMM.X, Y: f.ShiftPerMM.Y}
		out = append(out, fmt.Sprintf("%s %s %v %s", f.ID, u.Format(by.Norm()), u, calib.Heading(by)))
	}
	return out
}
