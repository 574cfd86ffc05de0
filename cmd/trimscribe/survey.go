package main

import (
	"fmt"
	"slices"

	"trimscribe/calib"
	"trimscribe/vision"
)

// found is what the stages give: the survey, and the camera that took each
// photo, to draw on it.
type found struct {
	survey  *calib.Survey
	cameras []calib.Camera
}

// measure takes a photo through the stages: squares, pose, circles,
// millimetres, choice. It calls stage with what it is about to do, in a few
// words. Its errors are sentences for the user, without the file's name.
func measure(p *vision.Photo, f *photoFlags, stage func(string)) (*found, error) {
	stage("looking for the reference square")
	s, err := f.shoot(p)
	if err != nil {
		return nil, err
	}
	if err := s.solvePose(f); err != nil {
		return nil, err
	}
	stage("looking for holes and the grille")
	m, candidates, err := s.findMeasured(f, stage)
	if err != nil {
		return nil, err
	}
	hints, err := f.hints(p, s.solution.Camera, candidates, m.heights)
	if err != nil {
		return nil, err
	}
	choice := calib.Choose(candidates, hints)
	// What is chosen, or about as likely, is fitted, and by its size as fitted it may go with the
	// others no more.
	for range mostFitted {
		if !s.refine(append(choice.Chosen(), choice.Near...)) {
			break
		}
		if m, err = s.measureRims(f, nil); err != nil {
			return nil, err
		}
		candidates = s.candidates(f, m)
		choice = calib.Choose(candidates, hints)
	}
	if off := s.offFace(choice, hints); off != "" {
		choice.Doubts = append(choice.Doubts, off)
	}
	shaded := s.shaded(choice.Holes, hints)
	if shaded != "" {
		choice.Doubts = append(choice.Doubts, shaded)
	}
	if s.sink(choice.Holes) || shaded != "" {
		if m, err = s.measureRims(f, nil); err != nil {
			return nil, err
		}
		candidates = s.candidates(f, m)
	}
	own, err := f.heights.find(choice, len(s.rims)) // of what has been found and chosen without them
	if err != nil {
		return nil, err
	}
	for i, h := range own {
		s.rims[i] = s.rims[i].Retrace(p, s.solution.Camera, h.mm-s.rims[i].Sunk)
	}
	if len(own) > 0 {
		if m, err = s.measureRims(f, own); err != nil {
			return nil, err
		}
		candidates = s.candidates(f, m)
	}
	survey := calib.NewSurvey(calib.Findings{
		Photos:     []calib.PhotoFindings{s.findings()},
		Candidates: candidates, Measured: m.Measured, Heights: m.heights, Choice: choice,
		TweeterOffset: f.tweeterOffset.Point,
	})
	survey.Notes = append(survey.Notes, s.lens.notes...)
	survey.Advice = calib.Grade(s.solution, m.chosen(choice), s.spread)
	f.sayOfRectangle(survey)
	known, eye := f.told(), s.solution.Camera.Eye()
	known.Eye = &eye
	survey.Check(f.checks.measurements(f.units.Units), known)
	if f.trace.wanted {
		stage("tracing edges")
		f.trace.traceEdges(p, survey, s.solution, f.units.Units)
	}
	return &found{survey, []calib.Camera{s.solution.Camera}}, nil
}

// mostFitted is how often circles are chosen anew as one of them was fitted for it.
const mostFitted = 4

// refine fits those of the circles that were too unlikely to be fitted before, and tells whether
// there were any.
func (s *shot) refine(which []int) (any bool) {
	for _, i := range which {
		if i < len(s.rims) && !s.rims[i].Fitted {
			s.rims[i] = s.rims[i].Refined(s.photo, s.solution.Camera)
			any = any || s.rims[i].Fitted
		}
	}
	return any
}

// kin is the rims of the holes that are chosen.
func (s *shot) kin(holes []int) (kin []*vision.Rim) {
	for _, i := range holes {
		if i < len(s.rims) { // round
			kin = append(kin, &s.rims[i])
		}
	}
	return kin
}

// sink measures the holes that are chosen as deep in their faces as the photo shows that they are,
// and tells whether they are any deeper.
func (s *shot) sink(holes []int) bool {
	kin := s.kin(holes)
	sunk, deeper := vision.Sunk(s.photo, s.solution.Camera, rimsOf(kin))
	for i, r := range sunk {
		*kin[i] = r
	}
	return deeper
}

// shaded says when the holes that are chosen lie off the middles of their bosses, as what is half a bore and half its
// countersink's shade does; their places then may be as far off.
func (s *shot) shaded(holes []int, h calib.Hints) string {
	if !slices.ContainsFunc(holes, func(i int) bool { return !slices.Contains(h.Pick, i) }) {
		return ""
	}
	kin := s.kin(holes)
	off, ok := vision.Eccentric(s.photo, s.solution.Camera, rimsOf(kin))
	if !ok {
		return ""
	}
	pick := ""
	for i, r := range kin {
		r.MayLie = off
		pick += fmt.Sprintf(",%d", holes[i]+1)
	}
	return fmt.Sprintf("the holes lie %.1f mm off the middles of the bosses round them, all to one side, as where a countersink's shade is taken for a part of them; see their pictures, and take the photo once more with the light from another side, or say --pick %s if the bosses are made so", off.Norm(), pick[1:])
}

// offFace says when the grille's circle that is chosen, and not by the user, is not in the face.
func (s *shot) offFace(c calib.Choice, h calib.Hints) string {
	if c.Grille < 0 || c.Grille >= len(s.rims) || slices.Contains(h.Pick, c.Grille) || h.GrilleDiameter > 0 {
		return ""
	}
	if !vision.OffFace(s.photo, s.solution.Camera, s.rims[c.Grille], rimsOf(s.kin(c.Holes))) {
		return ""
	}
	return fmt.Sprintf("what shows round circle %d, taken for the grille's edge, is of another colour than the face by the holes, as it is round a ring in the opening; see its picture, and settle it with --grille-diameter, or with --pick %d if it is the edge", c.Grille+1, c.Grille+1)
}

func rimsOf(kin []*vision.Rim) (rims []vision.Rim) {
	for _, r := range kin {
		rims = append(rims, *r)
	}
	return rims
}

// findMeasured finds and measures all that may be a hole or a grille, and where something is in doubt
// then what looks as a hole does that was found.
// Hints have no say in this, for they number what the run before them found.
func (s *shot) findMeasured(f *photoFlags, stage func(string)) (measuredRims, []calib.Candidate, error) {
	m, candidates, err := s.findPlain(f, stage)
	if err != nil || !s.traceAlike(f, candidates) {
		return m, candidates, err
	}
	if m, err = s.measureRims(f, nil); err != nil {
		return m, nil, err
	}
	return m, s.candidates(f, m), nil
}

// findPlain finds and measures what shows by itself, or is missing beside that. Where there is no
// set of holes among it, it looks again, closer, and keeps that if there is one then.
func (s *shot) findPlain(f *photoFlags, stage func(string)) (measuredRims, []calib.Candidate, error) {
	s.findAll(f)
	stage("measuring")
	m, err := s.measureRims(f, nil)
	if err != nil {
		return m, nil, err
	}
	candidates := s.candidates(f, m)
	if s.traceMissing(f, candidates) {
		if m, err = s.measureRims(f, nil); err != nil {
			return m, nil, err
		}
		candidates = s.candidates(f, m)
	}
	if s.closer || f.tweeterDiameter.given || calib.HasSet(candidates) {
		return m, candidates, nil
	}
	stage("looking closer")
	second := *s
	second.closer = true
	m2, closer, err := second.findPlain(f, stage)
	if err != nil || !calib.HasSet(closer) {
		return m, candidates, nil
	}
	*s = second
	return m2, closer, nil
}
