package plate

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"trimscribe/calib"
)

// The surveys here are made up, of invented panels.

// madeUp returns a survey with the tweeter's centre at a place and holes
// about it, their places from that centre.
func madeUp(centre point, grille float64, holes ...point) *calib.Survey {
	s := &calib.Survey{
		Format: calib.SurveyFormat, Version: calib.SurveyVersion,
		Photos:  []calib.SurveyPhoto{{File: "sail-panel.jpg", Width: 4032, Height: 3024}},
		Squares: []calib.SurveySquare{{Number: 1, Size: [2]float64{60, 60}}},
		Tweeter: &calib.TweeterCentre{X: centre.X, Y: centre.Y, U95: 0.05, From: "grille"},
		Doubts:  []string{},
	}
	for i, h := range holes {
		s.Features = append(s.Features, calib.Feature{ID: fmt.Sprintf("H%d", i+1), Number: i + 1, Kind: calib.KindHole,
			X: centre.X + h.X, Y: centre.Y + h.Y, Diameter: 4.2, U95: 0.06, DiameterU95: 0.08})
	}
	s.Features = append(s.Features, calib.Feature{ID: "G", Kind: calib.KindGrille, X: centre.X, Y: centre.Y, Diameter: grille, U95: 0.05, DiameterU95: 0.09})
	return s
}

// sailPanel has three holes, pillar two in line, dashPod four with bosses of
// unlike height.
func sailPanel() *calib.Survey {
	return madeUp(point{X: 56, Y: 68}, 44.2, point{X: -36.4, Y: 21.6}, point{X: 38.3, Y: 19.9}, point{X: 4.8, Y: -40.9})
}

func pillar() *calib.Survey {
	return madeUp(point{X: 56, Y: 8}, 50, point{X: -44.1, Y: 0}, point{X: 44.1, Y: 0})
}

func dashPod() *calib.Survey {
	s := madeUp(point{X: -20, Y: 68}, 60, point{X: -36, Y: 28}, point{X: 39, Y: 27}, point{X: 35, Y: -30}, point{X: -38, Y: -31})
	s.Features[0].Z, s.Features[1].Z, s.Features[2].Z, s.Features[3].Z = 6, 6, 3.5, 6
	return s
}

func settings(diameter float64) Settings {
	s := Defaults()
	s.TweeterDiameter = diameter
	return s
}

func mustDesign(t *testing.T, survey *calib.Survey, s Settings) *Plate {
	t.Helper()
	p, err := Design(survey, s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Whatever the layout and the numbers: a sound part or a sentence, no opening
// runs into another or through the outline, the cutter's lines are as sound, and
// so is the solid.
func TestDesignOfAnyLayout(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 11))
	made, refused := 0, 0
	for n := range 10000 {
		s := settings(15 + rnd.Float64()*60)
		s.Clearance = rnd.Float64()
		s.Hold = Holds[rnd.IntN(len(Holds))]
		s.Tabs = Tabs{Count: 1 + rnd.IntN(6), Width: 2 + rnd.Float64()*12, Depth: 0.5 + rnd.Float64()*4, Angle: rnd.Float64() * 360}
		s.RingHoles = RingHoles{Count: 1 + rnd.IntN(6), Circle: s.TweeterDiameter + rnd.Float64()*20, Diameter: 2 + rnd.Float64()*3, Angle: rnd.Float64() * 120}
		s.Screw = ScrewNames()[rnd.IntN(7)]
		if rnd.IntN(2) == 0 {
			s.Slot = rnd.Float64() * 3
		}
		if rnd.IntN(2) == 0 {
			s.Fillet = 0.5 + rnd.Float64()*10
		}
		if rnd.IntN(3) == 0 {
			s.EarWidth = 4 + rnd.Float64()*30
		}
		if rnd.IntN(3) == 0 {
			s.RoundOver = rnd.Float64() * 2
		}
		if rnd.IntN(3) == 0 {
			s.Tabs.Thickness = 1 + rnd.Float64()*2
		}
		holes := make([]point, 1+rnd.IntN(6))
		for i := range holes {
			holes[i] = polar(point{}, rnd.Float64()*2.5*s.TweeterDiameter, rnd.Float64()*2*math.Pi)
		}
		p, err := Design(madeUp(point{X: 10, Y: 20}, 44, holes...), s)
		if err != nil {
			refused++
			var clash *ClashError
			if !errors.As(err, &clash) && !strings.Contains(err.Error(), "lock tab") {
				t.Errorf("layout %d: %v", n, err)
			}
			continue
		}
		made++
		if made%20 == 0 {
			if _, err := p.Solids(); err != nil {
				t.Errorf("layout %d: %v", n, err)
			}
		}
		for _, part := range append(p.Extras, p.Plate) {
			if err := part.Check(); err != nil {
				t.Errorf("layout %d: %v", n, err)
			}
			if k, err := part.Kerfed(0.2); err != nil {
				t.Errorf("layout %d: %v", n, err)
			} else if err := k.Check(); err != nil {
				t.Errorf("layout %d with a kerf: %v", n, err)
			}
			for i, o := range part.Openings {
				for _, other := range append(part.Openings[i+1:len(part.Openings):len(part.Openings)], part.Outline) {
					if d := pathGap(o, other); d < leastWeb-0.01 {
						t.Errorf("layout %d: an opening of the %s is %.3f mm from another line", n, part.Name, d)
					}
				}
			}
		}
	}
	if made < 3000 || refused < 1000 {
		t.Errorf("%d made, %d refused: the layouts try too little", made, refused)
	}
	t.Logf("%d made, %d refused", made, refused)
}

// pathGap returns about how near two outlines come, from points a third of a
// millimetre apart.
func pathGap(p, q Path) float64 {
	d := math.Inf(1)
	for _, s := range p {
		n := 1 + int(s.Length()/0.3)
		for i := range n {
			d = math.Min(d, q.Dist(s.At(float64(i)/float64(n))))
		}
	}
	return d
}

// The two-ear plate again, as a part: the closed form of its outline, less
// circles for the bore and the holes.
func TestTwoEarPlate(t *testing.T) {
	s := settings(43.6)
	s.Thickness, s.Wall, s.Fillet, s.EarWidth, s.ScrewHole = 3, 6, 3, 18, 4.5
	p := mustDesign(t, pillar(), s)
	r, w, f, l := 43.9/2+6, 9.0, 3.0, 44.1
	a := math.Asin((w + f) / (r + f))
	b, x := math.Pi/2-a, (r+f)*math.Cos(a)
	area := 4*(r*r*b/2+(w+f)*x/2-f*f*b/2+w*(l-x)+math.Pi*w*w/4) - math.Pi*(21.95*21.95+2*2.25*2.25)
	length := 4*(r*b+f*b+l-x+math.Pi/2*w) + 2*math.Pi*(21.95+2*2.25)
	near(t, "area", p.Plate.Area(), area, 1e-6)
	near(t, "length of all cuts", p.Plate.CutLength(), length, 1e-6)
}

func TestClashesTellWhatMendsThem(t *testing.T) {
	for _, c := range []struct {
		name   string
		survey *calib.Survey
		change func(*Settings)
		words  []string
		mend   func(*Settings) // as the sentence says
	}{
		{"the bore eats a hole", sailPanel(), func(s *Settings) { s.TweeterDiameter = 80 },
			[]string{"the bore eats hole H3", "41.18 mm", "a tweeter of at most 71.5 mm"}, func(s *Settings) { s.TweeterDiameter = 71.5 }},
		{"a bore of one hole", madeUp(point{}, 44, point{X: 20}), func(s *Settings) {},
			[]string{"move the tweeter's centre 7.2 mm", "--tweeter-offset -7.2,0"}, func(s *Settings) { s.TweeterOffset[0] = -7.2 }},
		{"holes run into one another", madeUp(point{}, 44, point{X: 40}, point{X: 40, Y: 4.6}), func(s *Settings) {},
			[]string{"H1 and H2", "4.60 mm apart", "--screw-hole 4.1"}, func(s *Settings) { s.ScrewHole = 4.1 }},
		{"ring holes in the bore", pillar(), func(s *Settings) { s.Hold, s.RingHoles = HoldScrews, RingHoles{3, 46, 3.2, 90} },
			[]string{"bolt circle of 48.1 mm"}, func(s *Settings) { s.RingHoles.Circle = 48.1 }},
		{"ring hole on a mounting hole", pillar(), func(s *Settings) { s.Hold, s.RingHoles = HoldScrews, RingHoles{4, 84, 3.2, 0} },
			[]string{"--ring-angle 9"}, func(s *Settings) { s.RingHoles.Angle = 9 }},
		{"hole breaks out of its ear", pillar(), func(s *Settings) { s.EarWidth = 5 },
			[]string{"hole H1 breaks out", "--ear-width 5.5"}, func(s *Settings) { s.EarWidth = 5.5 }},
		{"seat without a ledge", pillar(), func(s *Settings) { s.Seat = Seat{43, 2} },
			[]string{"a seat of at least 45.9 mm"}, func(s *Settings) { s.Seat.Diameter = 45.9 }},
		{"foam over the dome", pillar(), func(s *Settings) { s.Foam, s.Dome = Foam{12, 3}, 25 },
			[]string{"--foam 9.3x3"}, func(s *Settings) { s.Foam.Width = 9.3 }},
		{"screw thicker than its hole", pillar(), func(s *Settings) { s.Screw, s.ScrewHole = "M5", 4.5 },
			[]string{"--screw-hole 5.3"}, func(s *Settings) { s.ScrewHole = 5.3 }},
	} {
		s := settings(43.6)
		c.change(&s)
		_, err := Design(c.survey, s)
		var clash *ClashError
		if !errors.As(err, &clash) {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		for _, w := range c.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q lacks %q", c.name, err, w)
			}
		}
		c.mend(&s)
		if _, err := Design(c.survey, s); err != nil {
			t.Errorf("%s: the change does not mend it: %v", c.name, err)
		}
	}
}

func TestRules(t *testing.T) {
	broken := func(survey *calib.Survey, change func(*Settings)) string {
		s := settings(43.6)
		change(&s)
		var all []string
		for _, r := range mustDesign(t, survey, s).Broken() {
			all = append(all, r.What+" | "+r.Numbers()+" | "+r.Source+" | "+r.Advice)
		}
		return strings.Join(all, "\n")
	}
	if all := broken(sailPanel(), func(*Settings) {}); all != "" {
		t.Errorf("a good plate breaks rules: %s", all)
	}
	loose := sailPanel()
	loose.Features[1].U95 = 0.6
	wide := sailPanel()
	wide.Candidates = []calib.Feature{{ID: "C4", Kind: calib.KindHole, X: 56, Y: 68 - 30, Diameter: 6}, {ID: "C5", Kind: calib.KindHole, X: 56, Y: 69, Diameter: 2}}
	// A rib from far left of the ring to under it, and one that keeps clear.
	ribbed := sailPanel()
	ribbed.Traces = []calib.Trace{
		{ID: "E1", Kind: "rib", Points: [][2]float64{{56 - 80, 68 - 5}, {56 - 24, 68 - 5}}},
		{ID: "E2", Kind: "rib", Points: [][2]float64{{56 - 80, 68 - 60}, {56 + 80, 68 - 60}}},
	}
	for name, c := range map[string]struct {
		survey *calib.Survey
		change func(*Settings)
		words  []string
	}{
		"traced":  {ribbed, func(*Settings) {}, []string{"what is around, least at E1", "proud at E1:"}},
		"wall":    {sailPanel(), func(s *Settings) { s.TweeterDiameter = 75 }, []string{"wall between bore and hole, least at H3", "1.28 mm, at least 3.00"}},
		"edge":    {sailPanel(), func(s *Settings) { s.EarWidth = 14 }, []string{"7.00 mm, at least 9.00", "2 hole diameters", "--ear-width 18"}},
		"fillet":  {sailPanel(), func(s *Settings) { s.Fillet, s.Thickness = 1, 4 }, []string{"1.00 mm, at least 2.00", "--fillet 2"}},
		"tab":     {sailPanel(), func(s *Settings) { s.Hold, s.Tabs.Width = HoldLockTabs, 4 }, []string{"width of a lock tab | 4.00 mm, at least 4.50"}},
		"channel": {sailPanel(), func(s *Settings) { s.Hold, s.Tabs.Channel = HoldLockTabs, 2.2 }, []string{"3.00 mm, at most 2.20", "--thickness 2.2"}},
		"U95":     {loose, func(*Settings) {}, []string{"0.25 mm, at least 0.60", "at H2", "--slot 1"}},
		"around":  {wide, func(*Settings) {}, []string{"what is around, least at C4 | -8.41 mm", "proud at C4"}},
		"dome":    {sailPanel(), func(s *Settings) { s.Dome, s.TweeterOffset[0] = 40, 3 }, []string{"23.05 mm, at most 22.10"}},
		"grille":  {sailPanel(), func(s *Settings) { s.TweeterDiameter = 32 }, []string{"ring's edge from the grille's | 0.05 mm"}},
	} {
		all := broken(c.survey, c.change)
		for _, w := range c.words {
			if !strings.Contains(all, w) {
				t.Errorf("%s: %q lacks %q", name, all, w)
			}
		}
	}
	// What --slot was advised for, it mends.
	if all := broken(loose, func(s *Settings) { s.Slot = 1 }); all != "" {
		t.Errorf("a slot does not mend U95: %s", all)
	}
}

func TestSpacersFoamAndSeat(t *testing.T) {
	s := settings(43.6)
	s.Foam, s.Dome, s.Seat = Foam{6, 3}, 25, Seat{52, 2}
	p := mustDesign(t, dashPod(), s)
	names := map[string]*Part{}
	for _, e := range p.Extras {
		names[e.Name] = e
	}
	if sp := names["spacer H3"]; sp == nil || len(p.Extras) != 3 {
		t.Fatalf("extras: %v", names)
	} else {
		near(t, "spacer", sp.Stock.Thickness, 2.5, 1e-9)
	}
	near(t, "foam's opening", 2*names["foam ring"].Openings[0][0].R, 40, 1e-9)
	near(t, "strip", p.Strip, math.Pi*46.6, 1e-9) // Pappus: the length of the strip's middle
}

// Values of ISO 273 (from memory).
func TestISO273(t *testing.T) {
	for _, c := range []struct {
		screw                string
		fine, medium, coarse float64
	}{{"M3", 3.2, 3.4, 3.6}, {"M3.5", 3.7, 3.9, 4.2}, {"M4", 4.3, 4.5, 4.8}, {"M5", 5.3, 5.5, 5.8}, {"M6", 6.4, 6.6, 7}} {
		for fit, want := range map[string]float64{Fine: c.fine, Medium: c.medium, Coarse: c.coarse} {
			_, hole, err := clearanceHole(c.screw, fit)
			if err != nil || hole != want {
				t.Errorf("%s %s: %g, %v; want %g", c.screw, fit, hole, err, want)
			}
		}
	}
}

// Points read off the curves for the stepped flat bar in bending in
// Peterson's Stress Concentration Factors (from memory, to 0.2); with no step
// the factor is 1.
func TestShoulderFactor(t *testing.T) {
	for _, c := range []struct{ rd, want float64 }{{0.05, 2.3}, {0.1, 1.9}, {0.3, 1.4}} {
		near(t, fmt.Sprintf("D/d 1.5, r/d %g", c.rd), shoulderFactor(1.5, 1, c.rd), c.want, 0.2)
	}
	if k := shoulderFactor(10, 10, 1); k != 1 {
		t.Errorf("no step: %g, want 1", k)
	}
	for rd, before := 0.02, math.Inf(1); rd < 1; rd += 0.01 {
		k := shoulderFactor(3, 2, rd*2)
		if k > before+1e-3 || k < 1 {
			t.Errorf("r/d %g: %g after %g", rd, k, before)
		}
		before = k
	}
}
