package main

import (
	"fmt"
	"math"
	"slices"

	"trimscribe/calib"
)

// survey chooses among the circles and writes down what was found. Heights
// that the user gave belong to what is chosen, so they come in last.
func (s *several) survey() (*found, error) {
	hints, err := s.flags.hints(s.shots[0].photo, s.cameras()[0], s.candidates(), s.heights())
	if err != nil {
		return nil, err
	}
	hints.GrilleHeight = true // it is solved
	choice := calib.Choose(s.candidates(), hints)
	if err := s.settle(choice); err != nil {
		return nil, err
	}
	doubts, given, err := s.setGiven(choice)
	if err != nil {
		return nil, err
	}
	if given {
		if err := s.adjust(); err != nil {
			return nil, err
		}
	}
	findings := calib.Findings{
		Candidates: s.candidates(), Measured: s.bundle.Measured(), Heights: s.heights(), Choice: choice,
		TweeterOffset: s.flags.tweeterOffset.Point,
	}
	for p, shot := range s.shots {
		photo := shot.findings()
		photo.Solution = s.bundle.Solutions[p]
		findings.Photos = append(findings.Photos, photo)
	}
	survey := calib.NewSurvey(findings)
	survey.Doubts = append(survey.Doubts, doubts...)
	survey.Doubts = append(survey.Doubts, s.oddDoubts(survey.Features)...)
	survey.Doubts = append(survey.Doubts, parallaxDoubt(survey)...)
	for _, shot := range s.shots {
		for _, n := range shot.lens.notes {
			if !slices.Contains(survey.Notes, n) {
				survey.Notes = append(survey.Notes, n)
			}
		}
	}
	survey.Check(s.flags.checks.measurements(s.flags.units.Units), s.flags.told())
	return &found{survey, s.cameras()}, nil
}

func (s *several) candidates() []calib.Candidate {
	var out []calib.Candidate
	for _, t := range s.tracks {
		out = append(out, calib.Candidate{Circle: t.circle, Kind: kindOf(t.circle), Quality: t.quality(), Inside: t.best().Core, Boss: t.best().Boss > 0, Why: t.words()})
	}
	return out
}

// heights is what is known of the tracks' heights.
func (s *several) heights() []calib.HeightFound {
	var out []calib.HeightFound
	for k, t := range s.tracks {
		h := calib.HeightFound{MM: t.z, U95: s.bundle.HeightU95(k), Source: calib.HeightSolved}
		if t.given != nil {
			h.Source = calib.HeightGiven
		}
		out = append(out, h)
	}
	return out
}

// setGiven lays the heights that the user gave on the chosen circles. Where the
// photos plainly say otherwise they are believed, and that is a doubt.
func (s *several) setGiven(choice calib.Choice) (doubts []string, any bool, err error) {
	own, err := s.flags.heights.find(choice, len(s.tracks))
	if err != nil {
		return nil, false, err
	}
	lay := func(k int, given height, name string) {
		if !given.given {
			return
		}
		h := s.bundle.Heights[k]
		if off := math.Abs(h.Z - given.mm); off > 2*math.Hypot(2*h.U, standard(given.bound))+0.2 {
			doubts = append(doubts, fmt.Sprintf("%s was given as %.1f mm high, and the photos say %.1f +-%.1f mm; measure it again, or leave the height out", name, given.mm, h.Z, 2*h.U))
			return
		}
		s.tracks[k].given = &calib.Height{Z: given.mm, U: standard(given.bound)}
		any = true
	}
	of := func(k int, kind height) height {
		if h, ok := own[k]; ok {
			return h
		}
		return kind
	}
	for i, k := range choice.Holes {
		lay(k, of(k, s.flags.holeHeight), fmt.Sprintf("H%d", i+1))
	}
	if k := choice.Grille; k >= 0 {
		lay(k, of(k, s.flags.grilleHeight), "G")
	}
	return doubts, any, nil
}

// unsureHeight is the U95 of a solved height, mm, from which it is in doubt: a
// spacer of the wrong thickness by as much bends the plate.
const unsureHeight = 1.0

// parallaxDoubt says when the photos were taken from too nearly the same place.
func parallaxDoubt(s *calib.Survey) []string {
	worst := 0.0
	for _, f := range s.Features {
		if f.HeightSource == calib.HeightSolved {
			worst = math.Max(worst, f.ZU95)
		}
	}
	if worst <= unsureHeight {
		return nil
	}
	return []string{fmt.Sprintf("the heights are known to +-%.1f mm only, as the photos were taken from nearly one place: take them from sides that differ by 10 degrees or more, or give --hole-height and --grille-height", worst)}
}
