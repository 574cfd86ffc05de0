package main

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
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

// shot is one photo on its way through the stages.
type shot struct {
	photo    *vision.Photo
	lens     assumedLens
	squares  []calib.SquareEdges
	solution *calib.Solution
	rims     []vision.Rim // circles found, the likeliest first
	shapes   shapes       // what else was found; in a single photo only
}

// How many circles of each kind are measured and listed, the likeliest first.
const (
	mostHoles   = 24
	mostGrilles = 8
	leastOdds   = -3.5 // log odds of being an opening at all
)

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
	s.findAll(f)

	stage("measuring")
	m, err := s.measureRims(f, nil)
	if err != nil {
		return nil, err
	}
	candidates := s.candidates(f, m.Measured)
	hints, err := f.hints(p, s.solution.Camera, candidates, m.heights)
	if err != nil {
		return nil, err
	}
	choice := calib.Choose(candidates, hints)
	if len(f.heights) > 0 { // of what has been found and chosen without them
		own, err := f.heights.find(choice, len(s.rims))
		if err != nil {
			return nil, err
		}
		for i, h := range own {
			s.rims[i] = s.rims[i].Retrace(p, s.solution.Camera, h.mm)
		}
		if m, err = s.measureRims(f, own); err != nil {
			return nil, err
		}
		candidates = s.candidates(f, m.Measured)
	}
	survey := calib.NewSurvey(calib.Findings{
		Photos:     []calib.PhotoFindings{s.findings()},
		Candidates: candidates, Measured: m.Measured, Heights: m.heights, Choice: choice,
		TweeterOffset: f.tweeterOffset.Point,
	})
	survey.Notes = append(survey.Notes, s.lens.notes...)
	var chosen []calib.Traced
	for _, i := range choice.Holes {
		chosen = append(chosen, m.traced[i])
	}
	if g := choice.Grille; g >= 0 {
		chosen = append(chosen, m.traced[g])
	}
	if choice.Mocked {
		chosen = append(chosen, m.traced[choice.Tweeter])
	}
	survey.Advice = calib.Grade(s.solution, chosen, vision.EdgeSpread(p, s.solution.Seen()))
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

// findings is what the survey says of a photo.
func (s *shot) findings() calib.PhotoFindings {
	return calib.PhotoFindings{
		File: filepath.Base(s.photo.File), Solution: s.solution,
		FocalSource: cmp.Or(s.lens.source, s.solution.FocalSource()),
	}
}

// findCircles fills in the circles that the photo shows.
func (s *shot) findCircles(f *photoFlags) {
	s.rims = likeliest(vision.FindCircles(s.photo, s.solution.Camera, s.search(f)))
}

// findAll fills in what the photo shows: circles, what is not round, and where
// a tweeter's body may sit.
func (s *shot) findAll(f *photoFlags) {
	cam, search := s.solution.Camera, s.search(f)
	rims := vision.FindCircles(s.photo, cam, search)
	s.shapes = findShapes(s.photo, cam, f, search, rims)
	s.rims = likeliest(s.shapes.without(rims, cam, f.tweeterDiameter.mm))
}

// search is where the photo is searched: not where it shows the square's sheet,
// or print, chips and embossed letters on the card in its place.
func (s *shot) search(f *photoFlags) vision.Search {
	return vision.Search{HoleZ: f.holeHeight.mm, GrilleZ: f.grilleHeight.mm, Papers: papersOf(s.solution)}
}

// papersOf lists what lies on the panel to measure by.
func papersOf(s *calib.Solution) []vision.Paper {
	var out []vision.Paper
	for _, q := range s.Squares {
		out = append(out, vision.NewPaper(q))
	}
	return out
}

// candidates is all that was found, in the terms of the choice.
func (s *shot) candidates(f *photoFlags, m *calib.Measured) []calib.Candidate {
	return append(candidatesOf(s.rims, m), s.shapes.candidates(f, m, len(s.rims))...)
}

// measuredRims is all circles of a photo, with what they were measured from.
type measuredRims struct {
	*calib.Measured
	traced  []calib.Traced
	heights []calib.HeightFound
}

// add adds a circle in the plane at its height; h is what the user told of it.
func (m *measuredRims) add(t calib.Traced, h height, reading int) {
	found := calib.HeightFound{MM: t.Z, Source: calib.HeightAssumed}
	if h.given {
		t.HeightU, t.HeightReading = standard(h.bound), reading
		found.U95, found.Source = h.bound, calib.HeightGiven
	}
	m.traced, m.heights = append(m.traced, t), append(m.heights, found)
}

// measureRims measures all that was found in a photo, each at the height that
// the user told of its own or of its kind.
func (s *shot) measureRims(f *photoFlags, own map[int]height) (m measuredRims, err error) {
	cam := s.solution.Camera
	for i, r := range s.rims {
		h, reading := f.heightOf(r.Circle)
		if o, ok := own[i]; ok {
			h, reading = o, 0
		}
		m.add(tracedOf(r, cam), h, reading)
	}
	s.shapes.addTo(&m, cam, f)
	if m.Measured, err = calib.Measure(s.solution, m.traced); err != nil {
		return m, errors.New("shows no circle that can be measured")
	}
	return m, nil
}

// likeliest sorts circles, the likeliest first, and keeps the best of each kind.
func likeliest(rims []vision.Rim) []vision.Rim {
	slices.SortStableFunc(rims, func(a, b vision.Rim) int { return cmp.Compare(b.Odds(), a.Odds()) })
	rims = slices.DeleteFunc(rims, func(r vision.Rim) bool { return r.Odds() < leastOdds })
	left := map[bool]int{true: mostHoles, false: mostGrilles}
	return slices.DeleteFunc(rims, func(r vision.Rim) bool {
		hole := 2*r.R <= vision.MaxHole
		left[hole]--
		return left[hole] < 0
	})
}

// shoot begins with a photo: it finds its reference squares, or the rectangle
// that lies in their place.
func (f *photoFlags) shoot(p *vision.Photo) (*shot, error) {
	lens, err := f.lensOf(p)
	if err != nil {
		return nil, err
	}
	if f.rectangle.given {
		rectangle, err := f.rectangleIn(p, lens.Lens)
		if err != nil {
			return nil, err
		}
		return &shot{photo: p, lens: lens, squares: rectangle}, nil
	}
	squares := vision.FindSquares(p)
	if len(squares) == 0 {
		return nil, errors.New("shows no reference square: lay the whole printed square on the panel, flat and in even light, and take the photo so that it is at least a twelfth of the width")
	}
	for i := 1; i < len(squares); i++ {
		if squares[i].Number == squares[i-1].Number {
			return nil, fmt.Errorf("shows square number %d twice: lay squares with different numbers, or only one", squares[i].Number)
		}
	}
	return &shot{photo: p, lens: lens, squares: squares}, nil
}

// solvePose finds the camera that sees the squares. The first of them gives
// the panel's frame.
func (s *shot) solvePose(f *photoFlags) (err error) {
	a := calib.Assumptions{
		Lens: s.lens.Lens, FocalU: s.lens.focalU, SquareSize: f.square.mm, SquareSizeU: standard(f.square.bound), CentreU: s.lens.centreU, K1U: s.lens.k1U,
	}
	if f.rectangle.given {
		a.SquareSize, a.SquareSizeU = f.rectangle.size, calib.RectangleSizeU
	}
	s.solution, err = calib.SolvePose(s.squares, a)
	switch {
	case err != nil && f.rectangle.given:
		return fmt.Errorf("shows the rectangle, but not well enough to measure by: %w", err)
	case err != nil:
		return fmt.Errorf("shows reference square %d, but not well enough to measure by: %w", s.squares[0].Number, err)
	}
	return nil
}

// tracedOf hands a rim to the measuring: its points, or the circle that its
// profiles gave.
func tracedOf(r vision.Rim, cam calib.Camera) calib.Traced {
	t := calib.Traced{Points: r.Points, Z: r.Z}
	if r.Fitted {
		t.Points, t.Fitted = cam.Around(r.Circle, r.Z), &r.Cov
	}
	return t
}

func candidatesOf(rims []vision.Rim, m *calib.Measured) []calib.Candidate {
	out := make([]calib.Candidate, len(rims))
	for i, r := range rims {
		out[i] = calib.Candidate{Circle: m.Circles[i].Circle, Kind: calib.KindHole, Quality: r.Odds(), Why: r.Words()}
		if 2*r.R > vision.MaxHole {
			out[i].Kind = calib.KindGrille
		}
	}
	return out
}

// told is which of what the survey rests on the user gave.
func (f *photoFlags) told() calib.Known {
	return calib.Known{
		SquareSize: f.square.given,
		HoleHeight: f.holeHeight.given || f.heights.tell('H'), GrilleHeight: f.grilleHeight.given || f.heights.tell('G'),
	}
}

// hints is what the flags say of the panel, in the terms of the choice. The
// circles' numbers start at 1; places are in the overlay of the given photo.
func (f *photoFlags) hints(p *vision.Photo, cam calib.Camera, cands []calib.Candidate, heights []calib.HeightFound) (calib.Hints, error) {
	h := calib.Hints{Holes: f.holes.n, HoleDiameter: f.holeDiameter.mm, GrilleDiameter: f.grilleDiameter.mm, Tweeter: f.tweeterDiameter.mm, GrilleHeight: f.grilleHeight.given || f.heights.tell('G')}
	for _, n := range f.pick {
		h.Pick = append(h.Pick, n-1)
	}
	for _, n := range f.drop {
		h.Drop = append(h.Drop, n-1)
	}
	for _, at := range f.near {
		i, err := nearest(p, cam, cands, heights, at.Point)
		if err != nil {
			return h, err
		}
		h.Pick = append(h.Pick, i)
	}
	return h, nil
}
