package plate

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// seatName is the name of the seat's part.
const seatName = "seat ring"

// makeSeat makes the ring that is glued on top of the plate for a flange to
// sit flush in.
func (p *Plate) makeSeat() error {
	s := &p.Settings
	if s.Seat.Diameter == 0 {
		return nil
	}
	inner, outer := (s.Seat.Diameter+seatPlay)/2, p.Ring/2-seatBack-s.RoundOver
	if inner <= p.Bore/2 {
		return &ClashError{fmt.Sprintf("a seat of %.2f mm has no ledge on a bore of %.2f mm", 2*inner, p.Bore),
			fmt.Sprintf("a seat of at least %.1f mm, the flange's diameter", p.Bore+2)}
	}
	if outer-inner < leastWeb {
		return &ClashError{fmt.Sprintf("a seat of %.2f mm leaves nothing of its ring, which is %.2f mm wide over all", 2*inner, 2*outer),
			fmt.Sprintf("--wall %.1f", inner+seatWall+seatBack+s.RoundOver-p.Bore/2)}
	}
	for _, h := range p.holes {
		if gap := h.a.Norm() - p.Hole/2 - outer; gap < leastWeb {
			return &ClashError{fmt.Sprintf("the seat's ring, %.2f mm wide over all, would cover hole %s, %.2f mm from the tweeter's centre", 2*outer, h.id, h.at.Norm()),
				fmt.Sprintf("a narrower ring, --wall %.1f, or no --seat", math.Max(0.1, h.a.Norm()-p.Hole/2-leastWeb+seatBack+s.RoundOver-p.Bore/2))}
		}
	}
	for _, r := range p.ring {
		if r.at.Norm()+r.r > inner {
			return &ClashError{fmt.Sprintf("the seat's ring would cover the ring holes: they reach to %.2f mm, the seat is %.2f mm wide", 2*(r.at.Norm()+r.r), 2*inner),
				fmt.Sprintf("a seat of at least %.1f mm", 2*(r.at.Norm()+r.r))}
		}
	}
	p.Extras = append(p.Extras, &Part{Name: seatName, Stock: Stock{Material: s.Material, Thickness: s.Seat.Thickness},
		Outline: Circle(point{}, outer), Openings: []Path{Circle(point{}, inner)}})
	return nil
}

// leastSpacer is a step between bosses that a plate takes up by itself, mm.
const leastSpacer = 0.2

// makeSpacers makes the rings that fill the steps between bosses of unlike
// height: the plate lies on the highest.
func (p *Plate) makeSpacers() error {
	top := math.Inf(-1)
	for _, h := range p.holes {
		top = math.Max(top, h.z)
	}
	for _, h := range p.holes {
		t := math.Round((top-h.z)*20) / 20
		if t < leastSpacer {
			continue
		}
		i := slices.IndexFunc(p.spacers, func(s spacer) bool { return math.Abs(s.thickness-t) < 0.01 })
		if i < 0 {
			p.spacers = append(p.spacers, spacer{thickness: t})
			i = len(p.spacers) - 1
		}
		p.spacers[i].ids = append(p.spacers[i].ids, h.id)
	}
	for _, sp := range p.spacers {
		for _, id := range sp.ids {
			part := &Part{Name: "spacer " + id, Stock: Stock{Material: p.Settings.Material, Thickness: sp.thickness},
				Outline: Circle(point{}, p.EarHalf), Openings: []Path{Circle(point{}, p.Hole/2)}}
			part.mark(id, math.Min(2.5, (p.EarHalf-p.Hole/2)*0.45), point{Y: (p.EarHalf + p.Hole/2) / 2}, 0)
			p.Extras = append(p.Extras, part)
		}
	}
	return nil
}

// makeFoam makes the foam ring: it lies on the tweeter's rim, or its flange's,
// and seals it against the panel.
func (p *Plate) makeFoam() error {
	s := &p.Settings
	if s.Foam.Width == 0 {
		return nil
	}
	outer := s.TweeterDiameter
	if s.Seat.Diameter > 0 {
		outer = s.Seat.Diameter
	}
	inner := outer - 2*s.Foam.Width
	least := math.Max(s.Dome, 2)
	if inner < least {
		return &ClashError{fmt.Sprintf("a foam ring %s mm wide on a rim of %.2f mm is open for %.2f mm only and would cover the dome of %.2f mm", short(s.Foam.Width), outer, inner, least),
			fmt.Sprintf("--foam %sx%s", short(math.Floor((outer-least)/2*10)/10), short(s.Foam.Thickness))}
	}
	p.Extras = append(p.Extras, &Part{Name: "foam ring", Stock: Stock{Material: "closed-cell foam", Thickness: s.Foam.Thickness, Soft: true},
		Outline: Circle(point{}, outer/2), Openings: []Path{Circle(point{}, inner/2)}})
	// A strip bends about its middle.
	p.Strip = math.Pi * (s.TweeterDiameter + s.Foam.Thickness)
	return nil
}

// mark names the holes on the plate, where there is room beside them.
func (p *Plate) mark() {
	const height = 2.2
	for _, h := range p.holes {
		wish := h.at
		if n := h.at.Norm(); n > 0 { // inwards of the hole, where the ear is
			wish = h.a.Sub(h.at.Mul((p.Hole/2 + height) / n))
		}
		p.Plate.mark(h.id, height, wish, 6)
	}
}

// note says what the user is to know beyond the rules.
func (p *Plate) note() {
	s := &p.Settings
	say := func(format string, a ...any) { p.Notes = append(p.Notes, fmt.Sprintf(format, a...)) }
	for _, sp := range p.spacers {
		say("A spacer of %s mm goes under the ear at %s, whose boss is so much lower than the highest.", short(sp.thickness), strings.Join(sp.ids, ", "))
	}
	if s.Seat.Diameter > 0 {
		say("Glue the seat ring on the plate's face that shows here, concentric with the bore.")
	}
	if p.Strip > 0 {
		say("To wrap the tweeter's body: %.0f mm of foam strip %s mm thick.", p.Strip, short(s.Foam.Thickness))
	}
	if s.Foam.Width > 0 && s.Dome == 0 {
		say("Measure the dome and say --dome: whether the foam ring covers it is not checked.")
	}
	switch flat := s.Seat.Diameter == 0 && s.RoundOver == 0 && s.Tabs.Thickness == 0; {
	case flat && (s.Mirror || s.Both):
		say("The plate is flat: turned over, it is its own mirror image. Any two alike make a left and a right.")
	case flat:
		say("The plate is flat: turned over, it is the mirror image for the other side.")
	default:
		say("This plate has a face: turned over, it does not fit the other side. Use --mirror or --both.")
	}
	if s.Mirror || s.Both {
		say("Measure the other side's panel too: mouldings differ from left to right.")
	}
	if s.Both && s.Side == "" {
		say("The panel is taken to be the left one; if it is the right one, say --side right.")
	}
	if s.Hold == HoldLockTabs && s.Tabs.Channel == 0 {
		say("Measure the height of the tweeter's channel and say --channel: the plate must be no thicker.")
	}
	if s.Tabs.Thickness > 0 && s.Tabs.Thickness < s.Thickness {
		say("The tabs are %s mm thick in the 3D files only: a part cut from sheet has them as thick as the sheet.", short(s.Tabs.Thickness))
	}
	if s.Kerf > 0 {
		say("DXF and SVG are offset by half of the %s mm kerf: the cutter's machine must not do it again.", short(s.Kerf))
	}
}
