package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"trimscribe/calib"
	"trimscribe/vision"
)

// track is one circle of the panel, with its rim in each photo; nil where the
// photo does not show it.
type track struct {
	rims   []*vision.Rim // told by the photos' cameras as they are now
	circle calib.Circle
	z      float64
	given  *calib.Height
}

// match finds which circles of the photos are one, and refuses photos that
// have too few in common.
func (s *several) match() error {
	cams := s.cameras()
	spotted := make([][]calib.Spotted, len(s.shots))
	for p, shot := range s.shots {
		for _, r := range shot.rims {
			spotted[p] = append(spotted[p], calib.Spotted{Circle: r.Circle, Z: r.Z, Odds: r.Odds()})
		}
	}
	matches := calib.MatchCircles(cams, spotted)
	if err := s.agree(matches); err != nil {
		return err
	}
	for _, m := range matches {
		t := &track{circle: m.Circle, z: m.Z, rims: make([]*vision.Rim, len(s.shots))}
		for p, i := range m.In {
			if i >= 0 {
				r := s.shots[p].rims[i]
				t.rims[p] = &r
			}
		}
		s.tracks = append(s.tracks, t)
	}
	return nil
}

// sortTracks puts the likeliest first, drops what is no opening or the same as
// a likelier one, and keeps the best of each kind.
func (s *several) sortTracks() {
	slices.SortStableFunc(s.tracks, func(a, b *track) int { return cmp.Compare(b.quality(), a.quality()) })
	var kept []*track
	left := mostOf()
	for _, t := range s.tracks {
		kind := kindOf(t.circle)
		if t.quality() < leastOdds || left[kind] == 0 || slices.ContainsFunc(kept, func(o *track) bool { return o.covers(t) }) {
			continue
		}
		left[kind]--
		kept = append(kept, t)
	}
	s.tracks = kept
}

// traceMissing looks where the others say that a rim is, and tells whether it
// found any.
func (s *several) traceMissing() bool {
	cams := s.cameras()
	found := make([]int, len(s.tracks))
	for p, shot := range s.shots {
		vision.Parallel(len(s.tracks), func(k int) {
			t := s.tracks[k]
			if t.rims[p] == nil && t.quality() > 0 {
				if r, ok := vision.TraceAt(shot.photo, cams[p], t.circle, t.z); ok {
					t.rims[p] = &r
					found[k]++
				}
			}
		})
	}
	return slices.Max(append(found, 0)) > 0
}

// quality is the log odds of a track as an opening: the mean of its rims', a
// photo that ought to show it and does not counting against it.
func (t *track) quality() float64 {
	sum := 0.0
	for _, r := range t.rims {
		if r != nil {
			sum += r.Odds()
		} else {
			sum -= 1
		}
	}
	return sum / float64(len(t.rims))
}

// covers tells whether a track is about the same hole's mouth as another, or
// the same edge of a grille.
func (t *track) covers(o *track) bool {
	apart := t.circle.Centre.Dist(o.circle.Centre)
	if most := math.Max(t.circle.R, o.circle.R); 2*most <= vision.MaxHole {
		return apart < 0.5*most
	}
	return apart < 0.5 && math.Abs(t.circle.R-o.circle.R) < 0.4
}

// words says how a track looks, for a person.
func (t *track) words() string {
	seen := 0
	for _, r := range t.rims {
		if r != nil {
			seen++
		}
	}
	return fmt.Sprintf("in %d of %d photos; %s", seen, len(t.rims), t.best().Words())
}

// best is the plainest of its rims.
func (t *track) best() (best *vision.Rim) {
	for _, r := range t.rims {
		if r != nil && (best == nil || r.Odds() > best.Odds()) {
			best = r
		}
	}
	return best
}
