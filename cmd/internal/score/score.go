// Package score weighs a survey against the truth of a test photo.
package score

import (
	"encoding/json"
	"fmt"
	"math"
	"os"

	"trimscribe/calib"
)

// Truth is a test photo's truth file, as far as it is weighed. Lengths are in
// mm, in the panel's frame (see calib's package comment).
type Truth struct {
	Args   []string // what a user would add to the command
	Status int      // expected exit status
	Holes  []Circle // the mounting holes
	Grille *Circle  // nil when there is none
}

// Circle is a circle on the panel.
type Circle struct {
	X        float64 `json:"x_mm"`
	Y        float64 `json:"y_mm"`
	Diameter float64 `json:"diameter_mm"`
}

func (c Circle) at() calib.Point { return calib.Point{X: c.X, Y: c.Y} }

// ReadTruth reads a truth file.
func ReadTruth(path string) (Truth, error) {
	var t Truth
	b, err := os.ReadFile(path)
	if err != nil {
		return t, err
	}
	if err := json.Unmarshal(b, &t); err != nil {
		return t, fmt.Errorf("%s is not a truth file: %w", path, err)
	}
	return t, nil
}

// Expected is how many features are to be chosen.
func (t Truth) Expected() int {
	n := len(t.Holes)
	if t.Grille != nil {
		n++
	}
	return n
}

// Score is how a survey stands against a truth. Errors are the worst, mm.
type Score struct {
	Expected, Found, Missed, Invented int

	Centre   float64 // of a centre's place
	Diameter float64
	Distance float64 // of a centre-to-centre distance, over all pairs of features found
	U95      float64 // that the survey gives for that distance
	Ratio    float64 // the greatest |error| / U95 over all distances
	Ratios   []float64
}

// near is how far from its true place a feature still counts as found, mm.
const near = 1.5

// Weigh compares a survey's features with the truth. Each true feature is
// matched with the nearest chosen one of its kind within 1.5 mm.
func Weigh(t Truth, s *calib.Survey) Score {
	sc := Score{Expected: t.Expected()}
	var pairs []pair
	used := map[string]bool{}
	match := func(c Circle, kind string) {
		if f, ok := nearest(s, c, kind, used); ok {
			used[f.ID] = true
			pairs = append(pairs, pair{c, f})
		}
	}
	for _, h := range t.Holes {
		match(h, calib.KindHole)
	}
	if t.Grille != nil {
		match(*t.Grille, calib.KindGrille)
	}
	sc.Found = len(pairs)
	sc.Missed = sc.Expected - sc.Found
	sc.Invented = len(s.Features) - sc.Found
	for i, p := range pairs {
		sc.Centre = math.Max(sc.Centre, p.seen().Dist(p.true.at()))
		sc.Diameter = math.Max(sc.Diameter, math.Abs(p.feature.Diameter-p.true.Diameter))
		for _, q := range pairs[i+1:] {
			sc.addDistance(s, p, q)
		}
	}
	return sc
}

// pair is a true circle and the feature that was found for it.
type pair struct {
	true    Circle
	feature calib.Feature
}

func (p pair) seen() calib.Point { return calib.Point{X: p.feature.X, Y: p.feature.Y} }

func nearest(s *calib.Survey, c Circle, kind string, used map[string]bool) (best calib.Feature, ok bool) {
	least := near
	for _, f := range s.Features {
		d := c.at().Dist(calib.Point{X: f.X, Y: f.Y})
		if f.Kind == kind && !used[f.ID] && d <= least {
			best, least, ok = f, d, true
		}
	}
	return best, ok
}

func (sc *Score) addDistance(s *calib.Survey, p, q pair) {
	e := math.Abs(p.seen().Dist(q.seen()) - p.true.at().Dist(q.true.at()))
	u := u95(s, p.feature.ID, q.feature.ID)
	if e >= sc.Distance {
		sc.Distance, sc.U95 = e, u
	}
	if u > 0 {
		sc.Ratios = append(sc.Ratios, e/u)
		sc.Ratio = math.Max(sc.Ratio, e/u)
	}
}

// u95 is what the survey gives for a distance; 0 when it does not list it.
func u95(s *calib.Survey, a, b string) float64 {
	for _, d := range s.Distances {
		if d.From == a && d.To == b || d.From == b && d.To == a {
			return d.U95
		}
	}
	return 0
}
