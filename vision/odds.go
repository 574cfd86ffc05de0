package vision

import (
	"fmt"
	"math"
)

// isHole tells a hole from a grille by its size.
func (r Rim) isHole() bool { return 2*r.R <= MaxHole }

// Odds is the log odds, from its edge alone, that a rim is the mouth of an
// opening and not a post, a stain or chance. The weights are set by hand from
// what tells the two apart on rendered panels; a rim that counts for nothing
// (half its edge, no contrast) comes out at about -2, a clear one at 4 or more.
func (r Rim) Odds() float64 {
	mouth := math.Abs(r.Contrast) * r.Agreement
	if !r.isHole() {
		odds := 16*(r.Coverage-0.6) + 3*math.Min(mouth, 0.5)
		if r.Collar {
			odds -= 6
		}
		return clamp(math.Max(odds, r.Inside), -3, 6)
	}
	if r.Contrast < 0 {
		// Lighter inside: light behind makes a hole much lighter than the
		// face; the lit top of a post is a little lighter.
		mouth = math.Abs(mouth-0.15) - 0.15
	}
	odds := 6*(r.Coverage-0.75) + 6*(math.Min(mouth, 0.7)-0.2)
	// Few holes show less than 0.7 of their edge; the round end of a slot or of
	// a post's shadow shows no more, whatever its contrast.
	odds = math.Min(odds, 40*(r.Coverage-roundEnd))
	if r.isOpen() {
		odds -= 4
	}
	return clamp(odds, -5, 4)
}

// roundEnd is the coverage below which a circle is rather the round end of
// something longer.
const roundEnd = 0.73

func clamp(v, low, high float64) float64 { return math.Max(low, math.Min(v, high)) }

// Words says how a rim looks, for a person.
func (r Rim) Words() string {
	return fmt.Sprintf("edge seen over %.0f %% of the circle, %s", 100*r.Coverage, r.look())
}

func (r Rim) look() string {
	look := r.words()
	if r.isHole() && r.isOpen() {
		look += ", open to one side"
	}
	if r.Collar {
		look += ", round another circle"
	}
	return look
}
