package calib

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"trimscribe/calib/lsq"
)

// What one may expect of the things that make a check disagree, as standard
// uncertainties (common practice: printers are off by up to 1 %, and bosses
// stand 3 to 12 mm proud).
const (
	sizeUnmeasuredU  = 0.01  // of the square's size, as a share
	sizeMeasuredU    = 0.002 // the same, by callipers
	heightUnknownU   = 6.0   // mm
	heightGivenU     = 0.3   // mm
	hardlyLikely     = 3.0   // so many standard uncertainties are no likely cause
	wrongPlacesPrior = 2.0   // standard uncertainties that measuring from edge to edge counts as
)

// A cause is one way to account for checks that disagree.
type cause struct {
	u     []float64                                // of each of its numbers, standard
	moved func(x []float64, c Check) float64       // the distance that would have been found, mm
	words func(x []float64, likely float64) string // likely in standard uncertainties
	fixed float64                                  // likelihood of a cause without numbers, in standard uncertainties
}

// explained is a cause that accounts for all checks.
type explained struct {
	words string
	cost  float64 // how unlikely, in standard uncertainties
}

// causeOf says what may be behind the survey's checks.
func causeOf(s *Survey, k Known) string {
	var all []explained
	for _, c := range causes(s, k) {
		if e, ok := c.explain(s.Checks); ok {
			all = append(all, e)
		}
	}
	slices.SortStableFunc(all, func(a, b explained) int { return cmp.Compare(a.cost, b.cost) })
	if len(all) == 0 || all[0].cost > hardlyLikely {
		words := "No one cause explains this; measure again from centre to centre, on the panel and not on a print"
		if id := suspect(s.Checks); id != "" {
			words = fmt.Sprintf("%s is in each check that disagrees and in none that agrees; see in the overlay whether its ring lies on its rim", id)
		}
		if len(all) > 0 {
			words += ". Not likely, but it would explain it: " + all[0].words
		}
		return words
	}
	words := "Likely cause: " + all[0].words
	if len(all) > 1 && all[1].cost < min(hardlyLikely, all[0].cost+1) {
		words += "; or " + all[1].words + ". A check in another direction, or between others, tells which"
	}
	return words
}

// causes lists what is known to go wrong.
func causes(s *Survey, k Known) []cause {
	out := append(sizeCauses(s, k), edgeCauses(s)...)
	if k.Eye != nil {
		out = append(out, heightCauses(s, k)...)
	}
	return out
}

// sizeCauses are a square of another size than was said, the same both ways
// or not.
func sizeCauses(s *Survey, k Known) []cause {
	if len(s.Squares) == 0 {
		return nil
	}
	size, u, hint := s.Squares[0].Size, sizeUnmeasuredU, "printers are off by up to 1 %, and more when they fit to the page: measure the square and give its"
	if k.SquareSize {
		u, hint = sizeMeasuredU, "measure the square again, and give another"
	}
	same := cause{u: []float64{u},
		moved: func(x []float64, c Check) float64 { return c.Found * (1 + x[0]) },
		words: func(x []float64, _ float64) string {
			return fmt.Sprintf("the square's size; one of %.2f x %.2f mm, not %.2f x %.2f, would explain it (%s --square-size)",
				size[0]*(1+x[0]), size[1]*(1+x[0]), size[0], size[1], hint)
		}}
	unlike := cause{u: []float64{u, u},
		moved: func(x []float64, c Check) float64 {
			d := s.between(c)
			return c.Found + math.Hypot(d.X*(1+x[0]), d.Y*(1+x[1])) - d.Norm()
		},
		words: func(x []float64, _ float64) string {
			return fmt.Sprintf("the printer, which stretches one way more than the other; a square of %.2f mm across and %.2f up, not %.2f x %.2f, would explain it (%s --square-size)",
				size[0]*(1+x[0]), size[1]*(1+x[1]), size[0], size[1], hint)
		}}
	return []cause{same, unlike}
}

// edgeCauses are measurements between the circles' edges instead of their
// centres.
func edgeCauses(s *Survey) []cause {
	var out []cause
	for _, w := range []struct {
		sign  float64
		words string
	}{
		{-1, "it was measured between the inner edges; add half of both diameters"},
		{1, "it was measured over the outer edges; take off half of both diameters"},
	} {
		out = append(out, cause{fixed: wrongPlacesPrior,
			moved: func(_ []float64, c Check) float64 {
				return c.Found + w.sign*(s.radius(c.From)+s.radius(c.To))
			},
			words: func([]float64, float64) string { return w.words }})
	}
	return out
}

// heightCauses are faces at another height than was said: all holes', the
// grille's, or one hole's.
func heightCauses(s *Survey, k Known) []cause {
	of := func(who, flag string, given bool, high func(id string) bool, z float64) cause {
		u := heightUnknownU
		if given {
			u = heightGivenU
		}
		return cause{u: []float64{u},
			moved: func(x []float64, c Check) float64 {
				d := s.between(c)
				return c.Found + d.Add(s.lifted(c.To, *k.Eye, x[0], high)).Sub(s.lifted(c.From, *k.Eye, x[0], high)).Norm() - d.Norm()
			},
			words: func(x []float64, likely float64) string {
				plain := ""
				if likely > hardlyLikely {
					plain = ", which is hardly plausible"
				}
				return fmt.Sprintf("the height of %s; %.1f mm, not %.1f, above the square's face would explain it%s (measure the step, and give %s)", who, z+x[0], z, plain, flag)
			}}
	}
	var holes []Feature
	var out []cause
	for _, f := range s.Features {
		if f.Kind == KindHole {
			holes = append(holes, f)
			continue
		}
		out = append(out, of("the grille's edge", "--grille-height", k.GrilleHeight, func(id string) bool { return id == f.ID || id == "T" }, f.Z))
	}
	if len(holes) > 0 {
		isHole := func(id string) bool { return slices.ContainsFunc(holes, func(f Feature) bool { return f.ID == id }) }
		out = append(out, of("the faces that the holes are in", "--hole-height", k.HoleHeight, isHole, holes[0].Z))
	}
	return out
}

// explain fits the cause's numbers to the checks; ok is false when they still
// do not all agree.
func (c cause) explain(checks []Check) (e explained, ok bool) {
	x := make([]float64, len(c.u))
	if len(x) > 0 {
		// What one may expect is kept loose, so that it settles what the checks
		// leave open and hardly pulls at the rest.
		const loose = 10
		steps := make([]float64, len(x))
		for i := range steps {
			steps[i] = 1e-3 * c.u[i]
		}
		// All as priors, which are no outliers however far off they are.
		p := lsq.Problem{Priors: len(checks) + len(x), Floor: 1, Alike: 1, Eval: func(x, r []float64) {
			for i, k := range checks {
				r[i] = 2 * (k.Measured - c.moved(x, k)) / k.allowed()
			}
			for i := range x {
				r[len(checks)+i] = x[i] / (loose * c.u[i])
			}
		}}
		res, err := p.Solve(x, steps)
		if err != nil {
			return e, false
		}
		x = res.X
	}
	for _, k := range checks {
		if math.Abs(k.Measured-c.moved(x, k)) > k.allowed() {
			return e, false
		}
	}
	e.cost = c.fixed
	for i := range x {
		e.cost = math.Hypot(e.cost, x[i]/c.u[i])
	}
	e.words = c.words(x, e.cost)
	return e, true
}

// suspect is the one feature in each check that disagrees and in none that
// agrees; none when there are several, or no other check.
func suspect(checks []Check) string {
	in := map[string]int{}
	bad := 0
	for _, c := range checks {
		n := 1
		if c.Agrees {
			n = -len(checks)
		} else {
			bad++
		}
		in[c.From] += n
		in[c.To] += n
	}
	found := ""
	for id, n := range in {
		if n == bad && bad > 0 {
			if found != "" {
				return ""
			}
			found = id
		}
	}
	return found
}

// place is where a feature lies, or the tweeter centre.
func (s *Survey) place(id string) (at Point, z float64) {
	for _, f := range s.Features {
		if f.ID == id || id == "T" && f.Kind == KindGrille {
			at, z = Point{f.X, f.Y}, f.Z
		}
	}
	if id == "T" && s.Tweeter != nil {
		at = Point{s.Tweeter.X, s.Tweeter.Y}
	}
	return at, z
}

func (s *Survey) radius(id string) float64 {
	for _, f := range s.Features {
		if f.ID == id || id == "T" && f.Kind == KindGrille {
			return f.Diameter / 2
		}
	}
	return 0
}

// between is the way from one end of a check to the other.
func (s *Survey) between(c Check) Point {
	from, _ := s.place(c.From)
	to, _ := s.place(c.To)
	return to.Sub(from)
}

// lifted is how far a feature that is high would be found elsewhere with its
// plane dz higher: along its line of sight, towards the camera.
func (s *Survey) lifted(id string, eye Vec3, dz float64, high func(id string) bool) Point {
	if !high(id) {
		return Point{}
	}
	at, z := s.place(id)
	return Point{eye.X, eye.Y}.Sub(at).Mul(dz / (eye.Z - z))
}
