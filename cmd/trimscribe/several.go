package main

import (
	"errors"
	"fmt"
	"slices"

	"trimscribe/calib"
	"trimscribe/vision"
)

// several is some photos of one panel on their way through the stages.
type several struct {
	flags  *photoFlags
	shots  []*shot
	tracks []*track
	bundle *calib.Bundle
}

// measureSeveral takes several photos of one panel through the stages. Each
// goes alone to its circles; then circles are matched across the photos, and
// all is solved together. Its errors are whole sentences.
func measureSeveral(photos []*vision.Photo, f *photoFlags, stage func(string)) (*found, error) {
	s := &several{flags: f}
	for i, p := range photos {
		stage(fmt.Sprintf("photo %d of %d: looking for the reference square", i+1, len(photos)))
		shot, err := f.shoot(p)
		if err != nil {
			return nil, fmt.Errorf("%s %w", p.File, err)
		}
		s.shots = append(s.shots, shot)
	}
	if err := s.commonSquareFirst(); err != nil {
		return nil, err
	}
	for i, shot := range s.shots {
		if err := shot.solvePose(f); err != nil {
			return nil, fmt.Errorf("%s %w", shot.photo.File, err)
		}
		stage(fmt.Sprintf("photo %d of %d: looking for holes and the grille", i+1, len(photos)))
		shot.findCircles(f)
	}
	stage("measuring all photos together")
	if err := s.match(); err != nil {
		return nil, err
	}
	if err := s.solve(); err != nil {
		return nil, err
	}
	got, err := s.survey()
	if err != nil {
		return nil, err
	}
	if f.trace.wanted {
		stage("tracing edges")
		f.trace.traceEdges(photos[0], got.survey, s.bundle.Solutions[0], f.units.Units)
	}
	return got, nil
}

// commonSquareFirst puts a square that all photos show first in each: it gives
// the panel's frame.
func (s *several) commonSquareFirst() error {
	for _, want := range s.shots[0].squares {
		at := make([]int, len(s.shots))
		all := true
		for i, shot := range s.shots {
			at[i] = slices.IndexFunc(shot.squares, func(q calib.SquareEdges) bool { return q.Number == want.Number })
			all = all && at[i] >= 0
		}
		if !all {
			continue
		}
		for i, shot := range s.shots {
			first := shot.squares[at[i]]
			shot.squares = slices.Insert(slices.Delete(shot.squares, at[i], at[i]+1), 0, first)
		}
		return nil
	}
	first := s.shots[0]
	for _, shot := range s.shots[1:] {
		if !slices.ContainsFunc(shot.squares, func(q calib.SquareEdges) bool {
			return slices.ContainsFunc(first.squares, func(o calib.SquareEdges) bool { return o.Number == q.Number })
		}) {
			return fmt.Errorf("%s shows reference square %d and %s square %d: all photos must show one and the same square, left where it lies", first.photo.File, first.squares[0].Number, shot.photo.File, shot.squares[0].Number)
		}
	}
	return errors.New("no reference square is in all the photos: all must show one and the same square, left where it lies")
}

// cameras are the photos', as well as they are known by now.
func (s *several) cameras() []calib.Camera {
	out := make([]calib.Camera, len(s.shots))
	for p, shot := range s.shots {
		out[p] = shot.solution.Camera
		if s.bundle != nil {
			out[p] = s.bundle.Solutions[p].Camera
		}
	}
	return out
}
