package main

import (
	"fmt"
	"math"

	"trimscribe/calib"
	"trimscribe/vision"
)

// Rounds of solving and fitting the rims anew end when no circle moves or
// rises by more than this, mm.
const (
	settled    = 0.003
	mostRounds = 3
)

// solve adjusts all, looks for rims that a photo seemed not to show where the
// others have them, and adjusts again.
func (s *several) solve() error {
	s.sortTracks()
	if err := s.adjust(); err != nil {
		return err
	}
	if s.dropOdd() {
		if err := s.adjust(); err != nil {
			return err
		}
	}
	if s.traceMissing() {
		if err := s.adjust(); err != nil {
			return err
		}
	}
	if odd, known := s.outliers(); len(odd) > 0 {
		return s.refusal(odd, known)
	}
	return nil
}

// settle fits the rims of the chosen circles anew, in the planes at their
// solved heights, and adjusts again, until none moves.
func (s *several) settle(choice calib.Choice) error {
	chosen := choice.Chosen()
	for range mostRounds {
		cams := s.cameras()
		for p, shot := range s.shots {
			vision.Parallel(len(chosen), func(i int) {
				t := s.tracks[chosen[i]]
				if r := t.rims[p]; r != nil {
					again := r.Retrace(shot.photo, cams[p], t.z)
					t.rims[p] = &again
				}
			})
		}
		before := s.bundle
		if err := s.adjust(); err != nil {
			return err
		}
		if s.farthest(chosen, before) < settled {
			break
		}
	}
	return nil
}

// solveBundle runs the bundle adjustment on the tracks as they are.
func (s *several) solveBundle() (*calib.Bundle, error) {
	cams := s.cameras()
	var views []calib.View
	edges := make([]vision.Edges, len(s.shots))
	for p, shot := range s.shots {
		edges[p] = vision.EdgesOf(cams[p], shot.spread, s.rimsIn(p))
		views = append(views, calib.View{Solution: shot.solution, Lens: lensName(shot.photo)})
	}
	var tracks []calib.Track
	for _, t := range s.tracks {
		c := calib.Track{Start: t.circle, Z: t.z, Known: t.given}
		for p, r := range t.rims {
			if r != nil {
				c.Sightings = append(c.Sightings, calib.Sighting{View: p, Traced: tracedOf(*r, cams[p], edges[p])})
			}
		}
		tracks = append(tracks, c)
	}
	return calib.SolveBundle(views, tracks)
}

// rimsIn is the rims of the tracks that one photo shows.
func (s *several) rimsIn(photo int) (out []vision.Rim) {
	for _, t := range s.tracks {
		if r := t.rims[photo]; r != nil {
			out = append(out, *r)
		}
	}
	return out
}

// adjust runs the bundle adjustment and takes what it finds.
func (s *several) adjust() error {
	cams := s.cameras()
	b, err := s.solveBundle()
	if err != nil {
		return fmt.Errorf("%s cannot be solved together: %w", list(s.names(s.all())), err)
	}
	for p := range s.shots {
		for _, t := range s.tracks {
			if r := t.rims[p]; r != nil {
				moved := r.Moved(cams[p], b.Solutions[p].Camera, r.Z)
				t.rims[p] = &moved
			}
		}
	}
	s.bundle = b
	for k, t := range s.tracks {
		t.circle, t.z = b.Circles[k], b.Heights[k].Z
	}
	return nil
}

// farthest is how far any of these circles has moved or risen, mm.
func (s *several) farthest(tracks []int, before *calib.Bundle) float64 {
	most := 0.0
	for _, k := range tracks {
		most = math.Max(most, s.bundle.Circles[k].Centre.Dist(before.Circles[k].Centre))
		most = math.Max(most, math.Abs(s.bundle.Heights[k].Z-before.Heights[k].Z))
	}
	return most
}

// lensName tells photos of one camera at one zoom; it is empty where the photo
// does not tell its camera.
func lensName(p *vision.Photo) string {
	if p.Make == "" && p.Model == "" {
		return ""
	}
	return fmt.Sprintf("%s/%s/%s/%dx%d/%.4g/%.4g", p.Make, p.Model, p.LensModel, max(p.Width, p.Height), min(p.Width, p.Height), p.FocalEquiv, p.FocalLength)
}
