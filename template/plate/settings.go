package plate

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
)

// The sides of a vehicle.
const (
	Left  = "left"
	Right = "right"
)

// How the tweeter is held.
const (
	HoldPlain    = "plain"      // a bore that the tweeter is pressed or glued into
	HoldLockTabs = "lock-tabs"  // inward tabs that turn into the tweeter's channel
	HoldScrews   = "screw-ring" // holes for the screws of the tweeter's own flange
)

// Holds lists the ways to hold a tweeter.
var Holds = []string{HoldPlain, HoldLockTabs, HoldScrews}

// Settings is every number that makes a plate, as it stands in a file. Lengths
// are mm, angles degrees anticlockwise from the panel's x axis, as seen in the
// photo. Where it says so, 0 leaves the choice to Design.
type Settings struct {
	TweeterDiameter float64    `json:"tweeter_diameter_mm"`
	Clearance       float64    `json:"clearance_mm"` // of the bore, on the diameter
	TweeterOffset   [2]float64 `json:"tweeter_offset_mm"`
	Dome            float64    `json:"dome_diameter_mm"` // what must not be covered; 0 is unknown
	Hold            string     `json:"hold"`
	Tabs            Tabs       `json:"tabs"`
	RingHoles       RingHoles  `json:"ring_holes"`
	Seat            Seat       `json:"seat"`
	Foam            Foam       `json:"foam"`

	Holes     []string `json:"holes,omitempty"` // which of the survey's; none is all
	Screw     string   `json:"screw"`           // none: the largest that the hole is for, or M4
	Fit       string   `json:"fit"`
	ScrewHole float64  `json:"screw_hole_mm"` // 0: by screw and fit
	Slot      float64  `json:"slot_mm"`       // how much longer than wide a hole is, along its ear

	Material  string  `json:"material"`
	Thickness float64 `json:"thickness_mm"`
	Wall      float64 `json:"wall_mm"`      // the ring's width; 0: chosen
	EarWidth  float64 `json:"ear_width_mm"` // 0: chosen
	Fillet    float64 `json:"fillet_mm"`    // 0: chosen
	RoundOver float64 `json:"round_over_mm"`

	LeastWall   float64 `json:"least_wall_mm"`
	LeastEdge   float64 `json:"least_edge_diameters"`
	LeastFillet float64 `json:"least_fillet_thicknesses"`

	Kerf     float64    `json:"kerf_mm"`
	Sheet    [2]float64 `json:"sheet_mm"` // 0 x 0: as large as it takes
	Gap      float64    `json:"gap_mm"`   // between parts on the sheet
	Side     string     `json:"side"`     // of the vehicle that the panel is from: left or right; none is not said
	Mirror   bool       `json:"mirror"`
	Both     bool       `json:"both"`
	Quantity int        `json:"quantity"`
}

// Tabs are the lock tabs.
type Tabs struct {
	Count     int     `json:"count"`
	Width     float64 `json:"width_mm"`
	Depth     float64 `json:"depth_mm"`
	Angle     float64 `json:"angle_deg"`    // of the first
	Channel   float64 `json:"channel_mm"`   // height of the tweeter's channel; 0 is unknown
	Thickness float64 `json:"thickness_mm"` // of printed tabs; 0: the plate's
}

// RingHoles are the holes for the tweeter's own flange.
type RingHoles struct {
	Count    int     `json:"count"`
	Circle   float64 `json:"bolt_circle_mm"`
	Diameter float64 `json:"diameter_mm"`
	Angle    float64 `json:"angle_deg"` // of the first
}

// Seat is a ledge for a flange of that diameter and thickness.
type Seat struct {
	Diameter  float64 `json:"diameter_mm"` // 0: no seat
	Thickness float64 `json:"thickness_mm"`
}

// Foam is a closed-cell foam strip's or ring's section.
type Foam struct {
	Width     float64 `json:"width_mm"` // 0: no foam
	Thickness float64 `json:"thickness_mm"`
}

// Defaults are settings for a tweeter still to be measured.
func Defaults() Settings {
	s := Settings{
		Clearance: 0.3, Hold: HoldPlain,
		Tabs:      Tabs{Count: 3, Width: 6, Depth: 1.5, Angle: 90},
		RingHoles: RingHoles{Count: 3, Angle: 90},
		Fit:       Medium,
		Gap:       3, Quantity: 1,
	}
	s.UseMaterial(materials[0])
	s.Material, s.Kerf = "", 0 // any sheet: brittle acrylic's limits, drawn nominal
	return s
}

// UseMaterial sets what a material's preset sets, and nothing else.
func (s *Settings) UseMaterial(m Material) {
	s.Material, s.Thickness, s.Kerf = m.Name, m.Thickness, m.Kerf
	s.LeastWall, s.LeastEdge, s.LeastFillet = m.LeastWall, m.LeastEdge, m.LeastFillet
}

// Read takes over the settings that a JSON object gives: its material's
// preset first, then what it says itself. Unknown names are an error: a
// misspelt setting would silently be the default.
func (s *Settings) Read(b []byte) error {
	var first struct{ Material string }
	if err := json.Unmarshal(b, &first); err != nil {
		return fmt.Errorf("is not a file of settings: %w", err)
	}
	if first.Material != "" {
		m, err := FindMaterial(first.Material)
		if err != nil {
			return err
		}
		s.UseMaterial(m)
	}
	d := json.NewDecoder(strings.NewReader(string(b)))
	d.DisallowUnknownFields()
	if err := d.Decode(s); err != nil {
		return fmt.Errorf("is not a file of settings: %s", strings.TrimPrefix(err.Error(), "json: "))
	}
	return nil
}

// check tells which setting is out of all reason.
func (s *Settings) check() error {
	type limit struct {
		name        string
		v, from, to float64
	}
	limits := []limit{
		{"the tweeter's diameter", s.TweeterDiameter, 5, 250},
		{"the clearance", s.Clearance, -1, 5},
		{"the tweeter's offset to the right", s.TweeterOffset[0], -200, 200},
		{"the tweeter's offset upwards", s.TweeterOffset[1], -200, 200},
		{"the dome's diameter", s.Dome, 0, 250},
		{"the screw hole", s.ScrewHole, 0, 30},
		{"the slot", s.Slot, 0, 20},
		{"the thickness", s.Thickness, 0.2, 50},
		{"the ring's width", s.Wall, 0, 200},
		{"the ears' width", s.EarWidth, 0, 200},
		{"the fillet", s.Fillet, 0, 200},
		{"the round-over", s.RoundOver, 0, 20},
		{"the least wall", s.LeastWall, 0, 50},
		{"the least edge distance in diameters", s.LeastEdge, 0.5, 10},
		{"the least fillet in thicknesses", s.LeastFillet, 0, 10},
		{"the kerf", s.Kerf, 0, 5},
		{"the gap between parts", s.Gap, 0, 100},
		{"the sheet's width", s.Sheet[0], 0, 5000},
		{"the sheet's height", s.Sheet[1], 0, 5000},
		{"the quantity", float64(s.Quantity), 1, 200},
		{"the seat's diameter", s.Seat.Diameter, 0, 300},
		{"the foam's width", s.Foam.Width, 0, 100},
	}
	if s.Seat.Diameter > 0 {
		limits = append(limits, limit{"the seat's thickness", s.Seat.Thickness, 0.2, 20})
	}
	if s.Foam.Width > 0 {
		limits = append(limits, limit{"the foam's thickness", s.Foam.Thickness, 0.2, 50})
	}
	switch s.Hold {
	case HoldPlain:
	case HoldLockTabs:
		limits = append(limits, limit{"the number of lock tabs", float64(s.Tabs.Count), 1, 12},
			limit{"the lock tabs' width", s.Tabs.Width, 0.5, 100}, limit{"the lock tabs' depth", s.Tabs.Depth, 0.2, 50},
			limit{"the channel's height", s.Tabs.Channel, 0, 50}, limit{"the lock tabs' thickness", s.Tabs.Thickness, 0, s.Thickness},
			limit{"the first lock tab's angle", s.Tabs.Angle, -360, 360})
	case HoldScrews:
		limits = append(limits, limit{"the number of ring holes", float64(s.RingHoles.Count), 1, 24},
			limit{"the bolt circle", s.RingHoles.Circle, 1, 400}, limit{"the ring holes' diameter", s.RingHoles.Diameter, 0.5, 20},
			limit{"the first ring hole's angle", s.RingHoles.Angle, -360, 360})
	default:
		return fmt.Errorf("%q is no way to hold a tweeter known here: use one of %s", s.Hold, strings.Join(Holds, ", "))
	}
	for _, l := range limits {
		if !(l.v >= l.from && l.v <= l.to) || math.IsNaN(l.v) {
			return fmt.Errorf("%s is %g, and must be from %g to %g", l.name, l.v, l.from, l.to)
		}
	}
	if s.Side != "" && s.Side != Left && s.Side != Right {
		return fmt.Errorf("%q is no side of a vehicle: use left or right", s.Side)
	}
	return nil
}
