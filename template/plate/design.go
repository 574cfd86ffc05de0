package plate

import (
	"fmt"
	"math"

	"trimscribe/calib"
)

// Plate is a plate designed: its parts, about the tweeter's centre, and what
// is to be said of them.
type Plate struct {
	Settings Settings
	Subject  string   // the photo's name
	Doubts   []string // the survey's
	Centre   point    // the tweeter's, in the survey's frame

	Bore    float64 // diameter, mm
	Ring    float64 // outer diameter
	Screw   string
	ScrewD  float64 // its diameter; 0 is not known
	Hole    float64 // diameter of the screw holes
	EarHalf float64 // half an ear's width
	Fillet  float64 // radius

	Plate   *Part   // the plate itself
	Extras  []*Part // seat, spacers, foam ring: for one plate
	Strip   float64 // length of foam to wrap the tweeter's body; 0 is none
	Rules   []Rule
	Notes   []string // what the user is to know
	panel   *panel
	holes   []placedHole
	ring    []circle // the flange's screw holes
	spacers []spacer
}

// placedHole is a mounting hole of the plate, from the tweeter's centre: the
// circle's centre, or the two of a slot's ends.
type placedHole struct {
	hole
	a, b point // a is the nearer to the tweeter's centre
}

type spacer struct {
	ids       []string
	thickness float64
}

// Design designs a plate. Its errors are sentences for the user: what is
// wrong with the survey begins with a verb ("has no ..."); a part that cannot
// exist is a ClashError.
func Design(survey *calib.Survey, set Settings) (*Plate, error) {
	if err := set.check(); err != nil {
		return nil, err
	}
	p := &Plate{Settings: set}
	if err := p.screw(); err != nil {
		return nil, err
	}
	var err error
	if p.panel, err = readPanel(survey, &p.Settings); err != nil {
		return nil, err
	}
	p.Subject, p.Doubts, p.Centre = p.panel.subject, p.panel.doubts, p.panel.centre
	p.sizes()
	for _, step := range []func() error{p.clashes, p.makePlate, p.makeSeat, p.makeSpacers, p.makeFoam} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	p.mark()
	p.checkRules()
	p.note()
	return p, nil
}

// screw settles the screw and its hole.
func (p *Plate) screw() (err error) {
	s := &p.Settings
	p.Screw = s.Screw
	switch {
	case s.Screw == "" && s.ScrewHole > 0:
		p.Screw, p.ScrewD = screwFor(s.ScrewHole)
		p.Hole = s.ScrewHole
		return nil
	case s.Screw == "":
		p.Screw = usualScrew
	}
	p.ScrewD, p.Hole, err = clearanceHole(p.Screw, s.Fit)
	if err != nil {
		return err
	}
	if s.ScrewHole > 0 {
		p.Hole = s.ScrewHole
	}
	if p.Hole < p.ScrewD {
		return &ClashError{fmt.Sprintf("an %s screw is %s mm thick and does not pass a hole of %s mm", p.Screw, short(p.ScrewD), short(p.Hole)),
			fmt.Sprintf("--screw-hole %s, or a thinner --screw", short(p.ScrewD+0.3))}
	}
	return nil
}

const usualScrew = "M4"

// What Design chooses where the settings leave it open, mm.
const (
	usualWall   = 6.0 // the ring's width
	usualFillet = 3.0
	seatBack    = 0.5 // of the seat's outside from the ring's: glue and a small shift do not show
	seatWall    = 3.0 // least width of a seat's ring
	seatPlay    = 0.3 // of a flange in its seat, on the diameter
)

// sizes settles the sizes that follow from the settings.
func (p *Plate) sizes() {
	s := &p.Settings
	p.Bore = s.TweeterDiameter + s.Clearance
	edge := s.LeastEdge * p.Hole
	p.EarHalf = s.EarWidth / 2
	if p.EarHalf == 0 {
		p.EarHalf = math.Max(edge, p.Hole/2+s.LeastWall)
	}
	p.Fillet = s.Fillet
	if p.Fillet == 0 {
		p.Fillet = math.Max(usualFillet, s.Thickness)
	}
	r := p.Bore/2 + s.Wall
	if s.Wall == 0 {
		r = p.Bore/2 + math.Max(usualWall, s.LeastWall)
		if s.Hold == HoldScrews {
			d := s.RingHoles.Diameter
			r = math.Max(r, s.RingHoles.Circle/2+math.Max(s.LeastEdge*d, d/2+s.LeastWall))
		}
		if s.Seat.Diameter > 0 {
			r = math.Max(r, (s.Seat.Diameter+seatPlay)/2+seatWall+seatBack+s.RoundOver)
		}
	}
	p.Ring = 2 * math.Max(r, p.EarHalf)
	for _, h := range p.panel.holes {
		q := placedHole{hole: h, a: h.at, b: h.at}
		if n := h.at.Norm(); s.Slot > 0 && n > 0 {
			half := h.at.Mul(s.Slot / 2 / n)
			q.a, q.b = h.at.Sub(half), h.at.Add(half)
		}
		p.holes = append(p.holes, q)
	}
	if s.Hold == HoldScrews {
		for i := range s.RingHoles.Count {
			a := s.RingHoles.Angle*math.Pi/180 + 2*math.Pi*float64(i)/float64(s.RingHoles.Count)
			p.ring = append(p.ring, circle{id: fmt.Sprintf("ring hole %d", i+1), at: polar(point{}, s.RingHoles.Circle/2, a), r: s.RingHoles.Diameter / 2})
		}
	}
}

// Ears returns how many mounting holes the plate picks up.
func (p *Plate) Ears() int { return len(p.holes) }

// path returns a mounting hole's opening.
func (p *Plate) path(h placedHole) Path { return Slot(h.a, h.b, p.Hole/2) }

// makePlate makes the plate's outline and its openings, the bore first.
func (p *Plate) makePlate() error {
	s := &p.Settings
	var ears []Ear
	for _, h := range p.holes {
		ears = append(ears, Ear{h.b, p.EarHalf})
	}
	p.Plate = &Part{Name: "plate", Stock: Stock{Material: s.Material, Thickness: s.Thickness},
		Outline: Outline(point{}, p.Ring/2, ears, p.Fillet)}
	bore := Circle(point{}, p.Bore/2)
	if s.Hold == HoldLockTabs {
		root, tip := tabRadii(p.Bore/2, s.Tabs)
		var err error
		if bore, err = tabbedBore(p.Bore/2, s.Tabs, root, tip); err != nil {
			return err
		}
	}
	p.Plate.Openings = append(p.Plate.Openings, bore)
	for _, r := range p.ring {
		p.Plate.Openings = append(p.Plate.Openings, Circle(r.at, r.r))
	}
	for _, h := range p.holes {
		p.Plate.Openings = append(p.Plate.Openings, p.path(h))
	}
	return p.breakouts()
}

// breakouts finds openings that break through the outline, and checks the
// paths: a fault in them is ours, and no part must come of it.
func (p *Plate) breakouts() error {
	for _, h := range p.holes {
		if gap := p.Plate.Outline.distToLine(h.a, h.b) - p.Hole/2; gap < leastWeb {
			return &ClashError{fmt.Sprintf("hole %s breaks out of its ear: a hole of %.2f mm in an ear %.2f mm wide leaves %.2f mm at its edge", h.id, p.Hole, 2*p.EarHalf, gap),
				fmt.Sprintf("--ear-width %.1f", 2*(p.EarHalf-gap+leastWeb))}
		}
	}
	if err := p.roundOverClash(); err != nil {
		return err
	}
	if wall := p.Ring/2 - p.Bore/2; wall < leastWeb {
		return &ClashError{fmt.Sprintf("a bore of %.2f mm leaves nothing of a ring %.2f mm wide over all", p.Bore, p.Ring), fmt.Sprintf("--wall %.1f", leastWeb)}
	}
	if err := p.Plate.Check(); err != nil {
		return fmt.Errorf("these numbers give no sound outline (%w): change --fillet or --ear-width a little", err)
	}
	return nil
}

// short writes a number with as many decimals as it needs, two at the most.
func short(v float64) string {
	return fmt.Sprintf("%g", math.Round(v*100)/100+0)
}
