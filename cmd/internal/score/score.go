package score

import (
	"math"

	"trimscribe/calib"
)

// Score is how a survey stands against a truth.
type Score struct {
	Expected, Found, Missed, Invented int

	Centres   []Error // of the found features' places
	Distances []Error // centre to centre, over all pairs of found features
	Diameters []Error // of the found features that are round
	Height    float64 // the worst error of a height that was solved, mm
	Solved    int     // how many heights were solved

	// Untold is how many features were measured in another plane than their
	// own, as nobody told their height. What they are off by is the height's.
	Untold int
}

// Error is how far a measured length is from the true one, and what the survey
// gives for it; mm.
type Error struct {
	MM  float64
	U95 float64 // 0 when the survey gives none
}

// Ratio is the error as a share of its U95, 0 when there is none.
func (e Error) Ratio() float64 {
	if e.U95 == 0 {
		return 0
	}
	return e.MM / e.U95
}

// Worst is the greatest error of a list.
func Worst(list []Error) (worst Error) {
	for _, e := range list {
		if e.MM >= worst.MM {
			worst = e
		}
	}
	return worst
}

// WorstRatio is the greatest error/U95 of the lists.
func WorstRatio(lists ...[]Error) (worst float64) {
	for _, list := range lists {
		for _, e := range list {
			worst = max(worst, e.Ratio())
		}
	}
	return worst
}

const (
	near       = 1.5 // how far from its true place a feature still counts as found, mm
	lean       = 0.5 // and farther by this share of a height nobody told: a line of sight leans by less than 27 degrees
	samePlane  = 0.3 // how far from its true plane one is still measured in it, mm
	heightSeen = "solved"
)

// Weigh compares a survey's features with the truth. Each true feature is
// matched with the nearest chosen one of its kind within 1.5 mm, or farther by
// what a height that nobody told moves it.
func Weigh(t Truth, s *calib.Survey) Score {
	sc := Score{Expected: t.Expected()}
	var pairs []pair
	used := map[string]bool{}
	match := func(c Circle, kind string) {
		if f, ok := nearest(s, c, kind, used); ok {
			used[f.ID] = true
			pairs = append(pairs, pair{c, f})
		} else if c.Hidden {
			sc.Expected--
		}
	}
	for _, h := range t.Holes {
		match(h, calib.KindHole)
	}
	if t.Grille != nil {
		match(*t.Grille, calib.KindGrille)
	}
	if t.Tweeter != nil {
		match(*t.Tweeter, calib.KindTweeter)
	}
	sc.Found = len(pairs)
	sc.Missed = sc.Expected - sc.Found
	sc.Invented = len(s.Features) - sc.Found
	for i, p := range pairs {
		sc.Centres = append(sc.Centres, Error{p.seen().Dist(p.true.at()), p.feature.U95})
		if p.true.Shape == "" {
			sc.Diameters = append(sc.Diameters, Error{p.diameterError(), p.feature.DiameterU95})
		}
		if p.feature.HeightSource == heightSeen {
			sc.Solved++
			sc.Height = max(sc.Height, math.Abs(p.feature.Z-p.true.Z))
		} else if math.Abs(p.feature.Z-p.true.Z) > samePlane {
			sc.Untold++
		}
		for _, q := range pairs[i+1:] {
			e := math.Abs(p.seen().Dist(q.seen()) - p.true.at().Dist(q.true.at()))
			sc.Distances = append(sc.Distances, Error{e, u95(s, p.feature.ID, q.feature.ID)})
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

// diameterError is how far the diameter is from that of the mouth on the face.
// A rounded mouth has no edge: any circle between the wall's and where the
// face begins is right.
func (p pair) diameterError() float64 {
	least, most := p.true.Diameter, p.true.Diameter+2*p.true.Fillet
	if p.true.Mouth > 0 {
		least, most = p.true.Mouth, p.true.Mouth
	}
	return max(0, least-p.feature.Diameter, p.feature.Diameter-most)
}

func nearest(s *calib.Survey, c Circle, kind string, used map[string]bool) (best calib.Feature, ok bool) {
	least := near
	for _, f := range s.Features {
		d := c.at().Dist(calib.Point{X: f.X, Y: f.Y}) - lean*math.Abs(c.Z-f.Z)
		if f.Kind == kind && !used[f.ID] && d <= least {
			best, least, ok = f, d, true
		}
	}
	return best, ok
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
