package main

import (
	"errors"
	"fmt"
	"math"
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

// offset is a place against another, mm: "x,y".
type offset struct{ calib.Point }

const maxOffset = 200 // mm

func (v *offset) Type() string { return "x,y" }

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

// numbers is a list of circles by their numbers: "3,7".
type numbers []int

func (v *numbers) Type() string { return "N,..." }

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

func (v *places) Type() string { return "x,y" }

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

func (v *paper) Type() string { return "NAME" }

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

func (v *formats) Type() string { return "LIST" }

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
