package main

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"trimscribe/calib"
	"trimscribe/vision"
)

// shot is one photo on its way through the stages.
type shot struct {
	photo    *vision.Photo
	lens     assumedLens
	squares  []calib.SquareEdges
	solution *calib.Solution
	spread   float64      // how far the photo spreads the squares' edges, px
	rims     []vision.Rim // circles found, the likeliest first
	shapes   shapes       // what else was found; in a single photo only
	closer   bool         // it is looked at a second time
}

// How many circles of each kind are measured and listed, the likeliest first.
const (
	mostHoles   = 24
	mostGrilles = 8
	leastOdds   = -3.5 // log odds of being an opening at all
)

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
	s.spread = vision.EdgeSpread(s.photo, s.solution.Seen())
	return nil
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
	rims = s.shapes.without(rims, cam, f.tweeterDiameter.mm)
	s.rims = likeliest(s.shapes.besideBody(s.photo, cam, rims, f.tweeterDiameter.mm))
}

// missSlack is how far from where a hole of an even set would be it is looked for, as a share
// of its distance from the middle of them.
const missSlack = 0.12

// traceMissing looks for the rest of the sets of holes that seem to want some, and tells whether
// it found any. Hints have no say in it, for they number what it found.
func (s *shot) traceMissing(f *photoFlags, candidates []calib.Candidate) (found bool) {
	round := len(s.rims)
	for _, e := range calib.Choose(candidates, calib.Hints{Tweeter: f.tweeterDiameter.mm}).Expected {
		if e.Like >= round {
			continue // what is not round is nobody's kin
		}
		kin := s.rims[e.Like]
		if s.has(calib.Circle{Centre: e.At, R: kin.R}) {
			continue
		}
		if r, ok := vision.TraceKin(s.photo, s.solution.Camera, kin, e.At, missSlack*e.Reach); ok && !s.has(r.Circle) {
			s.rims = append(s.rims, r)
			found = true
		}
	}
	s.rims = likeliest(s.rims)
	return found
}

// How many holes, the likeliest, others are compared with, and how likely those are at least.
const (
	mostCompared = 4
	sureHole     = 2.0 // log odds
)

// traceAlike looks for holes that look as one does that was found, where what was found leaves
// something in doubt, and tells whether it found any. Hints have no say in it either.
func (s *shot) traceAlike(f *photoFlags, candidates []calib.Candidate) (found bool) {
	choice := calib.Choose(candidates, calib.Hints{Tweeter: f.tweeterDiameter.mm})
	if len(choice.Doubts) == 0 {
		return false
	}
	var kin []vision.Rim
	for i, r := range s.rims {
		plain := kindOf(r.Circle) == calib.KindHole && r.Odds() > sureHole && len(kin) < mostCompared
		if plain || slices.Contains(choice.Holes, i) {
			kin = append(kin, r)
		}
	}
	for _, k := range kin {
		for _, r := range s.search(f).TraceAlikes(s.photo, s.solution.Camera, k) {
			if at := s.find(r.Circle); at < 0 {
				s.rims = append(s.rims, r)
				found = true
			} else if s.rims[at].Odds() < r.Told {
				s.rims[at].Told = r.Told
				found = true
			}
		}
	}
	s.rims = likeliest(s.rims)
	return found
}

// has tells whether a circle about as wide was found about there.
func (s *shot) has(c calib.Circle) bool { return s.find(c) >= 0 }

// find is the index of a circle about as wide that was found about there, or -1.
func (s *shot) find(c calib.Circle) int {
	return slices.IndexFunc(s.rims, func(o vision.Rim) bool { return o.Centre.Dist(c.Centre) < c.R && math.Abs(o.R-c.R) < 0.1*c.R })
}

// search is where the photo is searched: not where it shows the square's sheet,
// or print, chips and embossed letters on the card in its place.
func (s *shot) search(f *photoFlags) vision.Search {
	return vision.Search{HoleZ: f.holeHeight.mm, GrilleZ: f.grilleHeight.mm, Papers: papersOf(s.solution), Closer: s.closer}
}

// papersOf lists what lies on the panel to measure by.
func papersOf(s *calib.Solution) []vision.Paper {
	var out []vision.Paper
	for _, q := range s.Squares {
		out = append(out, vision.NewPaper(q))
	}
	return out
}

// mostOf is how many of each kind are kept.
func mostOf() map[string]int {
	return map[string]int{calib.KindHole: mostHoles, calib.KindGrille: mostGrilles}
}

// likeliest sorts circles, the likeliest first, and keeps the best of each kind.
func likeliest(rims []vision.Rim) []vision.Rim {
	slices.SortStableFunc(rims, func(a, b vision.Rim) int { return cmp.Compare(b.Odds(), a.Odds()) })
	rims = slices.DeleteFunc(rims, func(r vision.Rim) bool { return r.Odds() < leastOdds })
	left := mostOf()
	return slices.DeleteFunc(rims, func(r vision.Rim) bool {
		kind := kindOf(r.Circle)
		left[kind]--
		return left[kind] < 0
	})
}

// findings is what the survey says of a photo.
func (s *shot) findings() calib.PhotoFindings {
	return calib.PhotoFindings{
		File: filepath.Base(s.photo.File), Solution: s.solution,
		FocalSource: cmp.Or(s.lens.source, s.solution.FocalSource()),
	}
}

// candidates is all that was found, in the terms of the choice.
func (s *shot) candidates(f *photoFlags, m measuredRims) []calib.Candidate {
	out := append(candidatesOf(s.rims, s.solution.Camera, m), s.shapes.candidates(f, m.Measured, len(s.rims))...)
	for i := range out {
		out[i].Shift = s.solution.Camera.Shift(out[i].Circle, m.heights[i].MM)
	}
	return out
}

func candidatesOf(rims []vision.Rim, cam calib.Camera, m measuredRims) []calib.Candidate {
	out := make([]calib.Candidate, len(rims))
	for i, r := range rims {
		out[i] = calib.Candidate{
			Circle: m.Circles[i].Circle, Kind: kindOf(r.Circle), Quality: r.Odds(), AsFace: r.AsFace(),
			Inside: r.Core, Boss: r.Boss > 0, RU: r.SizeU(cam), Why: r.Words(),
		}
	}
	return out
}

// kindOf tells a hole from a grille by its size.
func kindOf(c calib.Circle) string {
	if 2*c.R > vision.MaxHole {
		return calib.KindGrille
	}
	return calib.KindHole
}
