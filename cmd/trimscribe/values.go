package main

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"trimscribe/calib"
	"trimscribe/template"
)

// The kinds of value a flag takes. Each is a pflag.Value whose Set returns
// what a good value looks like: pflag's own errors speak of syntax, and a
// person with callipers in hand needs an example.

// length is millimetres; "in" after the number reads inches. It must lie from
// least to most.
type length struct {
	mm          float64
	given       bool
	least, most float64
	example     string
}

func (v *length) Type() string { return "mm" }
func (v *length) String() string {
	if v == nil || !v.given {
		return ""
	}
	return strconv.FormatFloat(v.mm, 'g', -1, 64)
}

func (v *length) Set(s string) error {
	mm, ok := parseLength(s)
	if !ok {
		return fmt.Errorf("give a length in mm, such as %s", v.example)
	}
	if mm < v.least || mm > v.most {
		return fmt.Errorf("give a length from %g to %g mm, such as %s", v.least, v.most, v.example)
	}
	v.mm, v.given = mm, true
	return nil
}

// parseLength reads "4.2", "4.2mm" or "0.165in" as millimetres. A comma
// serves as the decimal point: half the world writes it so.
func parseLength(s string) (mm float64, ok bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	unit := 1.0
	switch {
	case strings.HasSuffix(s, "mm"):
		s = strings.TrimSuffix(s, "mm")
	case strings.HasSuffix(s, "in"):
		s, unit = strings.TrimSuffix(s, "in"), 25.4
	case strings.HasSuffix(s, `"`):
		s, unit = strings.TrimSuffix(s, `"`), 25.4
	}
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	v, ok := parseNumber(strings.TrimSpace(s))
	return v * unit, ok
}

// parseNumber reads a plain decimal number: not "inf", not hexadecimal.
func parseNumber(s string) (float64, bool) {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.ContainsAny(s, "xXpP_") {
		return 0, false
	}
	return v, true
}

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

func (v *squareSize) Type() string   { return "WxH" }
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

// offset is a place against another, mm: "x,y".
type offset struct{ calib.Point }

const maxOffset = 200 // mm

func (v *offset) Type() string   { return "x,y" }
func (v *offset) String() string { return "" }

func (v *offset) Set(s string) error {
	const how = "give how far right and how far up in mm, such as 0,-3.5"
	x, y, ok := strings.Cut(s, ",")
	a, okA := parseLength(x)
	b, okB := parseLength(y)
	if !ok || !okA || !okB || strings.Contains(y, ",") { // a decimal comma would move the point
		return errors.New(how)
	}
	if math.Abs(a) > maxOffset || math.Abs(b) > maxOffset {
		return fmt.Errorf("no tweeter sits more than %d mm off its grille; %s", maxOffset, how)
	}
	v.Point = calib.Point{X: a, Y: b}
	return nil
}

// printScale is what a printer makes of 1 mm, across and up. It is given as
// the length that the printed 100 mm checks have.
type printScale [2]float64

func (v *printScale) Type() string   { return "X,Y" }
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

// numbers is a list of circles by their numbers: "3,7".
type numbers []int

func (v *numbers) Type() string   { return "N,..." }
func (v *numbers) String() string { return "" }

func (v *numbers) Set(s string) error {
	for word := range strings.SplitSeq(s, ",") {
		n, err := strconv.Atoi(strings.TrimPrefix(strings.ToUpper(strings.TrimSpace(word)), "C"))
		if err != nil || n < 1 || n > 9999 {
			return fmt.Errorf("give the numbers of circles as the overlay picture shows them, such as 3,7")
		}
		*v = append(*v, n)
	}
	return nil
}

// places is pixels of the overlay picture, one a flag: "812,640".
type places []place

type place struct{ calib.Point }

func (v *places) Type() string   { return "x,y" }
func (v *places) String() string { return "" }

func (v *places) Set(s string) error {
	a, b, _ := strings.Cut(s, ",")
	x, okX := parseNumber(strings.TrimSpace(a))
	y, okY := parseNumber(strings.TrimSpace(b))
	if !okX || !okY || x < 0 || y < 0 {
		return errors.New("give a place in the overlay picture, pixels from its left and from its top, such as 812,640")
	}
	*v = append(*v, place{calib.Point{X: x, Y: y}})
	return nil
}

// checks is distances that the user measured: "H1-H2=78.4+-0.1", one a flag.
type checks []check

// check is one of them, in the units of --units where no unit stands behind
// the number.
type check struct {
	from, to string
	d, u     typed
}

// typed is a number as typed, bare or with its unit.
type typed struct {
	v    float64 // mm, or the bare number
	bare bool
}

func (q typed) mm(u template.Units) float64 {
	if q.bare && u == template.Inches {
		return q.v * 25.4
	}
	return q.v
}

func parseTyped(s string) (typed, bool) {
	v, ok := parseLength(s)
	s = strings.TrimSpace(s)
	return typed{v, ok && strings.ContainsRune("0123456789.", rune(s[len(s)-1]))}, ok
}

var checkEnds = regexp.MustCompile(`^(H[1-9][0-9]?|G|T)$`)

func (v *checks) Type() string   { return "H1-H2=mm" }
func (v *checks) String() string { return "" }

func (v *checks) Set(s string) error {
	const how = "give what lies between which centres, such as H1-H2=78.4 or H1-G=39.6+-0.1"
	ends, value, _ := strings.Cut(strings.ReplaceAll(s, "±", "+-"), "=")
	from, to, _ := strings.Cut(strings.ToUpper(ends), "-")
	c := check{from: strings.TrimSpace(from), to: strings.TrimSpace(to)}
	value, u, doubt := strings.Cut(value, "+-")
	var ok bool
	if c.d, ok = parseTyped(value); !ok || c.d.v <= 0 || !checkEnds.MatchString(c.from) || !checkEnds.MatchString(c.to) {
		return errors.New(how)
	}
	if c.from == c.to || c.from+c.to == "GT" || c.from+c.to == "TG" {
		return errors.New("a check goes from a hole to another, to G or to T; " + how)
	}
	if doubt {
		if c.u, ok = parseTyped(u); !ok || c.u.v <= 0 {
			return errors.New("behind +- give how far off the measurement may be; " + how)
		}
	}
	*v = append(*v, c)
	return nil
}

// measurements is the checks in millimetres.
func (v checks) measurements(u template.Units) []calib.Measurement {
	var out []calib.Measurement
	for _, c := range v {
		out = append(out, calib.Measurement{From: c.from, To: c.to, MM: c.d.mm(u), U95: c.u.mm(u)})
	}
	return out
}

// count is a whole number from least to most.
type count struct {
	n, least, most int
	example        string
}

func (v *count) Type() string { return "N" }
func (v *count) String() string {
	if v == nil || v.n == 0 {
		return ""
	}
	return strconv.Itoa(v.n)
}

func (v *count) Set(s string) error {
	n, err := strconv.Atoi(s)
	if err != nil || n < v.least || n > v.most {
		return fmt.Errorf("give a whole number from %d to %d, such as %s", v.least, v.most, v.example)
	}
	v.n = n
	return nil
}

// paper is a sheet by its name.
type paper struct{ template.Paper }

func (v *paper) Type() string   { return "NAME" }
func (v *paper) String() string { return v.Name }
func (v *paper) Set(s string) (err error) {
	v.Paper, err = template.ParsePaper(s)
	return err
}

// units is "mm" or "in".
type units struct{ template.Units }

func (v *units) Type() string { return "mm|in" }
func (v *units) String() string {
	return v.Units.String()
}
func (v *units) Set(s string) (err error) {
	v.Units, err = template.ParseUnits(s)
	return err
}

// The template's formats.
var allFormats = []string{"pdf", "svg", "dxf", "png", "overlay"}

// formats is which drawings are written: "pdf,dxf".
type formats []string

func (v *formats) Type() string   { return "LIST" }
func (v *formats) String() string { return "" }

func (v *formats) Set(s string) (err error) {
	*v, err = someOf(allFormats, s)
	return err
}

// someOf reads words, each of them one of all, joined by commas.
func someOf(all []string, s string) (some []string, err error) {
	for word := range strings.SplitSeq(s, ",") {
		word = strings.ToLower(strings.TrimSpace(word))
		if !slices.Contains(all, word) {
			return nil, fmt.Errorf("give some of %s, such as pdf,dxf", strings.Join(all, ","))
		}
		if !slices.Contains(some, word) {
			some = append(some, word)
		}
	}
	return some, nil
}

func (v formats) has(f string) bool { return slices.Contains(v, f) }
