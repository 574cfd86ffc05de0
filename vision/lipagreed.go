package vision

import "math"

// A lip that hardly shows on any one hole is told by several: the camera's sharpening or a
// gleam makes one seem to be there, but hardly as wide on each and with as wide a mouth.
//
// Of 38 rendered photos holes agreed so in five: in four of the 9 with chamfers, one of the 15 with
// roundings, and none of the 14 whose edges are sharp.

// agreedWorth is by how much, for each ray, a lip must make each hole's fit the likelier at least,
// however many agree.
const agreedWorth = 3.0

// agreedWidth is how wide the lip must be, px: a narrower one is not told from a gleam, or from grain
// where the inside is about as light as the face.
const agreedWidth = 1.5

// agreedLip gives the holes that agree on a lip, how wide it is and its mouth, that lip, though it
// be not worth what one alone must be; and a grille that has one as wide.
func agreedLip(fits []rimFit) {
	var best []lipOf
	all := lipsOf(fits)
	for _, a := range all {
		if !a.fit.isHole() {
			continue
		}
		var set []lipOf
		for _, b := range all {
			if b.fit.isHole() && a.agrees(b) && b.gain > agreedWorth && b.width() > agreedWidth*b.fit.px {
				set = append(set, b)
			}
		}
		if sumOf(set) > sumOf(best) {
			best = set
		}
	}
	if len(best) < 2 || sumOf(best) < lipWorth {
		return
	}
	worth := math.Max(agreedWorth, lipWorth/float64(len(best)))
	for _, b := range best {
		b.give(fits, worth)
	}
	for _, b := range all {
		if !b.fit.isHole() && b.fit.lip == best[0].fit.lip && math.Abs(b.width()-best[0].width()) < best[0].fit.otherSize() {
			b.give(fits, worth)
		}
	}
}

// A lipOf is one that a rim may have.
type lipOf struct {
	fit  rimFit
	of   int     // the rim's index
	gain float64 // by how much, for each ray, it makes the fit the likelier
}

func lipsOf(fits []rimFit) (all []lipOf) {
	for i, f := range fits {
		if f.Result == nil {
			continue
		}
		bare := f
		if f.bare != nil {
			bare = *f.bare
		}
		for _, o := range f.forms {
			all = append(all, lipOf{o, i, -bare.over(o)})
		}
	}
	return all
}

func (a lipOf) width() float64 { return a.fit.X[pNarrow] }

// agrees tells whether two lips are of one kind and size.
func (a lipOf) agrees(b lipOf) bool {
	return a.fit.lip == b.fit.lip && math.Abs(a.width()-b.width()) < b.fit.otherSize() &&
		math.Abs(a.fit.circle().R-b.fit.circle().R) < b.fit.otherSize()
}

// give gives the rim the lip, if it is worth so much.
func (a lipOf) give(fits []rimFit, worth float64) {
	if f := fits[a.of]; f.lip == sharp { // of one that has a lip, oneLip tells which
		fits[a.of] = f.orWith(a.fit, f.forms, worth)
	}
}

func sumOf(set []lipOf) (sum float64) {
	for _, a := range set {
		sum += a.gain
	}
	return sum
}
