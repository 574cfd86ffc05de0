package calib

import (
	"math"
	"strings"
	"testing"
)

// surveyed is an invented panel: three holes about a grille, 90 mm beside the
// square, each distance good to 0.06 mm.
func surveyed() *Survey {
	s := &Survey{
		Squares: []SurveySquare{{Number: 1, Size: [2]float64{60, 60}}},
		Features: []Feature{
			{ID: "H1", Kind: KindHole, X: 130, Y: 20, Diameter: 4.2},
			{ID: "H2", Kind: KindHole, X: 60, Y: 40, Diameter: 4.2},
			{ID: "H3", Kind: KindHole, X: 75, Y: -40, Diameter: 4.2},
			{ID: "G", Kind: KindGrille, X: 90, Y: 5, Diameter: 44},
		},
		Tweeter: &TweeterCentre{X: 90, Y: 1.5},
	}
	for i, a := range s.Features {
		for _, b := range append(s.Features[i+1:], Feature{ID: "T", X: 90, Y: 1.5}) {
			s.Distances = append(s.Distances, DistanceEntry{From: a.ID, To: b.ID, MM: math.Hypot(a.X-b.X, a.Y-b.Y), U95: 0.06})
		}
	}
	return s
}

// eye is where the camera stood.
var eye = Vec3{40, 0, 400}

// measuredBy is what callipers would say if the truth were the survey moved.
func measuredBy(s *Survey, truth func(id string, p Point) Point, ends ...string) []Measurement {
	var out []Measurement
	for _, e := range ends {
		from, to, _ := strings.Cut(e, "-")
		a, _ := s.place(from)
		b, _ := s.place(to)
		out = append(out, Measurement{From: from, To: to, MM: truth(from, a).Dist(truth(to, b))})
	}
	return out
}

// ISO/IEC 17043, B.4: En is the difference over the root of the expanded
// uncertainties' squares, and 1 is the limit.
func TestCheckGoesByTheNormalisedError(t *testing.T) {
	for _, c := range []struct {
		off, u95 float64
		en       float64
		agrees   bool
	}{{0, 0, 0, true}, {0.11, 0, 0.943, true}, {0.13, 0, 1.115, false}, {-0.13, 0, 1.115, false}, {0.05, 0.02, 0.791, true}, {0.07, 0.02, 1.107, false}} {
		s := surveyed()
		d, _ := s.distance("H1", "H2")
		s.Check([]Measurement{{"H2", "H1", d.MM + c.off, c.u95}}, Known{})
		if got := s.Checks[0]; math.Abs(got.En-c.en) > 0.001 || got.Agrees != c.agrees || (len(s.Doubts) > 0) == c.agrees {
			t.Errorf("%+v: %+v, doubts %q", c, got, s.Doubts)
		}
	}
}

// Each thing that goes wrong is made by geometry, and told by its name and its
// amount.
func TestCheckNamesTheCause(t *testing.T) {
	same := func(k float64) func(string, Point) Point {
		return func(_ string, p Point) Point { return p.Mul(k) }
	}
	// A face at height h is seen in the plane below it H/(H-h) times as far from
	// the camera's foot (pinhole geometry).
	high := func(h float64, who string) func(string, Point) Point {
		return func(id string, p Point) Point {
			if !strings.HasPrefix(id, who) {
				return p
			}
			foot := Point{eye.X, eye.Y}
			return foot.Add(p.Sub(foot).Mul((eye.Z - h) / eye.Z))
		}
	}
	all := []string{"H1-H2", "H2-H3", "H1-G", "H3-T"}
	for name, c := range map[string]struct {
		truth func(string, Point) Point
		ends  []string
		known Known
		want  []string
		not   []string
	}{
		"size":              {same(1.009), all, Known{Eye: &eye}, []string{"Likely cause: the square's size; one of 60.5", "printers"}, []string{"height"}},
		"size measured":     {same(1.004), all, Known{Eye: &eye, SquareSize: true}, []string{"Likely cause: the square's size; one of 60.2", "measure the square again"}, nil},
		"printer":           {func(_ string, p Point) Point { return Point{p.X * 1.007, p.Y * 0.997} }, all, Known{Eye: &eye}, []string{"Likely cause: the printer", "60.42 mm across and 59.82 up"}, nil},
		"holes' height":     {high(8, "H"), all, Known{Eye: &eye}, []string{"Likely cause: the height of the faces", "8.0 mm", "--hole-height"}, []string{"; or"}},
		"grille's height":   {high(-6, "G"), []string{"H1-G", "H2-G", "H3-G", "H1-H2"}, Known{Eye: &eye}, []string{"Likely cause: the height of the grille's edge", "-6.0 mm"}, nil},
		"height given":      {high(8, "H"), all, Known{Eye: &eye, HoleHeight: true}, []string{"No one cause", "hardly plausible"}, []string{"Likely cause"}},
		"inner edges":       {same(1), []string{"H1-H2"}, Known{Eye: &eye}, []string{"inner edges"}, nil},
		"one check":         {same(1.008), []string{"H1-H2"}, Known{Eye: &eye}, []string{"; or ", "another direction"}, nil},
		"one hole astray":   {func(id string, p Point) Point { return p.Add(Point{map[string]float64{"H3": 2}[id], 0}) }, []string{"H1-H2", "H1-H3", "H2-G", "H3-G"}, Known{Eye: &eye}, []string{"H3 is in each check that disagrees"}, []string{"Likely cause"}},
		"no eye, no height": {high(8, "H"), all, Known{}, nil, []string{"height"}},
	} {
		s := surveyed()
		m := measuredBy(s, c.truth, c.ends...)
		if name == "inner edges" {
			m[0].MM -= 4.2
		}
		s.Check(m, c.known)
		if len(s.Doubts) != 1 {
			t.Errorf("%s: doubts %q", name, s.Doubts)
			continue
		}
		for _, w := range c.want {
			if !strings.Contains(s.Doubts[0], w) {
				t.Errorf("%s: %q does not say %q", name, s.Doubts[0], w)
			}
		}
		for _, w := range c.not {
			if strings.Contains(s.Doubts[0], w) {
				t.Errorf("%s: %q says %q", name, s.Doubts[0], w)
			}
		}
	}
}

// A check of what is not there is no agreement.
func TestCheckOfWhatIsMissing(t *testing.T) {
	s := surveyed()
	s.Check([]Measurement{{"H1", "H9", 40, 0}}, Known{})
	if len(s.Checks) != 0 || len(s.Doubts) != 1 || !strings.Contains(s.Doubts[0], "H9") {
		t.Errorf("%+v, %q", s.Checks, s.Doubts)
	}
}
