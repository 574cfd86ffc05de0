package plate

import (
	"fmt"
	"math"
)

// ClashError is a part that cannot exist: which numbers clash, and the
// smallest change that mends it.
type ClashError struct{ Clash, Mend string }

func (e *ClashError) Error() string { return e.Clash + ". Smallest change: " + e.Mend }

// leastWeb is what must be left between two openings for the part to hold
// together at all, mm.
const leastWeb = 0.5

// boreGap returns the wall between the bore and a mounting hole.
func (p *Plate) boreGap(h placedHole) float64 {
	nearest := h.at.Norm() - h.a.Dist(h.b)/2
	return nearest - p.Hole/2 - p.Bore/2
}

// holeGap returns the wall between two mounting holes.
func (p *Plate) holeGap(g, h placedHole) float64 {
	return segDist(g.a, g.b, h.a, h.b) - p.Hole
}

// ringGap returns the wall between a mounting hole and one of the flange's.
func (p *Plate) ringGap(h placedHole, r circle) float64 {
	return segDist(h.a, h.b, r.at, r.at) - p.Hole/2 - r.r
}

// segDist returns the distance between two straight pieces, which may be
// points.
func segDist(a, b, c, d point) float64 {
	switch {
	case c.Dist(d) < tiny && a.Dist(b) < tiny:
		return a.Dist(c)
	case c.Dist(d) < tiny:
		return Line(a, b).Dist(c)
	}
	return Path{Line(c, d)}.distToLine(a, b)
}

// clashes finds what makes the part impossible.
func (p *Plate) clashes() error {
	s := &p.Settings
	var worst least
	for _, h := range p.holes {
		worst.take(p.boreGap(h), h.id)
	}
	for _, h := range p.holes {
		if gap := p.boreGap(h); gap < leastWeb && h.id == worst.at {
			return &ClashError{
				fmt.Sprintf("the bore eats hole %s: its centre is %.2f mm from the tweeter's, and the bore's radius of %.2f and the hole's of %.2f %swith a web of %.1f need %.2f mm",
					h.id, h.at.Norm(), p.Bore/2, p.Hole/2, slotWords(s.Slot), leastWeb, h.at.Norm()-gap+leastWeb),
				p.mendBore()}
		}
	}
	for i, g := range p.holes {
		for _, h := range p.holes[i+1:] {
			if gap := p.holeGap(g, h); gap < leastWeb {
				mend := fmt.Sprintf("--screw-hole %.1f", math.Floor((p.Hole+gap-leastWeb)*10)/10)
				if p.Hole+gap-leastWeb < 1.5 {
					mend = fmt.Sprintf("leave one out with --use-holes, %s or %s", g.id, h.id)
				}
				return &ClashError{fmt.Sprintf("holes %s and %s run into one another: their centres are %.2f mm apart, and holes of %.2f mm %swith a web of %.1f need %.2f mm",
					g.id, h.id, g.at.Dist(h.at), p.Hole, slotWords(s.Slot), leastWeb, g.at.Dist(h.at)-gap+leastWeb), mend}
			}
		}
	}
	return p.ringClashes()
}

func slotWords(slot float64) string {
	if slot == 0 {
		return ""
	}
	return fmt.Sprintf("and the slot of %s ", short(slot))
}

// ringClashes finds what the flange's screw holes run into.
func (p *Plate) ringClashes() error {
	s := &p.Settings
	if len(p.ring) == 0 {
		return nil
	}
	c, d := s.RingHoles.Circle, s.RingHoles.Diameter
	if gap := c/2 - d/2 - p.Bore/2; gap < leastWeb {
		return &ClashError{fmt.Sprintf("the bore of %.2f mm cuts into the ring holes: a bolt circle of %.2f mm with holes of %.2f leaves %.2f mm", p.Bore, c, d, gap),
			fmt.Sprintf("a bolt circle of %.1f mm", p.Bore+d+2*leastWeb)}
	}
	if gap := p.Ring/2 - c/2 - d/2; gap < leastWeb {
		return &ClashError{fmt.Sprintf("the ring holes break out of the ring: a bolt circle of %.2f mm with holes of %.2f reaches to %.2f, and the ring is %.2f mm wide over all", c, d, c+d, p.Ring),
			fmt.Sprintf("--wall %.1f", p.Ring/2-p.Bore/2-gap+leastWeb)}
	}
	if n := float64(len(p.ring)); len(p.ring) > 1 && c*math.Sin(math.Pi/n)-d < leastWeb {
		return &ClashError{fmt.Sprintf("%d ring holes of %.2f mm do not fit on a bolt circle of %.2f mm", len(p.ring), d, c),
			fmt.Sprintf("ring holes of at most %.1f mm", c*math.Sin(math.Pi/n)-leastWeb)}
	}
	worst, at := math.Inf(1), ""
	for _, h := range p.holes {
		for _, r := range p.ring {
			if gap := p.ringGap(h, r); gap < worst {
				worst, at = gap, r.id+" and hole "+h.id
			}
		}
	}
	if worst >= leastWeb {
		return nil
	}
	mend := "a smaller --screw-hole, for no turn of the ring holes clears them all"
	for turn := 1.0; turn < 180; turn++ {
		if p.ringClears(turn) {
			mend = fmt.Sprintf("turn the ring holes: --ring-angle %s", short(s.RingHoles.Angle+turn))
			break
		}
		if p.ringClears(-turn) {
			mend = fmt.Sprintf("turn the ring holes: --ring-angle %s", short(s.RingHoles.Angle-turn))
			break
		}
	}
	return &ClashError{fmt.Sprintf("%s run into one another: %.2f mm is left between them, and %.1f mm is the least", at, worst, leastWeb), mend}
}

// ringClears tells whether the flange's holes, turned by so many degrees,
// keep a proper wall from all mounting holes.
func (p *Plate) ringClears(turn float64) bool {
	for _, r := range p.ring {
		r.at = Place{Turn: turn * math.Pi / 180}.Point(r.at)
		for _, h := range p.holes {
			if p.ringGap(h, r) < p.Settings.LeastWall {
				return false
			}
		}
	}
	return true
}

// mendBore tells the smallest change by which the bore no longer eats a hole.
func (p *Plate) mendBore() string {
	need := p.Settings.LeastWall
	var ways []string
	if v, ok := p.smallestMove(need); ok {
		ways = append(ways, fmt.Sprintf("move the tweeter's centre %.1f mm, --tweeter-offset %s,%s", v.Norm(),
			short(p.Settings.TweeterOffset[0]+v.X), short(p.Settings.TweeterOffset[1]+v.Y)))
	}
	gap := math.Inf(1)
	for _, h := range p.holes {
		gap = math.Min(gap, p.boreGap(h))
	}
	if d := p.Settings.TweeterDiameter + 2*(gap-need); d >= 5 {
		ways = append(ways, fmt.Sprintf("use a tweeter of at most %.1f mm", math.Floor(d*10)/10))
	}
	if len(ways) == 0 {
		return "leave the hole out with --use-holes"
	}
	return fmt.Sprintf("%s (a wall of %s mm then stays)", joinOr(ways), short(need))
}

// smallestMove returns the shortest way to move the tweeter's centre so that
// every mounting hole keeps a wall from the bore, to a tenth of a millimetre.
func (p *Plate) smallestMove(wall float64) (point, bool) {
	round := func(v float64) float64 { return math.Round(v*10) / 10 }
	for d := 0.1; d <= 40; d += 0.1 {
		for a := range 72 {
			v := polar(point{}, d, float64(a)*math.Pi/36)
			v = point{X: round(v.X), Y: round(v.Y)}
			clear := true
			for _, h := range p.holes {
				n := h.at.Sub(v).Norm()
				clear = clear && n-h.a.Dist(h.b)/2-p.Hole/2-p.Bore/2 >= wall
			}
			if clear {
				return v, true
			}
		}
	}
	return point{}, false
}

func joinOr(ways []string) string {
	s := ways[0]
	for _, w := range ways[1:] {
		s += ", or " + w
	}
	return s
}

// roundOverClash finds what a rounded top edge leaves no room for.
func (p *Plate) roundOverClash() error {
	s := &p.Settings
	if s.RoundOver == 0 {
		return nil
	}
	most := math.Min(s.Thickness, p.Ring/2-p.Bore/2-leastWeb)
	for _, h := range p.holes {
		most = math.Min(most, p.Plate.Outline.distToLine(h.a, h.b)-p.Hole/2-leastWeb)
	}
	for _, r := range p.ring {
		most = math.Min(most, p.Plate.Outline.Dist(r.at)-r.r-leastWeb)
	}
	if s.RoundOver <= most {
		return nil
	}
	return &ClashError{fmt.Sprintf("a round-over of %s mm leaves no top between the edge and the openings, or no edge at all: there is room for %.2f mm", short(s.RoundOver), most),
		fmt.Sprintf("--round-over %s", short(math.Floor(10*math.Max(0, most))/10))}
}
