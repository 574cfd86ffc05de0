package main

import (
	"fmt"
	"math"
	"slices"

	"trimscribe/calib"
)

// In one photo the mouth of an opening is plain, and in another the far end of its wall: seen from
// aside, a wall as light as the face hides where it begins. Such rims pass for one
// circle at a height of which none of them is. What tells them apart is that they do not meet.

// dropOdd takes the rim that does not meet the others' out of each track where the others meet
// without it, and tells whether there was one. What is left without is looked for again.
func (s *several) dropOdd() bool {
	dropped := false
	for k, t := range s.tracks {
		if t.sightings() < 3 || s.worstMiss(k) < mostMiss {
			continue
		}
		best, least := -1, mostMiss
		for p := range t.rims {
			if t.rims[p] == nil {
				continue
			}
			if miss, err := s.missWithout(k, p); err == nil && miss < least {
				best, least = p, miss
			}
		}
		if best >= 0 {
			t.rims[best] = nil
			dropped = true
		}
	}
	return dropped
}

// missWithout is by how much the rims of a track do not meet without that of one photo, mm.
func (s *several) missWithout(k, photo int) (float64, error) {
	trial := *s
	trial.tracks = slices.Clone(s.tracks)
	t := *s.tracks[k]
	t.rims = slices.Clone(t.rims)
	t.rims[photo] = nil
	trial.tracks[k] = &t
	b, err := trial.solveBundle()
	if err != nil {
		return 0, err
	}
	return missOf(b, k), nil
}

// worstMiss is the most that a rim of a track lies off where the others have it, mm.
func (s *several) worstMiss(k int) float64 { return missOf(s.bundle, k) }

func missOf(b *calib.Bundle, k int) float64 {
	return math.Max(slices.Max(b.Misses[k]), slices.Max(b.Wider[k]))
}

func (t *track) sightings() (n int) {
	for _, r := range t.rims {
		if r != nil {
			n++
		}
	}
	return n
}

// oddDoubts says which of the features do not meet all the same.
func (s *several) oddDoubts(features []calib.Feature) (doubts []string) {
	for _, f := range features {
		if miss := s.worstMiss(f.Number - 1); miss > mostMiss {
			doubts = append(doubts, fmt.Sprintf("the photos show %s (circle %d) %.1f mm apart, so it is not one edge in all of them; look at it in each overlay picture, and leave the photo out that has another edge", f.ID, f.Number, miss))
		}
	}
	return doubts
}
