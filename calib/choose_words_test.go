package calib

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// Two sets that are about as likely are both named, by the circles' numbers,
// with the flags that settle it; and these do.
func TestChooseNamesBothSets(t *testing.T) {
	cands := about([3]float64{0, 36, 4.2}, [3]float64{180, 36, 4.2}, [3]float64{90, 36, 6.2}, [3]float64{270, 36, 6.2})
	got := Choose(cands, Hints{})
	if len(got.Doubts) != 1 {
		t.Fatalf("doubts %q", got.Doubts)
	}
	for _, w := range []string{"circles 2 and 3", "circles 4 and 5", "--pick 2,3", "--pick 4,5", "--hole-diameter", "4.2", "6.2"} {
		if !strings.Contains(got.Doubts[0], w) {
			t.Errorf("%q does not say %q", got.Doubts[0], w)
		}
	}
	if len(got.Near) != 2 || slices.ContainsFunc(got.Near, func(i int) bool { return slices.Contains(got.Chosen(), i) }) {
		t.Errorf("besides %v, about as likely are %v", got.Chosen(), got.Near)
	}
	for _, h := range []Hints{{Pick: []int{1, 2}}, {Pick: []int{3, 4}}, {HoleDiameter: 4.2}, {HoleDiameter: 6.2}} {
		if got := Choose(cands, h); len(got.Doubts) > 0 {
			t.Errorf("%+v leaves %q", h, got.Doubts)
		}
	}
}

// Two grilles likewise.
func TestChooseNamesBothGrilles(t *testing.T) {
	cands := []Candidate{
		{Circle: Circle{Point{0, 0}, 22}, Kind: KindGrille, Quality: 3}, {Circle: Circle{Point{4, 0}, 27}, Kind: KindGrille, Quality: 3},
		{Circle: Circle{Point{-36, 0}, 2}, Kind: KindHole, Quality: 3}, {Circle: Circle{Point{40, 0}, 2}, Kind: KindHole, Quality: 3},
	}
	got := strings.Join(Choose(cands, Hints{GrilleHeight: true}).Doubts, "\n")
	for _, w := range []string{"circle 2", "circle 1", "--pick 2 or --pick 1", "--grille-diameter"} {
		if !strings.Contains(got, w) {
			t.Errorf("%q does not say %q", got, w)
		}
	}
	for _, h := range []Hints{{Pick: []int{0}}, {Pick: []int{1}}, {GrilleDiameter: 44}} {
		if got := Choose(cands, h); len(got.Doubts) > 0 {
			t.Errorf("%+v leaves %q", h, got.Doubts)
		}
	}
}

// A hole that was missed leaves a set that still looks like one: two of three,
// three of four. Panels as one meets them; angles in degrees.
func TestChooseDoubtsPartOfASet(t *testing.T) {
	ring := func(angles ...float64) []Candidate {
		var holes [][3]float64
		for i, a := range angles {
			holes = append(holes, [3]float64{a, 40 + float64(i%3), 4.2})
		}
		return about(holes...)
	}
	for name, c := range map[string]struct {
		angles  []float64
		missing []float64 // where, in degrees
	}{
		"two opposite":           {[]float64{10, 195}, nil},
		"two, 145 apart":         {[]float64{10, 155}, nil},
		"two of three":           {[]float64{10, 128}, []float64{249}},
		"two of four":            {[]float64{10, 102}, []float64{191, 281}},
		"three":                  {[]float64{10, 125, 260}, nil},
		"three, uneven":          {[]float64{10, 97, 225}, nil},
		"three of four":          {[]float64{10, 98, 190}, []float64{279}},
		"four":                   {[]float64{10, 95, 195, 280}, nil},
		"two, over the zero":     {[]float64{-62, 62}, []float64{180}},
		"three, over the zero":   {[]float64{-100, 5, 140}, nil},
		"three of four, at zero": {[]float64{-95, 0, 92}, []float64{179}},
	} {
		got := Choose(ring(c.angles...), Hints{})
		if len(got.Missing) != len(c.missing) || len(got.Doubts) > 0 != (len(c.missing) > 0) {
			t.Errorf("%s: missing at %v, doubts %q", name, got.Missing, got.Doubts)
			continue
		}
		for i, want := range c.missing {
			m := got.Missing[i]
			off := math.Remainder(degrees(math.Atan2(m.Y, m.X))-want, 360)
			if math.Abs(off) > 3 || math.Abs(m.Norm()-41) > 1.5 {
				t.Errorf("%s: missing at %v, want %g degrees", name, m, want)
			}
		}
		if told := Choose(ring(c.angles...), Hints{Holes: len(c.angles)}); len(told.Doubts) > 0 {
			t.Errorf("%s, told so: %q", name, told.Doubts)
		}
	}
}

// The survey says of each circle why it was chosen, or why not.
func TestChooseSaysWhy(t *testing.T) {
	cands := about(
		[3]float64{10, 36, 4.2}, [3]float64{195, 40, 4.2}, // 1, 2
		[3]float64{100, 38, 6.5},  // 3
		[3]float64{300, 130, 4.2}, // 4
		[3]float64{60, 12, 4.2},   // 5
		[3]float64{190, 75, 4.2},  // 6
		[3]float64{215, 45, 4.2},  // 7
	)
	cands[7].Quality = -2.5
	cands = append(cands, Candidate{Circle: Circle{R: 26}, Kind: KindGrille, Quality: -3})
	got := Choose(cands, Hints{})
	for i, want := range []string{
		"chosen: 2 holes of one size", "chosen: same size as H2, opposite side", "chosen: same size as H1, opposite side",
		"wider than H1 and no second of its kind", "too far, 130 mm", "within the grille", "same size as H1, but 75 mm",
		"hardly looks like a hole", "round the grille's",
	} {
		if !strings.Contains(got.Why[i], want) {
			t.Errorf("circle %d: %q does not say %q", i+1, got.Why[i], want)
		}
		if chosen := !strings.HasPrefix(got.Why[i], "not"); chosen != (i < 3) {
			t.Errorf("circle %d: %q", i+1, got.Why[i])
		}
	}
	got = Choose(cands, Hints{Pick: []int{3}, Drop: []int{1}})
	if !strings.Contains(got.Why[3], "as picked") || !strings.Contains(got.Why[1], "as dropped") {
		t.Errorf("%q, %q", got.Why[3], got.Why[1])
	}
}

// A hole of the mounting holes' own kind that lies badly must not be taken into
// the set in silence: three about the grille and a fourth anywhere. Angles in
// degrees, from panels as one meets them.
func TestChooseDoubtsAStrayOfTheSameKind(t *testing.T) {
	silent := 0
	for k := range 36 {
		cands := about([3]float64{20, 39, 4.2}, [3]float64{140, 42, 4.2}, [3]float64{260, 38, 4.2}, [3]float64{10 * float64(k), 60, 4.2})
		if got := Choose(cands, Hints{}); len(got.Doubts) == 0 && len(got.Holes) != 3 {
			silent++
		}
	}
	if silent > 0 {
		t.Errorf("%d of 36 strays are chosen in silence", silent)
	}
}

// A circle whose edge says nothing for it is chosen only with a doubt, and not
// when the user said that it is the one.
func TestChooseDoubtsAWeakEdge(t *testing.T) {
	weak := func(i int) []Candidate {
		cands := about([3]float64{20, 39, 4.2}, [3]float64{140, 42, 4.2}, [3]float64{260, 38, 4.2})
		cands[i].Quality = -2.2
		return cands
	}
	for i, hint := range map[int]Hints{0: {GrilleDiameter: 44}, 3: {Pick: []int{1, 2, 3}}} {
		got := Choose(weak(i), Hints{})
		if want := "hardly looks like"; len(got.Doubts) == 0 || !strings.Contains(got.Doubts[0], want) {
			t.Errorf("circle %d: %q", i+1, got.Doubts)
		}
		if told := Choose(weak(i), hint); len(told.Doubts) > 0 {
			t.Errorf("circle %d, told: %q", i+1, told.Doubts)
		}
	}
}

// The circle at the place where a hole is missing is named, such as the bore
// of a counterbore whose others were taken with their mouths.
func TestChooseNamesWhatLiesWhereAHoleIsMissing(t *testing.T) {
	got := Choose(about([3]float64{60, 32, 8.4}, [3]float64{301, 32, 8.4}, [3]float64{179, 32, 4.2}), Hints{})
	if len(got.Missing) != 1 || !strings.Contains(strings.Join(got.Doubts, "\n"), "circle 4 lies there") {
		t.Errorf("missing at %v, doubts %q", got.Missing, got.Doubts)
	}
}

// Holes of one size at one distance are a set even where only one side of the
// grille has room for them; whether one is a stray cannot be known, and is said.
func TestChooseTakesAnUnevenSet(t *testing.T) {
	cands := about([3]float64{20, 47, 4.2}, [3]float64{88, 50.5, 4.2}, [3]float64{164, 46, 4.2})
	if got := Choose(cands, Hints{}); len(got.Holes) != 3 || len(got.Doubts) == 0 {
		t.Errorf("chose %v, doubts %q", got.Holes, got.Doubts)
	}
	if got := Choose(cands, Hints{Holes: 3}); len(got.Holes) != 3 || len(got.Doubts) > 0 {
		t.Errorf("told three: chose %v, doubts %q", got.Holes, got.Doubts)
	}
}

// A hole that is plainly not of the others' size is said not to be, and doubted: it may stand
// where one of theirs was not seen.
func TestChooseDoubtsAnOddSize(t *testing.T) {
	cands := about([3]float64{90, 45, 4.1}, [3]float64{210, 45, 5.1}, [3]float64{330, 45, 4.1})
	got := Choose(cands, Hints{Holes: 3})
	if len(got.Holes) != 3 {
		t.Fatalf("chose %v", got.Holes)
	}
	if said := strings.Join(got.Doubts, "\n"); !strings.Contains(said, "H2 (circle 3) is 5.1 mm wide and the others about 4.1") {
		t.Errorf("doubts %q", said)
	}
	if why := got.Why[got.Holes[1]]; !strings.Contains(why, "wider than H1 and H3") {
		t.Errorf("the odd one is %q", why)
	}
	if why := got.Why[got.Holes[0]]; !strings.Contains(why, "same size as H3, narrower than H2") {
		t.Errorf("another is %q", why)
	}
	// What the doubt says settles it.
	for _, h := range []Hints{{Holes: 3, Pick: []int{2}}, {Pick: []int{1, 2, 3}}, {Holes: 2, Drop: []int{2}}} {
		if got := Choose(cands, h); len(got.Doubts) > 0 {
			t.Errorf("%+v leaves %q", h, got.Doubts)
		}
	}
}
