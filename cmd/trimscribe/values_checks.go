package main

import (
	"errors"
	"regexp"
	"strings"

	"trimscribe/calib"
	"trimscribe/template"
)

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

func (v *checks) Type() string { return "H1-H2=mm" }

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
