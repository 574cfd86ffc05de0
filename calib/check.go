package calib

import (
	"fmt"
	"math"
	"strings"
)

// Measurement is a distance that the user measured on the panel, from centre
// to centre.
type Measurement struct {
	From, To string  // ids as in the survey; "T" is the tweeter centre
	MM       float64 // the distance
	U95      float64 // its expanded uncertainty; 0: CalliperU95
}

// CalliperU95 is the expanded uncertainty of a centre-to-centre distance by
// callipers, mm: two edges felt and half of each hole's diameter added (common
// practice).
const CalliperU95 = 0.1

// Check is a user's measurement against what was found.
type Check struct {
	From        string  `json:"from"`
	To          string  `json:"to"`
	Measured    float64 `json:"measured_mm"`
	MeasuredU95 float64 `json:"measured_u95_mm"`
	Found       float64 `json:"found_mm"`
	FoundU95    float64 `json:"found_u95_mm"`
	// En is the normalised error of ISO/IEC 17043, B.4: the difference over the
	// root of the sum of both expanded uncertainties' squares. Up to 1 the two agree.
	En     float64 `json:"en"`
	Agrees bool    `json:"agrees"`
}

// allowed is the difference at which En is 1, mm.
func (c Check) allowed() float64 { return math.Hypot(c.MeasuredU95, c.FoundU95) }

// Name says between what the check is.
func (c Check) Name() string { return c.From + " to " + c.To }

// Known is what the survey was told, for judging what may be behind a check
// that disagrees.
type Known struct {
	SquareSize   bool  // the square was measured
	HoleHeight   bool  // the holes' height was given
	GrilleHeight bool  // the grille's height was given
	Eye          *Vec3 // the camera's centre, when one photo alone fixed the scale and heights were not solved
}

// Check compares measured distances with the survey's, and records them there.
// Those that disagree become a doubt that names the likely cause.
func (s *Survey) Check(measured []Measurement, k Known) {
	for _, m := range measured {
		d, ok := s.distance(m.From, m.To)
		if !ok {
			s.Doubts = append(s.Doubts, fmt.Sprintf("the check of %s to %s could not be made, for they are not both in the survey", m.From, m.To))
			continue
		}
		c := Check{From: m.From, To: m.To, Measured: m.MM, MeasuredU95: m.U95, Found: d.MM, FoundU95: d.U95}
		if c.MeasuredU95 == 0 {
			c.MeasuredU95 = CalliperU95
		}
		c.En = math.Abs(c.Measured-c.Found) / c.allowed()
		c.Agrees = c.En <= 1
		s.Checks = append(s.Checks, c)
	}
	var against []string
	for _, c := range s.Checks {
		if !c.Agrees {
			against = append(against, fmt.Sprintf("%s is %.2f mm by the check and %.2f mm in the survey, %.2f apart where %.2f are allowed", c.Name(), c.Measured, c.Found, math.Abs(c.Measured-c.Found), c.allowed()))
		}
	}
	if len(against) == 0 {
		return
	}
	words := strings.Join(against, "; ") + ". "
	if len(against) == 1 && len(s.Checks) > 1 {
		words += "The other checks agree, so measure this one again first. "
	}
	s.Doubts = append(s.Doubts, words+causeOf(s, k))
}

// distance finds a distance of the survey, from either end.
func (s *Survey) distance(from, to string) (DistanceEntry, bool) {
	for _, d := range s.Distances {
		if d.From == from && d.To == to || d.From == to && d.To == from {
			return d, true
		}
	}
	return DistanceEntry{}, false
}
