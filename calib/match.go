package calib

import (
	"cmp"
	"math"
	"slices"
)

// Spotted is a circle found in one photo.
type Spotted struct {
	Circle         // in the plane at height Z of its own photo's camera, mm
	Z      float64 // mm
	Odds   float64 // log odds that it is an opening
}

// Match is one circle of the panel in several photos.
type Match struct {
	In     []int // of each photo: the index of what is spotted there, or -1
	Circle       // about where it lies, in the plane at height Z
	Z      float64
	Count  int // photos that show it
}

// How far two sightings of one circle may disagree, mm. Poses that are each
// solved alone differ by more, the farther a circle lies from the square.
const (
	matchPlace  = 0.5   // how far apart the lines of sight may pass
	matchReach  = 0.006 // and more for each mm from the square
	matchRadius = 0.12  // by how much the radii may differ
	matchGrowth = 0.03  // and more, as a share of the radius
	matchHeight = 60.0  // how far above or below the square's face
)

// MatchCircles finds which circles of several photos are one and the same. At
// an unknown height a circle lies somewhere on the line from where it is seen
// on the face to the camera: two photos settle the height, and a third must
// agree. Those that most photos agree on are taken first.
func MatchCircles(cams []Camera, spotted [][]Spotted) []Match {
	sights := make([][]sight, len(cams))
	for p := range cams {
		for _, s := range spotted[p] {
			sights[p] = append(sights[p], sight{s, cams[p]})
		}
	}
	var tries []matchTry
	for p := range cams {
		for q := p + 1; q < len(cams); q++ {
			for i, a := range sights[p] {
				for j, b := range sights[q] {
					if z, ok := meet(a, b); ok {
						tries = append(tries, gather(sights, [2]inPhoto{{p, i}, {q, j}}, z))
					}
				}
			}
		}
	}
	slices.SortStableFunc(tries, func(a, b matchTry) int {
		if a.Count != b.Count {
			return b.Count - a.Count
		}
		return cmp.Compare(a.cost, b.cost)
	})
	taken := make([]map[int]bool, len(cams))
	for p := range taken {
		taken[p] = map[int]bool{}
	}
	var out []Match
	for _, t := range tries {
		free := true
		for p, i := range t.In {
			free = free && !taken[p][i]
		}
		if !free {
			continue
		}
		for p, i := range t.In {
			if i >= 0 {
				taken[p][i] = true
			}
		}
		out = append(out, t.Match)
	}
	return out
}

type matchTry struct {
	Match
	cost float64
}

// inPhoto is one of the circles spotted in a photo.
type inPhoto struct{ photo, index int }

// A sight is a circle spotted by a camera: at an unknown height it may be any of
// those along the lines of sight.
type sight struct {
	Spotted
	cam Camera
}

func (s sight) circle(z float64) Circle { return s.cam.Carry(s.Circle, s.Z, z) }

// slope is how the circle's centre moves with its height, mm per mm.
func (s sight) slope() Point {
	shift := s.cam.Shift(s.Circle, s.Z)
	return Point{shift.X, shift.Y}
}

// meet is the height at which two sights pass each other nearest, and whether
// they may be of one circle there. Where the photos were taken from one place
// the height hangs on nothing, and stays near the face's.
func meet(a, b sight) (z float64, ok bool) {
	apart, slope := a.circle(0).Centre.Sub(b.circle(0).Centre), a.slope().Sub(b.slope())
	const noise = 0.1 // mm
	weak := noise / unknownHeight.U
	z = -apart.Dot(slope) / (slope.Dot(slope) + weak*weak)
	return z, math.Abs(z) <= matchHeight && misfit(a.circle(z), b.circle(z)) <= 1
}

// misfit is how far two circles are from being one, 1 at what is allowed.
func misfit(a, b Circle) float64 {
	place := a.Centre.Dist(b.Centre) / (matchPlace + matchReach*a.Centre.Norm())
	radius := math.Abs(a.R-b.R) / (matchRadius + matchGrowth*a.R)
	return math.Max(place, radius)
}

// gather adds to a pair what the other photos show at its place.
func gather(sights [][]sight, pair [2]inPhoto, z float64) matchTry {
	t := matchTry{Match: Match{In: make([]int, len(sights)), Z: z}}
	for p := range t.In {
		t.In[p] = -1
	}
	odds := 0.0
	add := func(p, i int) {
		c := sights[p][i].circle(z)
		n := float64(t.Count)
		t.Centre = t.Centre.Mul(n).Add(c.Centre).Mul(1 / (n + 1))
		t.R = (t.R*n + c.R) / (n + 1)
		t.In[p] = i
		t.Count++
		odds += sights[p][i].Odds
	}
	for _, s := range pair {
		add(s.photo, s.index)
	}
	first := t.Circle
	for p := range sights {
		if t.In[p] >= 0 {
			t.cost += misfit(sights[p][t.In[p]].circle(z), first)
			continue
		}
		best, least := -1, 1.0
		for i, s := range sights[p] {
			if m := misfit(s.circle(z), first); m < least {
				best, least = i, m
			}
		}
		if best >= 0 {
			add(p, best)
			t.cost += least
		}
	}
	// Of alike matches the one nearer the face, and of plainer openings.
	t.cost = t.cost/float64(t.Count) + math.Abs(z)/matchHeight - 0.1*odds/float64(t.Count)
	return t
}
