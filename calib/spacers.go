package calib

import "math"

// leastSpacer is the thinnest spacer worth making, mm: screws and plates take
// up less.
const leastSpacer = 0.2

// setSpacers says what spacer on each lower boss brings a flat plate level
// with the highest one: the difference of the heights (common practice). A
// difference within its own uncertainty is none.
func (s *Survey) setSpacers() {
	var highest *Feature
	for i := range s.Features {
		f := &s.Features[i]
		if f.Kind == KindHole && f.HeightSource != HeightAssumed && (highest == nil || f.Z > highest.Z) {
			highest = f
		}
	}
	for i := range s.Features {
		f := &s.Features[i]
		if f.Kind != KindHole || f.HeightSource == HeightAssumed || f == highest {
			continue
		}
		if d := highest.Z - f.Z; d > math.Max(leastSpacer, math.Hypot(f.ZU95, highest.ZU95)) {
			f.Spacer = d
		}
	}
}
