package main

import (
	"fmt"
	"slices"

	"trimscribe/calib"
	"trimscribe/vision"
)

// plainOdds is the log odds from which a circle is taken to be there in
// another photo too.
const plainOdds = 1.0

// agree refuses photos that show too little of what the others show.
func (s *several) agree(matches []calib.Match) error {
	n := len(s.shots)
	common, plain := make([][]int, n), make([][]int, n)
	for p, shot := range s.shots {
		common[p], plain[p] = make([]int, n), make([]int, n)
		for _, r := range shot.rims {
			for q, other := range s.shots {
				if r.Odds() > plainOdds && vision.Sees(other.photo, other.solution.Camera, r.Circle, r.Z) {
					plain[p][q]++
				}
			}
		}
	}
	for _, m := range matches {
		for p, i := range m.In {
			for q, j := range m.In {
				if i >= 0 && j >= 0 && max(s.shots[p].rims[i].Odds(), s.shots[q].rims[j].Odds()) > plainOdds {
					common[p][q]++
				}
			}
		}
	}
	if odd, known := calib.Apart(common, plain); len(odd) > 0 {
		return s.refusal(odd, known)
	}
	return nil
}

// refusal says which photos do not agree, and why as far as they show it.
func (s *several) refusal(odd []int, known bool) error {
	const rest = "leave the square where it lies, take all photos of one panel, or give each photo alone"
	if !known {
		cause := s.cause(odd[0], odd[1])
		return fmt.Errorf("%s do not agree, and it is not known which is wrong: %s; %s", list(s.names(odd)), cause, rest)
	}
	reference := slices.IndexFunc(s.all(), func(p int) bool { return !slices.Contains(odd, p) })
	verb := "does"
	if len(odd) > 1 {
		verb = "do"
	}
	return fmt.Errorf("%s %s not agree with %s: %s; %s", list(s.names(odd)), verb, s.shots[reference].photo.File, s.cause(reference, odd[0]), rest)
}

func (s *several) names(photos []int) []string {
	var out []string
	for _, p := range photos {
		out = append(out, s.shots[p].photo.File)
	}
	return out
}

// cause says in words why two photos differ.
func (s *several) cause(p, q int) string {
	figure := func(p int) (out []calib.Circle) {
		for _, r := range s.shots[p].rims {
			if r.Odds() > plainOdds {
				out = append(out, r.Circle)
			}
		}
		return out
	}
	switch calib.Why(figure(p), figure(q)) {
	case calib.CauseMoved:
		return "the square was moved between them"
	case calib.CauseSize:
		return "the squares in them are not of one size"
	}
	return "the square was moved between them, or they show different panels or sides"
}

// mostMiss is how far, in mm, a photo's circles may lie off where the others
// have them: light moves a rim by less, also where its edge is broken.
const mostMiss = 0.25

// outliers lists the photos whose circles mostly lie off.
func (s *several) outliers() (odd []int, known bool) {
	for p := range s.shots {
		off, n := 0, 0
		for k, t := range s.tracks {
			if t.rims[p] == nil || t.quality() <= 0 {
				continue
			}
			before := 0 // of the photos that show it
			for _, r := range t.rims[:p] {
				if r != nil {
					before++
				}
			}
			n++
			if s.bundle.Misses[k][before] > mostMiss {
				off++
			}
		}
		if n >= 2 && 2*off > n {
			odd = append(odd, p)
		}
	}
	if 2*len(odd) < len(s.shots) {
		return odd, true
	}
	return s.all(), false
}

// all lists all photos.
func (s *several) all() []int {
	out := make([]int, len(s.shots))
	for p := range out {
		out[p] = p
	}
	return out
}
