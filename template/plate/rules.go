package plate

import (
	"fmt"
	"math"
	"strings"
)

// Rule is one check of the design: a number, its limit, and where the limit
// comes from.
type Rule struct {
	What   string  `json:"what"`
	Got    float64 `json:"got"`
	Limit  float64 `json:"limit"`
	AtMost bool    `json:"at_most"` // the limit is a maximum, not a minimum
	Unit   string  `json:"unit"`    // "mm", or "" for a ratio
	Source string  `json:"source"`
	Advice string  `json:"advice,omitempty"` // when broken: what to change
	Remark string  `json:"remark,omitempty"` // what else the number tells
}

// OK tells whether the rule is kept.
func (r Rule) OK() bool {
	if r.AtMost {
		return r.Got <= r.Limit+1e-6
	}
	return r.Got >= r.Limit-1e-6
}

// Numbers tells the number and its limit: "3.20 mm, at least 3.00".
func (r Rule) Numbers() string {
	side := "at least"
	if r.AtMost {
		side = "at most"
	}
	unit := ""
	if r.Unit != "" {
		unit = " " + r.Unit
	}
	return fmt.Sprintf("%.2f%s, %s %.2f", r.Got, unit, side, r.Limit)
}

// Broken returns the rules that are not kept.
func (p *Plate) Broken() []Rule {
	var broken []Rule
	for _, r := range p.Rules {
		if !r.OK() {
			broken = append(broken, r)
		}
	}
	return broken
}

// rule adds a rule; the advice is kept only when it is broken.
func (p *Plate) rule(r Rule, advice string, a ...any) {
	if !r.OK() {
		r.Advice = fmt.Sprintf(advice, a...)
	}
	p.Rules = append(p.Rules, r)
}

const commonPractice = "common practice"

// practice names the source of a limit that the material's preset sets.
func (p *Plate) practice() string {
	if p.Settings.Material == "" {
		return commonPractice
	}
	return commonPractice + ", " + p.Settings.Material
}

func (p *Plate) checkRules() {
	p.wallRules()
	p.edgeRules()
	p.filletRule()
	p.tabRules()
	p.grilleRules()
	p.aroundRule()
	p.boltRule()
	p.foamRule()
	p.roundRule()
}

// least is the least of several values, and whose it is.
type least struct {
	v  float64
	at string
}

func (l *least) take(v float64, at string) {
	if l.at == "" || v < l.v {
		l.v, l.at = v, at
	}
}

func (p *Plate) wallRules() {
	limit := p.Settings.LeastWall
	var bore, holes least
	for i, h := range p.holes {
		bore.take(p.boreGap(h), h.id)
		for _, g := range p.holes[i+1:] {
			holes.take(p.holeGap(h, g), h.id+" and "+g.id)
		}
		for _, r := range p.ring {
			holes.take(p.ringGap(h, r), h.id+" and "+r.id)
		}
	}
	p.rule(Rule{What: "wall between bore and hole, least at " + bore.at, Got: bore.v, Limit: limit, Unit: "mm", Source: p.practice()},
		"use a smaller screw hole, or move the tweeter's centre %.1f mm away from %s with --tweeter-offset", limit-bore.v, bore.at)
	if len(p.ring) > 0 {
		gap := p.Settings.RingHoles.Circle/2 - p.Settings.RingHoles.Diameter/2 - p.Bore/2
		p.rule(Rule{What: "wall between bore and ring holes", Got: gap, Limit: limit, Unit: "mm", Source: p.practice()},
			"the tweeter's flange sets the bolt circle; make the bore tighter, or choose a tougher material than this limit is for")
	}
	if holes.at != "" {
		p.rule(Rule{What: "wall between holes, least at " + holes.at, Got: holes.v, Limit: limit, Unit: "mm", Source: p.practice()},
			"use a smaller screw hole, leave a hole out with --use-holes, or turn the ring holes with --ring-angle")
	}
	wall := p.Ring/2 - p.Bore/2
	p.rule(Rule{What: "width of the ring", Got: wall, Limit: limit, Unit: "mm", Source: p.practice()}, "--wall %s", short(limit))
}

func (p *Plate) edgeRules() {
	s := &p.Settings
	var edge least
	for _, h := range p.holes {
		edge.take(p.Plate.Outline.distToLine(h.a, h.b), h.id)
	}
	p.rule(Rule{What: "hole's centre to the edge, least at " + edge.at, Got: edge.v, Limit: s.LeastEdge * p.Hole, Unit: "mm",
		Source: fmt.Sprintf("%s: %s hole diameters", p.practice(), short(s.LeastEdge))},
		"--ear-width %s", short(math.Ceil(20*s.LeastEdge*p.Hole)/10))
	if len(p.ring) == 0 {
		return
	}
	limit := s.LeastEdge * s.RingHoles.Diameter
	edge = least{}
	for _, r := range p.ring {
		edge.take(p.Plate.Outline.Dist(r.at), r.id)
	}
	p.rule(Rule{What: "ring hole's centre to the edge", Got: edge.v, Limit: limit, Unit: "mm",
		Source: fmt.Sprintf("%s: %s hole diameters", p.practice(), short(s.LeastEdge))},
		"--wall %s", short(math.Ceil(10*(p.Ring/2-p.Bore/2+limit-edge.v))/10))
}

func (p *Plate) filletRule() {
	s := &p.Settings
	factor, sharp := p.stress()
	r := Rule{What: "fillet radius against thickness", Got: p.Fillet, Limit: s.LeastFillet * s.Thickness, Unit: "mm",
		Source: fmt.Sprintf("%s: %s thicknesses", p.practice(), short(s.LeastFillet)),
		Remark: fmt.Sprintf("It raises the stress where ear meets ring %.2f times; a sharp corner more than %.1f times (Peterson, stepped flat bar in bending).", factor, sharp)}
	if p.filletless() {
		r.Remark = "No ear stands out of the ring far enough to need it."
	}
	p.rule(r, "--fillet %s", short(r.Limit))
}

// filletless tells whether the outline has no inside corner.
func (p *Plate) filletless() bool {
	for _, s := range p.Plate.Outline {
		if s.Sweep < 0 {
			return false
		}
	}
	return true
}

// stress returns the stress-concentration factor of the fillets, and that of
// a corner left sharp, at the least.
func (p *Plate) stress() (fillet, sharp float64) {
	narrow := 2 * p.EarHalf
	step := (p.Ring - narrow) / 2
	return shoulderFactor(p.Ring, narrow, p.Fillet), shoulderFactor(p.Ring, narrow, step/sharpCorner)
}

func (p *Plate) tabRules() {
	s := &p.Settings
	if s.Hold != HoldLockTabs {
		return
	}
	t := s.Tabs
	p.rule(Rule{What: "width of a lock tab", Got: t.Width, Limit: math.Max(2*t.Depth, 1.5*s.Thickness), Unit: "mm",
		Source: commonPractice + ": twice its depth and 1.5 thicknesses"}, "make the tabs at least %s mm wide", short(math.Max(2*t.Depth, 1.5*s.Thickness)))
	p.rule(Rule{What: "depth of a lock tab", Got: t.Depth, Limit: s.Clearance + 0.7, Unit: "mm",
		Source: commonPractice + ": clearance and 0.7 mm of hold"}, "make the tabs %s mm deep", short(s.Clearance+0.7))
	if t.Channel > 0 {
		thick := s.Thickness
		if t.Thickness > 0 {
			thick = t.Thickness
		}
		p.rule(Rule{What: "thickness in the tweeter's channel", Got: thick, Limit: t.Channel, AtMost: true, Unit: "mm", Source: "the channel's height as measured"},
			"use a sheet of at most %s mm, --thickness %s; printed, --tab-thickness %s does", short(t.Channel), short(t.Channel), short(t.Channel))
	}
}

func (p *Plate) grilleRules() {
	g := p.panel.grille
	if g == nil {
		return
	}
	off := g.at.Norm()
	if d := p.Settings.Dome; d > 0 {
		need := d/2 + off + p.panel.u95
		p.rule(Rule{What: "dome within the grille", Got: need, Limit: g.r, AtMost: true, Unit: "mm", Source: "the grille's radius in the survey",
			Remark: fmt.Sprintf("The dome's radius, %.2f mm off the grille's centre, and U95.", off)},
			"the panel would cover the dome: bring the tweeter's centre nearer to the grille's")
	}
	away := math.Abs(p.Ring/2 - g.r - off)
	if in := math.Abs(p.Ring/2 - g.r + off); in < away {
		away = in
	}
	if (p.Ring/2-off-g.r)*(p.Ring/2+off-g.r) < 0 {
		away = 0 // they cross
	}
	p.rule(Rule{What: "ring's edge from the grille's", Got: away, Limit: 1.5, Unit: "mm", Source: commonPractice + ": a grille has a rim or a collar",
		Remark: fmt.Sprintf("The ring is %.2f mm wide, the grille %.2f mm.", p.Ring, 2*g.r)},
		"look for a collar there; let the ring rest outside it, --wall %s, or stay inside it", short(math.Ceil(10*(g.r+off+2-p.Bore/2))/10))
}

// aroundRule looks for circles of the survey, not chosen, and traced edges, that the plate would
// lie on: a boss, a stray post, a collar may be in the way.
func (p *Plate) aroundRule() {
	var worst least
	var hit []string
	for _, c := range p.panel.around {
		if c.at.Norm()+c.r <= p.Bore/2 || p.sameAsChosen(c) {
			continue
		}
		gap := p.offMaterial(c)
		worst.take(gap, c.id)
		if gap < aroundGap {
			hit = append(hit, c.id)
		}
	}
	for _, t := range p.panel.traces {
		gap := math.Inf(1)
		for _, q := range t.at {
			gap = math.Min(gap, p.off(q))
		}
		worst.take(gap, t.id)
		if gap < aroundGap {
			hit = append(hit, t.id)
		}
	}
	if worst.at == "" {
		return
	}
	if len(hit) > 6 {
		hit = append(hit[:6], "others")
	}
	p.rule(Rule{What: "plate clear of what is around, least at " + worst.at, Got: worst.v, Limit: aroundGap, Unit: "mm", Source: commonPractice},
		"look whether something stands proud at %s: if so, relieve the plate there or use spacers", strings.Join(hit, ", "))
}

// offMaterial returns how far a circle's rim keeps off the plate's material;
// negative, how deep it runs into it.
func (p *Plate) offMaterial(c circle) float64 {
	const points = 48
	off := math.Inf(1)
	for i := range points {
		off = math.Min(off, p.off(polar(c.at, c.r, 2*math.Pi*float64(i)/points)))
	}
	return off
}

// off returns how far a point keeps off the plate's material; negative, how
// deep it lies in it.
func (p *Plate) off(q point) float64 {
	edge := p.Plate.Outline.Dist(q)
	switch {
	case !p.Plate.Outline.Holds(q):
		return edge
	case q.Norm() < p.Bore/2:
		return p.Bore/2 - q.Norm()
	default:
		return -math.Min(edge, q.Norm()-p.Bore/2)
	}
}

const aroundGap = 1.0 // mm that the plate keeps from what may stand proud

// sameAsChosen tells whether a circle not chosen is only another edge of a
// chosen one: a chamfer, the outside of its boss.
func (p *Plate) sameAsChosen(c circle) bool {
	for _, h := range p.holes {
		if c.at.Dist(h.at) < 1 {
			return true
		}
	}
	return p.panel.grille != nil && c.at.Dist(p.panel.grille.at) < 1 && c.r <= p.panel.grille.r
}

// boltRule asks whether the screws find their holes although their places are
// known to U95 only.
func (p *Plate) boltRule() {
	if p.ScrewD == 0 {
		return
	}
	s := &p.Settings
	worst := p.holes[0]
	for _, h := range p.holes {
		if h.u95 > worst.u95 {
			worst = h
		}
	}
	play := (p.Hole - p.ScrewD) / 2
	r := Rule{What: "play of the screw against U95, most at " + worst.id, Got: play, Limit: worst.u95, Unit: "mm", Source: "the survey's U95 of the hole's place"}
	if s.Slot > 0 {
		r.Got += s.Slot / 2
		r.Remark = fmt.Sprintf("Along the slot; across it %.2f mm.", play)
	}
	slot := math.Max(0.5, math.Ceil((worst.u95-play)*4)/2)
	p.rule(r, "the screw may miss: slot the ears, --slot %s, or take a coarser --fit", short(slot))
}

func (p *Plate) foamRule() {
	s := &p.Settings
	if s.Foam.Width == 0 || s.Dome == 0 {
		return
	}
	for _, e := range p.Extras {
		if e.Stock.Soft {
			inner := 2 * e.Openings[0][0].R
			p.rule(Rule{What: "opening of the foam ring against the dome", Got: inner, Limit: s.Dome + 2, Unit: "mm", Source: commonPractice + ": foam spreads 1 mm when pressed"},
				"use narrower foam, --foam %sx%s", short(math.Floor((2*e.Outline[0].R-s.Dome-2)*5)/10), short(s.Foam.Thickness))
		}
	}
}

func (p *Plate) roundRule() {
	s := &p.Settings
	if s.RoundOver == 0 {
		return
	}
	p.rule(Rule{What: "round-over", Got: s.RoundOver, Limit: s.Thickness - 0.8, AtMost: true, Unit: "mm", Source: commonPractice + ": 0.8 mm of straight edge stays"},
		"--round-over %s", short(math.Max(0, s.Thickness-0.8)))
}
