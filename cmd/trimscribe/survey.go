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

// found is what the stages give: the survey, and the camera that took the
// photo, to draw on it.
type found struct {
	survey *calib.Survey
	camera calib.Camera
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
	lens, err := f.lensOf(p)
	if err != nil {
		return nil, err
	}
	solution, err := solvePose(p, f)
	if err != nil {
		return nil, err
	}
	stage("looking for holes and the grille")
	rims := vision.FindCircles(p, solution.Camera, vision.Search{HoleZ: f.holeHeight.mm, GrilleZ: f.grilleHeight.mm})
	rims = likeliest(rims)

	stage("measuring")
	traced, heights := make([]calib.Traced, len(rims)), make([]float64, len(rims))
	for i, r := range rims {
		traced[i] = tracedOf(r, solution.Camera)
		heights[i] = r.Z
	}
	measured, err := calib.Measure(solution, traced)
	if err != nil {
		return nil, errors.New("shows no circle that can be measured")
	}
	candidates := candidatesOf(rims, measured)
	hints := f.hints()
	for _, at := range f.near {
		i, err := nearest(p, solution.Camera, candidates, heights, at.Point)
		if err != nil {
			return nil, err
		}
		hints.Pick = append(hints.Pick, i)
	}
	choice := calib.Choose(candidates, hints)
	survey := calib.NewSurvey(calib.Findings{
		File: filepath.Base(p.File), Solution: solution, FocalSource: cmp.Or(lens.source, solution.FocalSource()),
		Candidates: candidates, Measured: measured, Heights: heights, Choice: choice,
		TweeterOffset: f.tweeterOffset.Point,
	})
	survey.Notes = append(survey.Notes, lens.notes...)
	var chosen []calib.Traced
	for _, i := range choice.Holes {
		chosen = append(chosen, traced[i])
	}
	if g := choice.Grille; g >= 0 {
		chosen = append(chosen, traced[g])
	}
	survey.Advice = calib.Grade(solution, chosen, vision.EdgeSpread(p, solution.Seen()))
	survey.Check(f.checks.measurements(f.units.Units), f.told(solution.Camera))
	if f.trace.wanted {
		stage("tracing edges")
		f.trace.traceEdges(p, survey, solution, f.units.Units)
	}
	return &found{survey, solution.Camera}, nil
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

// solvePose finds the squares and the camera that sees them.
func solvePose(p *vision.Photo, f *photoFlags) (*calib.Solution, error) {
	squares := vision.FindSquares(p)
	if len(squares) == 0 {
		return nil, errors.New("shows no reference square: lay the whole printed square on the panel, flat and in even light, and take the photo so that it is at least a twelfth of the width")
	}
	for i := 1; i < len(squares); i++ {
		if squares[i].Number == squares[i-1].Number {
			return nil, fmt.Errorf("shows square number %d twice: lay squares with different numbers, or only one", squares[i].Number)
		}
	}
	lens, err := f.lensOf(p)
	if err != nil {
		return nil, err
	}
	solution, err := calib.SolvePose(squares, calib.Assumptions{
		Lens: lens.Lens, FocalU: lens.focalU, SquareSize: f.square, SquareSizeU: squareSizeU, CentreU: lens.centreU, K1U: lens.k1U,
	})
	if err != nil {
		return nil, fmt.Errorf("shows reference square %d, but not well enough to measure by: %w", squares[0].Number, err)
	}
	return solution, nil
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

// told is which of what the survey rests on the user gave, and the camera's
// place.
func (f *photoFlags) told(cam calib.Camera) calib.Known {
	eye := cam.Eye()
	return calib.Known{
		SquareSize: f.square != squareSize{calib.SquareSize, calib.SquareSize},
		HoleHeight: f.holeHeight.given, GrilleHeight: f.grilleHeight.given, Eye: &eye,
	}
}

// hints is what the flags say of the panel, in the terms of the choice. The
// circles' numbers start at 1.
func (f *photoFlags) hints() calib.Hints {
	h := calib.Hints{Holes: f.holes.n, HoleDiameter: f.holeDiameter.mm, GrilleDiameter: f.grilleDiameter.mm, GrilleHeight: f.grilleHeight.given}
	for _, n := range f.pick {
		h.Pick = append(h.Pick, n-1)
	}
	for _, n := range f.drop {
		h.Drop = append(h.Drop, n-1)
	}
	return h
}
