package main

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// squareSize is what callipers say of the printed square: "59.7x60.2", across
// and up, or one number for both; "+-0.05" behind says how far off they may be.
type squareSize struct {
	mm    [2]float64
	bound float64 // mm
	given bool
}

// usualSquareBound is how far off a square's size may be when nobody says, mm:
// what callipers on paper are good for (common practice).
const usualSquareBound = 0.1

// maxUnequal is by how much a square's sides may differ. Printers are off by
// up to 1 % (common practice), so more is a slip of the pen.
const maxUnequal = 0.03

func (v *squareSize) Type() string { return "WxH" }

func (v *squareSize) String() string { return "" }

func (v *squareSize) Set(s string) error {
	const how = "give what the callipers say across and up, such as 59.7x60.2 or 59.7x60.2+-0.05"
	s, bound, ok := cutBound(s, usualSquareBound)
	if !ok || bound > 2 {
		return errors.New("behind +- give by how many mm the size may be off; " + how)
	}
	w, h, both := strings.Cut(strings.ToLower(strings.ReplaceAll(s, "×", "x")), "x")
	if !both {
		h = w
	}
	w, h = strings.TrimSpace(w), strings.TrimSpace(h)
	for _, unit := range []string{"mm", "in"} { // one unit at the end serves both
		if strings.HasSuffix(h, unit) && !strings.HasSuffix(w, unit) {
			w += unit
		}
	}
	a, okA := parseLength(w)
	b, okB := parseLength(h)
	switch {
	case !okA || !okB:
		return errors.New(how)
	case min(a, b) < 15 || max(a, b) > 300:
		return fmt.Errorf("a reference square is 15 to 300 mm wide; %s", how)
	case math.Abs(a-b) > maxUnequal*max(a, b):
		return fmt.Errorf("the sides differ by more than a printer is off; measure again, and %s", how)
	}
	*v = squareSize{[2]float64{a, b}, bound, true}
	return nil
}

// cutBound takes "+-0.2" off the end of a measure; without one it is the usual.
func cutBound(s string, usual float64) (measure string, bound float64, ok bool) {
	measure, behind, given := strings.Cut(strings.ReplaceAll(s, "±", "+-"), "+-")
	if !given {
		return s, usual, true
	}
	bound, ok = parseLength(behind)
	return measure, bound, ok && bound > 0
}

// standard is the standard uncertainty of a measure that lies within a bound
// either way. A person who says +-0.1 means that it is no further off, and
// nothing of how it is spread: so it is spread evenly (JCGM 100:2008, 4.3.7).
func standard(bound float64) float64 { return bound / math.Sqrt(3) }

// printScale is what a printer makes of 1 mm, across and up. It is given as
// the length that the printed 100 mm checks have.
type printScale [2]float64

func (v *printScale) Type() string { return "X,Y" }

func (v *printScale) String() string { return "" }

func (v *printScale) Set(s string) error {
	const how = "give what the 100 mm checks measure across and up, such as 99.6,100.2"
	a, b, both := strings.Cut(s, ",")
	if !both {
		b = a
	}
	x, okX := parseLength(a)
	y, okY := parseLength(b)
	if !okX || !okY || strings.Contains(b, ",") {
		return errors.New(how)
	}
	if min(x, y) < 90 || max(x, y) > 110 {
		return fmt.Errorf("that is more than any printer is off; print at 100 %%, and %s", how)
	}
	*v = printScale{x / 100, y / 100}
	return nil
}
