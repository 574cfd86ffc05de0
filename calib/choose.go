package calib

import (
	"cmp"
	"math"
	"slices"
)

// Candidate is a circle, or another outline, that may be a mounting hole or the
// grille, or the body of a tweeter.
type Candidate struct {
	Circle          // mm, in its own plane
	Kind    string  // KindHole, KindGrille or KindTweeter
	Quality float64 // log odds, from its edge alone, that it is a real opening
	AsFace  float64 // what of Quality is for its inside's being as light as the face, 0 or less
	Inside  float64 // contrast of its middle with the face: 1 as black as can be, 0 as the face, -1 all light
	Boss    bool    // a boss's edge stands round it
	RU      float64 // standard uncertainty of its radius against the others', mm: its edge's noise alone
	Why     string  // its edge in words, for the survey

	Shift HeightShift // how it follows its height; zero where that was solved

	Outline *Outline   // of what is not round, nil else; the circle is then its Round
	HalfU   [2]float64 // standard uncertainty, by its edge alone, of half its long and half its short width, mm
}

// Hints are what the user says of the panel. Zero values say nothing.
type Hints struct {
	Holes          int     // how many mounting holes there are
	HoleDiameter   float64 // roughly, mm
	GrilleDiameter float64 // roughly, mm
	Tweeter        float64 // diameter of a tweeter that sits in the opening, mm
	GrilleHeight   bool    // whether the height of the grille's edge is known
	Pick, Drop     []int   // candidates, by index, that are chosen, or not
}

// Choice is which candidates are the mounting holes and the grille.
type Choice struct {
	Holes  []int // indices of candidates, anticlockwise about the grille from its right
	Grille int   // index, or -1
	Odds   float64
	Doubts []string // sentences; empty when the choice is clear

	Rivals []Rival // of the circle that the holes lie about
	Loose  float64 // where that hardly looks like one: standard uncertainty of its centre, in x and in y, mm

	Near []int // indices of what sets about as likely have besides, holes and grilles

	Missing  []Point    // where holes may have been missed, mm
	Expected []Expected // the same of sets about as likely too
	Why      []string   // of each candidate: why it was chosen, or why not

	// Mocked says that the tweeter itself is in the photo: its body, at index
	// Tweeter, is what the holes lie about.
	Mocked  bool
	Tweeter int
}

// Chosen lists all that is chosen, by index: the holes, the grille, the tweeter.
func (c Choice) Chosen() []int {
	out := slices.Clone(c.Holes)
	if c.Grille >= 0 {
		out = append(out, c.Grille)
	}
	if c.Mocked {
		out = append(out, c.Tweeter)
	}
	return out
}

// Hub is what the holes lie about, by index: the tweeter's body or the grille, or -1.
func (c Choice) Hub() int {
	if c.Mocked {
		return c.Tweeter
	}
	return c.Grille
}

// Choose finds the holes and the grille that best fit the layout prior and
// the hints. Every subset of two to four holes about every grille is weighed
// by its log odds against being strays.
func Choose(cands []Candidate, h Hints) Choice {
	choose := chooseAboutGrille
	if h.Tweeter > 0 {
		choose = chooseAboutTweeter
	}
	c := choose(cands, h)
	c.Doubts = append(c.Doubts, shapeDoubts(cands, h, c)...)
	return c
}

func chooseAboutGrille(cands []Candidate, h Hints) Choice {
	grilles := usable(cands, h, KindGrille)
	var options []Choice
	if len(grilles) == 0 {
		options = layouts(cands, h, -1)
	}
	for _, g := range grilles {
		options = append(options, layouts(cands, h, g)...)
	}
	return decide(cands, h, options)
}

// decide turns the weighed options into a choice, the likeliest of them, and says
// why it is one and what is in doubt.
func decide(cands []Candidate, h Hints, options []Choice) Choice {
	slices.SortStableFunc(options, func(a, b Choice) int { return cmp.Compare(b.Odds, a.Odds) })
	best := Choice{Grille: -1}
	if len(options) > 0 {
		best = options[0]
	}
	sortAbout(cands, &best)
	if h.Holes == 0 && !allPicked(best.Holes, h) {
		best.Missing = missing(cands, best.Holes, best.Grille)
		best.Expected = expected(cands, asLikely(best, options))
	}
	best.Doubts = doubtsOf(cands, h, best, options)
	best.Near = near(best, options)
	best.Rivals, best.Loose = leftOpen(cands, h, best, options)
	best.Why = explain(cands, h, best, options)
	return best
}

// asLikely is those of the options, which are in order of their odds, that are about as likely as the
// best.
func asLikely(best Choice, options []Choice) []Choice {
	n := slices.IndexFunc(options, func(o Choice) bool { return best.Odds-o.Odds > clearOdds })
	if n < 0 {
		return options
	}
	return options[:n]
}

// near lists what the options about as likely as the best have besides.
func near(best Choice, options []Choice) (out []int) {
	for _, o := range asLikely(best, options) {
		for _, i := range o.Chosen() {
			if !slices.Contains(best.Chosen(), i) && !slices.Contains(out, i) {
				out = append(out, i)
			}
		}
	}
	return out
}

// sortAbout puts the holes in order of angle about the grille, or about their
// own middle when there is none.
func sortAbout(cands []Candidate, c *Choice) {
	var middle Point
	for _, i := range c.Holes {
		middle = middle.Add(cands[i].Centre.Mul(1 / float64(len(c.Holes))))
	}
	if c.Grille >= 0 {
		middle = cands[c.Grille].Centre
	}
	angle := func(i int) float64 {
		d := cands[i].Centre.Sub(middle)
		a := math.Atan2(d.Y, d.X)
		if a < 0 {
			a += 2 * math.Pi
		}
		return a
	}
	slices.SortFunc(c.Holes, func(a, b int) int {
		if angle(a) < angle(b) {
			return -1
		}
		return 1
	})
}

// usable lists the candidates of a kind that the hints leave open.
func usable(cands []Candidate, h Hints, kind string) []int {
	var out []int
	picked := slices.ContainsFunc(h.Pick, func(i int) bool { return i >= 0 && i < len(cands) && cands[i].Kind == kind })
	for i, c := range cands {
		if c.Kind != kind || slices.Contains(h.Drop, i) {
			continue
		}
		if picked && kind == KindGrille && !slices.Contains(h.Pick, i) {
			continue
		}
		if !fits(c, h) && !slices.Contains(h.Pick, i) {
			continue
		}
		out = append(out, i)
	}
	return out
}

// hintSpread is by how much the log of a diameter may differ from the one that
// the user gave: roughly is enough.
const hintSpread = 0.15

// fits tells whether a candidate is of the diameter that the user gave.
func fits(c Candidate, h Hints) bool {
	want := h.HoleDiameter
	if c.Kind == KindGrille {
		want = h.GrilleDiameter
	}
	return want == 0 || c.isAbout(want)
}

// isAbout tells whether a candidate, or one of its widths, is roughly so wide.
func (c Candidate) isAbout(want float64) bool {
	near := func(width float64) bool { return math.Abs(math.Log(width/want)) <= hintSpread }
	if c.Outline != nil {
		long, short := c.Outline.Widths()
		return near(long) || near(short)
	}
	return near(2 * c.R)
}
