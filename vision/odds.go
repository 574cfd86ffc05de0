package vision

import (
	"fmt"
	"math"

	"trimscribe/calib"
)

// isHole tells a hole from a grille by its size.
func (r Rim) isHole() bool { return 2*r.R <= MaxHole }

// Odds is the log odds, from its edge alone, that a rim is the mouth of an
// opening and not a post, a stain or chance. The weights are set by hand from
// what tells the two apart on rendered panels; a rim that counts for nothing
// (half its edge, no contrast) comes out at about -2, a clear one at 4 or more.
func (r Rim) Odds() float64 { return r.odds(r.asFace()) }

// AsFace is what of the odds is for the inside's being as light as the face, 0 or less.
func (r Rim) AsFace() float64 { return r.Odds() - r.odds(0) }

func (r Rim) odds(asFace float64) float64 {
	if !r.isHole() {
		odds := r.grilleOdds() - coverageWorth*r.Shared
		switch {
		case r.Within:
			return -3
		case r.Collar:
			odds -= 6
		}
		return clamp(r.asMuchAs(odds), -3, 6)
	}
	// Few holes show less than 0.7 of their edge; the round end of a slot or of
	// a post's shadow shows no more, whatever its contrast.
	odds := math.Min(r.holeOdds()+asFace, 40*(r.Coverage-roundEnd))
	if r.isOpen() {
		odds -= 4
	}
	return clamp(r.asMuchAs(odds), -5, 4)
}

// asMuchAs raises the odds to those of what tells that this is the mouth.
func (r Rim) asMuchAs(odds float64) float64 {
	if r.Told > 0 {
		return math.Max(odds, r.Told)
	}
	return odds
}

// Odds is the log odds that the opening is the mouth of one, as a Rim's.
func (o Opening) Odds() float64 { return o.odds(o.asFace()) }

// AsFace is what of the odds is for the inside's being as light as the face, 0 or less.
func (o Opening) AsFace() float64 { return o.Odds() - o.odds(0) }

func (o Opening) odds(asFace float64) float64 {
	if !o.isHole() {
		return clamp(o.grilleOdds(), -3, 6)
	}
	odds := o.holeOdds() + asFace
	if o.isOpen() {
		odds -= 4
	}
	return clamp(odds, -5, 4)
}

// grilleOdds is the log odds of what has a grille's size.
func (a Appearance) grilleOdds() float64 {
	return coverageWorth*(a.Coverage-0.6) + 3*math.Min(a.plain(), 0.5)
}

// coverageWorth is what a grille's whole circumference is worth, in log odds.
const coverageWorth = 16.0

// holeOdds is the log odds of what has a hole's size, but for what asFace says.
func (a Appearance) holeOdds() float64 {
	mouth := a.plain()
	if a.Contrast < 0 {
		// Lighter inside: light behind makes a hole much lighter than the
		// face; the lit top of a post is a little lighter.
		mouth = math.Abs(mouth-0.15) - 0.15
	}
	return 6*(a.Coverage-0.75) + 6*(math.Min(mouth, 0.7)-0.2)
}

// asFace is what it speaks against a hole, in log odds, that its inside is as light as the face, and of
// its colour: that is seldom just so, but of a ring embossed in it, a mark or a stain, however
// plain its edge.
func (a Appearance) asFace() float64 {
	differs := max(a.plain(), math.Abs(a.Core), a.Hue) // out of focus, only the middle tells
	return -3 * math.Max(0, 1-differs/plainMouth)
}

// plainMouth is the contrast from which on an inside is plainly not the face.
const plainMouth = 0.15

// roundEnd is the coverage below which a circle is rather the round end of
// something longer.
const roundEnd = 0.73

func clamp(v, low, high float64) float64 { return math.Max(low, math.Min(v, high)) }

// Words says how a rim looks, for a person.
func (r Rim) Words() string {
	return fmt.Sprintf("edge seen over %.0f %% of the circle, %s", 100*r.Coverage, r.look())
}

// plainlyShared is the share of a circle's edge from which on it is said to be another's.
const plainlyShared = 0.1

func (r Rim) look() string {
	look := r.words()
	if r.isHole() && r.isOpen() {
		look += ", open to one side"
	}
	if r.Within {
		look += ", inside another circle"
	} else if r.Collar {
		look += ", round another circle"
	} else if r.Boss > 0 {
		look += ", on a boss"
	}
	if r.Shared > plainlyShared {
		look += ", a part of it another circle's"
	}
	if r.Sunk > 0 {
		look += fmt.Sprintf(", sunk %.1f mm into the face", r.Sunk)
	}
	return look
}

// Words says how an opening looks, for a person.
func (o Opening) Words() string {
	look := Rim{Appearance: o.Appearance, Circle: o.Round()}.look()
	return fmt.Sprintf("%s, edge seen over %.0f %% of the outline, %s", o.Name(), 100*o.Coverage, look)
}

// Name is what a person calls the shape.
func (o Opening) Name() string {
	switch o.Shape {
	case calib.ShapeD:
		return "D-hole"
	case calib.ShapeFree:
		return "of free outline"
	}
	return o.Shape
}
