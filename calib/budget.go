package calib

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// The inputs of a measure beyond those of the pose.
const (
	GroupHeight Group = "height" // of a circle's plane, as it was given
	GroupRim    Group = "rim"    // the circle's edge, as found in the photo
	GroupLight  Group = "light"  // on a rim that is broken or rounded
	GroupChoice Group = "choice" // of one circle among several that are about as likely
)

// Groups lists all inputs, in the order of a table.
var Groups = []Group{
	GroupSize, GroupFlat, GroupBloom, GroupEdges,
	GroupFocal, GroupCentre, GroupDistortion,
	GroupHeight, GroupRim, GroupLight, GroupChoice,
}

// Budget is an uncertainty budget: the standard uncertainty, mm, that each
// input gives to one measure (JCGM 100:2008, 5.1.3: its own uncertainty times
// the sensitivity).
type Budget map[Group]float64

// U is the combined standard uncertainty, mm: the root of the sum of the
// contributions' squares (JCGM 100:2008, 5.1.2; the inputs are independent of
// one another).
func (b Budget) U() float64 {
	sum := 0.0
	for _, g := range sortedKeys(b) { // one order, so that a run repeats to the last digit
		sum += b[g] * b[g]
	}
	return math.Sqrt(sum)
}

// Share is an input's part of the variance, 0 to 1.
func (b Budget) Share(g Group) float64 {
	if u := b.U(); u > 0 {
		return b[g] * b[g] / (u * u)
	}
	return 0
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

// coverage is the k of an expanded uncertainty U95 = k u of one number: a
// normal distribution's 95.45 % (JCGM 100:2008, 6.2 and G.6.6).
const coverage = 2

// addPart adds what an input contributes to the joint covariance of x, y and R
// of each circle in turn, mm^2.
func (m *Measured) addPart(g Group, cov mat.Symmetric) {
	part := m.part(g)
	part.AddSym(part, cov)
}

func (m *Measured) part(g Group) *mat.SymDense {
	if m.parts[g] == nil {
		m.parts[g] = mat.NewSymDense(3*len(m.Circles), nil)
	}
	return m.parts[g]
}

func (m *Measured) add(g Group, i, j int, v float64) {
	part := m.part(g)
	part.SetSym(i, j, part.At(i, j)+v)
}

// propagate carries a covariance through a linear map: J C Jᵀ (JCGM 102:2011,
// 6.2.1.3).
func propagate(jac *mat.Dense, cov mat.Symmetric) *mat.SymDense {
	var half, full mat.Dense
	half.Mul(jac, cov)
	full.Mul(&half, jac.T())
	n, _ := full.Dims()
	out := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			out.SetSym(i, j, (full.At(i, j)+full.At(j, i))/2)
		}
	}
	return out
}

// A gradient is how a measure changes with the circles' x, y and R: the
// coefficient of each index that it hangs on.
type gradient map[int]float64

// budget is the budget of a measure with this gradient.
func (m *Measured) budget(g gradient) Budget {
	b := Budget{}
	at := sortedKeys(g)
	for group, part := range m.parts {
		v := 0.0
		for _, i := range at {
			for _, j := range at {
				v += g[i] * g[j] * part.At(i, j)
			}
		}
		if u := math.Sqrt(math.Max(0, v)); u > 1e-6 {
			b[group] = u
		}
	}
	return b
}

// placeCov is the covariance of circle i's centre.
func (m *Measured) placeCov(i int) (xx, xy, yy float64) {
	for _, g := range sortedKeys(m.parts) {
		p := m.parts[g]
		xx += p.At(3*i, 3*i)
		xy += p.At(3*i, 3*i+1)
		yy += p.At(3*i+1, 3*i+1)
	}
	return xx, xy, yy
}

// PlaceU95 returns the radius about circle i's measured centre, mm, that holds
// the true one 95 times of 100.
func (m *Measured) PlaceU95(i int) float64 {
	xx, xy, yy := m.placeCov(i)
	mean, diff := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	return radius95(math.Sqrt(mean+diff), math.Sqrt(math.Max(0, mean-diff)))
}

// radius95 is the radius of the circle that holds 95 of 100 draws of a normal
// distribution in the plane with these standard deviations along its axes
// (a coverage region of JCGM 102:2011, 6.5). In polar coordinates of the
// distribution made round, a draw lies outside with the probability
// exp(-r²/2s²), s being the deviation in its direction; the mean of that over
// all directions is to be 0.05.
func radius95(long, short float64) float64 {
	if long == 0 {
		return 0
	}
	outside := func(r float64) float64 {
		const n = 64
		sum := 0.0
		for k := range n {
			s, c := math.Sincos((float64(k) + 0.5) * math.Pi / 2 / n)
			v := long*long*c*c + short*short*s*s
			sum += math.Exp(-r*r/(2*v)) / n
		}
		return sum
	}
	low, high := 1.9*long, 2.5*long // 1.96 on a line, 2.4477 when round
	for range 40 {
		if mid := (low + high) / 2; outside(mid) > 0.05 {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// PlaceBudget returns the budget of circle i's centre in the direction in
// which it is least sure.
func (m *Measured) PlaceBudget(i int) Budget {
	xx, xy, yy := m.placeCov(i)
	s, c := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	return m.budget(gradient{3 * i: c, 3*i + 1: s})
}

// DiameterU95 returns the expanded uncertainty of circle i's diameter, mm.
func (m *Measured) DiameterU95(i int) float64 { return coverage * m.DiameterBudget(i).U() }

// DiameterBudget returns the budget of circle i's diameter.
func (m *Measured) DiameterBudget(i int) Budget { return m.budget(gradient{3*i + 2: 2}) }

// Distance returns the distance between two circles' centres and its expanded
// uncertainty, mm. What both share, such as the scale, counts once.
func (m *Measured) Distance(i, j int) (mm, u95 float64) {
	mm, b := m.distance(i, Point{}, j, Point{})
	return mm, coverage * b.U()
}

// distance is Distance with each centre moved by an exact offset, and its
// budget.
func (m *Measured) distance(i int, di Point, j int, dj Point) (mm float64, b Budget) {
	d := m.Circles[j].Centre.Add(dj).Sub(m.Circles[i].Centre.Add(di))
	mm = d.Norm()
	if mm == 0 { // it has no direction: take the least sure of the second centre
		return 0, m.PlaceBudget(j)
	}
	g := gradient{3 * j: d.X / mm, 3*j + 1: d.Y / mm}
	g[3*i] -= d.X / mm // i may be j, with an offset
	g[3*i+1] -= d.Y / mm
	return mm, m.budget(g)
}

// lift is how far each corner of a square's sheet stands off the panel's face,
// mm (standard uncertainty): a tenth is the paper itself, and what a taped or
// pressed sheet rises by at its ends is some tenths (common practice). A sheet
// that is seen to stand off its mean plane stands off the face too, for how it
// leans as a whole looks like the camera's own tilt: a wave as long as a side, of
// root mean square w, leans its mean plane as far as four corners that stand off by
// 1.9 w each (its regression on the way along it), and one lifted corner as far as four
// that do by 3.5 w.
const (
	lift      = 0.1
	warpLeans = 2.5
)

// lift is that of a sheet's corners, mm.
func (q PlacedSquare) lift() float64 { return math.Hypot(lift, warpLeans*q.Warp) }

// A faceLie is what the squares leave open of the face that they lie on: the
// covariance of the height and the two slopes of the plane through their
// corners, each of which stands off by itself. Squares far apart settle it better.
type faceLie struct{ inv Mat3 }

func lieOf(squares []PlacedSquare) faceLie {
	var normal Mat3
	for _, q := range squares {
		u := q.lift()
		for _, k := range [4]Point{{-0.5, 0.5}, {0.5, 0.5}, {0.5, -0.5}, {-0.5, -0.5}} {
			p := place(Point{k.X * q.Size[0], k.Y * q.Size[1]}, q.Centre, q.Turn)
			b := [3]float64{1, p.X, p.Y}
			for i := range 3 {
				for j := range 3 {
					normal[i][j] += b[i] * b[j] / (u * u)
				}
			}
		}
	}
	inv, _ := invert3(normal) // a square has a size
	return faceLie{inv}
}

// cov is the covariance of the face's height at two points, mm^2.
func (l faceLie) cov(p, q Point) float64 {
	a := l.inv.Apply(Vec3{1, q.X, q.Y})
	return Vec3{1, p.X, p.Y}.Dot(a)
}

// Largest returns the budgets' inputs that make up at least the given share of
// the variance of one of them, in the order of Groups.
func Largest(budgets []Budget, share float64) []Group {
	return slices.DeleteFunc(slices.Clone(Groups), func(g Group) bool {
		return !slices.ContainsFunc(budgets, func(b Budget) bool { return b.Share(g) >= share })
	})
}

// Words says what an input is, for a person.
func (g Group) Words() string {
	switch g {
	case GroupSize:
		return "the square's size, as the callipers say"
	case GroupFlat:
		return "the square's sheet, which is not quite flat nor lies quite flat"
	case GroupBloom:
		return "ink and blur at the square's edges"
	case GroupEdges:
		return "noise of the square's edges in the photo"
	case GroupFocal:
		return "the focal length"
	case GroupCentre:
		return "where the lens's axis meets the picture"
	case GroupDistortion:
		return "the lens's distortion"
	case GroupHeight:
		return "the heights, as given"
	case GroupRim:
		return "noise of the hole's or grille's edge in the photo"
	case GroupLight:
		return "light on a broken or rounded edge"
	case GroupChoice:
		return "which circle is meant, of several about as likely"
	}
	return string(g)
}

// BudgetEntry is the budget of one measure of a survey.
type BudgetEntry struct {
	Of     string // "H1", "H1 ø", "H1 - G"
	U95    float64
	Budget Budget
}

// Budgets lists the survey's budgets: the places of its features, their
// diameters, then the distances.
func (s *Survey) Budgets() []BudgetEntry {
	var places, diameters, all []BudgetEntry
	for _, f := range s.Features {
		places = append(places, BudgetEntry{f.ID, f.U95, f.Budget})
		diameters = append(diameters, BudgetEntry{f.ID + " ø", f.DiameterU95, f.DiameterBudget})
	}
	all = append(places, diameters...)
	for _, d := range s.Distances {
		if d.To == "T" && s.Tweeter != nil && s.Tweeter.From == "grille" { // G's own over again
			continue
		}
		all = append(all, BudgetEntry{d.From + " - " + d.To, d.U95, d.Budget})
	}
	return all
}

// BudgetsOf takes the budgets out of a list.
func BudgetsOf(entries []BudgetEntry) []Budget {
	out := make([]Budget, len(entries))
	for i, e := range entries {
		out[i] = e.Budget
	}
	return out
}
