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

// squareSizeU is the standard uncertainty of a square's size as printed or as
// the callipers say, mm: half of the +-0.1 mm that callipers on paper are good
// for.
const squareSizeU = 0.05

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
	traced, heights := make([]calib.Traced, len(s.rims)), make([]calib.HeightFound, len(s.rims))
	for i, r := range s.rims {
		traced[i] = tracedOf(r, s.solution.Camera)
		heights[i] = f.heightOf(r)
	}
	more, at := s.shapes.traced(s.solution.Camera, f)
	traced, heights = append(traced, more...), append(heights, at...)
	measured, err := calib.Measure(s.solution, traced)
	if err != nil {
		return nil, errors.New("shows no circle that can be measured")
	}
	candidates := append(candidatesOf(s.rims, measured), s.shapes.candidates(f, measured, len(s.rims))...)
	hints, err := f.hints(p, s.solution.Camera, candidates, heights)
	if err != nil {
		return nil, err
	}
	choice := calib.Choose(candidates, hints)
	survey := calib.NewSurvey(calib.Findings{
		Photos:     []calib.PhotoFindings{s.findings()},
		Candidates: candidates, Measured: measured, Heights: heights, Choice: choice,
		TweeterOffset: f.tweeterOffset.Point,
	})
	survey.Notes = append(survey.Notes, s.lens.notes...)
	var chosen []calib.Traced
	for _, i := range choice.Holes {
		chosen = append(chosen, traced[i])
	}
	if g := choice.Grille; g >= 0 {
		chosen = append(chosen, traced[g])
	}
	if choice.Mocked {
		chosen = append(chosen, traced[choice.Tweeter])
	}
	survey.Advice = calib.Grade(s.solution, chosen, vision.EdgeSpread(p, s.solution.Seen()))
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
	s.rims = likeliest(vision.FindCircles(s.photo, s.solution.Camera, vision.Search{HoleZ: f.holeHeight.mm, GrilleZ: f.grilleHeight.mm}))
}

// findAll fills in what the photo shows: circles, what is not round, and where
// a tweeter's body may sit.
func (s *shot) findAll(f *photoFlags) {
	rims := vision.FindCircles(s.photo, s.solution.Camera, vision.Search{HoleZ: f.holeHeight.mm, GrilleZ: f.grilleHeight.mm})
	s.shapes = findShapes(s.photo, f, s.solution, rims)
	s.rims = likeliest(s.shapes.without(rims, s.solution.Camera, f.tweeterDiameter.mm))
}

// heightOf is what is known of the height of a rim's plane in a single photo.
func (f *photoFlags) heightOf(r vision.Rim) calib.HeightFound {
	if 2*r.R > vision.MaxHole {
		return heightFound(r.Z, f.grilleHeight)
	}
	return heightFound(r.Z, f.holeHeight)
}

// heightFound is a height that was given, or assumed.
func heightFound(mm float64, flag length) calib.HeightFound {
	if flag.given {
		return calib.HeightFound{MM: mm, Source: calib.HeightGiven}
	}
	return calib.HeightFound{MM: mm, Source: calib.HeightAssumed}
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

// shoot begins with a photo: it finds its reference squares.
func (f *photoFlags) shoot(p *vision.Photo) (*shot, error) {
	lens, err := f.lensOf(p)
	if err != nil {
		return nil, err
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
	s.solution, err = calib.SolvePose(s.squares, calib.Assumptions{
		Lens: s.lens.Lens, FocalU: s.lens.focalU, SquareSize: f.square, SquareSizeU: squareSizeU, CentreU: s.lens.centreU, K1U: s.lens.k1U,
	})
	if err != nil {
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
		SquareSize: f.square != squareSize{calib.SquareSize, calib.SquareSize},
		HoleHeight: f.holeHeight.given, GrilleHeight: f.grilleHeight.given,
	}
}

// hints is what the flags say of the panel, in the terms of the choice. The
// circles' numbers start at 1; places are in the overlay of the given photo.
func (f *photoFlags) hints(p *vision.Photo, cam calib.Camera, cands []calib.Candidate, heights []calib.HeightFound) (calib.Hints, error) {
	h := calib.Hints{Holes: f.holes.n, HoleDiameter: f.holeDiameter.mm, GrilleDiameter: f.grilleDiameter.mm, Tweeter: f.tweeterDiameter.mm, GrilleHeight: f.grilleHeight.given}
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
