package plate

import (
	"fmt"
	"strings"
)

// The fits of ISO 273, which sets clearance holes for metric screws.
const (
	Fine   = "fine"
	Medium = "medium"
	Coarse = "coarse"
)

// screw is a metric screw and its clearance holes, mm.
type screw struct {
	name                           string
	diameter, fine, medium, coarse float64
}

// screws is the part of ISO 273's table that trim is held by (from memory).
var screws = []screw{
	{"M2", 2, 2.2, 2.4, 2.6},
	{"M2.5", 2.5, 2.7, 2.9, 3.1},
	{"M3", 3, 3.2, 3.4, 3.6},
	{"M3.5", 3.5, 3.7, 3.9, 4.2},
	{"M4", 4, 4.3, 4.5, 4.8},
	{"M5", 5, 5.3, 5.5, 5.8},
	{"M6", 6, 6.4, 6.6, 7},
	{"M8", 8, 8.4, 9, 10},
}

// ScrewNames lists the screws that clearanceHole knows.
func ScrewNames() []string {
	names := make([]string, len(screws))
	for i, s := range screws {
		names[i] = s.name
	}
	return names
}

// clearanceHole returns a screw's diameter and that of its clearance hole, mm,
// for a name such as M4 and a fit, by ISO 273. The error is a sentence.
func clearanceHole(name, fit string) (diameter, hole float64, err error) {
	for _, s := range screws {
		if !strings.EqualFold(s.name, name) {
			continue
		}
		switch fit {
		case Fine:
			return s.diameter, s.fine, nil
		case Medium:
			return s.diameter, s.medium, nil
		case Coarse:
			return s.diameter, s.coarse, nil
		}
		return 0, 0, fmt.Errorf("%q is no fit of ISO 273: use fine, medium or coarse", fit)
	}
	return 0, 0, fmt.Errorf("%q is no screw known here: use one of %s, or give the hole itself", name, strings.Join(ScrewNames(), ", "))
}

// screwFor returns the largest screw that passes a hole with a fine fit.
func screwFor(hole float64) (name string, diameter float64) {
	for _, s := range screws {
		if s.fine <= hole+tiny {
			name, diameter = s.name, s.diameter
		}
	}
	return name, diameter
}
