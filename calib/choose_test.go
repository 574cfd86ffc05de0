package calib

import (
	"math"
	"slices"
	"testing"
)

// about lays holes about a grille of 44 mm at the origin: each is angle in
// degrees, distance and diameter in mm.
func about(holes ...[3]float64) []Candidate {
	cands := []Candidate{{Circle: Circle{R: 22}, Kind: KindGrille, Quality: 3}}
	for _, h := range holes {
		s, c := math.Sincos(h[0] * math.Pi / 180)
		cands = append(cands, Candidate{Circle: Circle{Point{h[1] * c, h[1] * s}, h[2] / 2}, Kind: KindHole, Quality: 3})
	}
	return cands
}

// collared is a grille with another circle about its axis, seen so far beside.
func collared(apart, r float64) []Candidate {
	cands := about([3]float64{10, 40, 4.2}, [3]float64{200, 42, 4.2})
	return append(cands, Candidate{Circle: Circle{Point{apart, 0}, r}, Kind: KindGrille, Quality: 1})
}

// walled is a grille 300 mm from the camera, which looks along its wall, and a circle about
// its axis so many mm deeper.
func walled(deep, r float64) []Candidate {
	cands := collared(0.1*deep, r)
	cands[0].Shift = HeightShift{X: 0.1, Diameter: -2 * cands[0].R / 300}
	return cands
}

// raised is a grille on the top of a collar, seen slid to the left by mm, with holes at
// these angles about the place below it and perhaps the collar's foot.
func raised(mm float64, foot bool, angles ...float64) []Candidate {
	var holes [][3]float64
	for _, a := range angles {
		holes = append(holes, [3]float64{a, 40, 4.2})
	}
	cands := about(holes...)
	cands[0].Centre.X = -mm
	cands[0].Shift = HeightShift{X: 0.3, Y: 0.05}
	if foot {
		cands = append(cands, Candidate{Circle: Circle{R: 25}, Kind: KindGrille, Quality: -2.5})
	}
	return cands
}

func faint() []Candidate {
	cands := about([3]float64{10, 40, 4.2}, [3]float64{200, 42, 4.2})
	cands[0].Quality = -0.5
	return cands
}

func chosen(c Choice) []int {
	out := slices.Clone(c.Holes)
	slices.Sort(out)
	return out
}

// Mounting holes are of one size and lie about the grille; common practice, so
// each case is a panel as one meets it.
func TestChooseHoles(t *testing.T) {
	for name, c := range map[string]struct {
		cands  []Candidate
		hints  Hints
		want   []int
		doubts bool
	}{
		"two, opposite":                    {about([3]float64{10, 36, 4.2}, [3]float64{200, 40, 4.2}), Hints{}, []int{1, 2}, false},
		"three, not quite even":            {about([3]float64{80, 36, 4.2}, [3]float64{210, 40, 4.15}, [3]float64{330, 34, 4.22}), Hints{}, []int{1, 2, 3}, false},
		"four":                             {about([3]float64{45, 40, 4}, [3]float64{130, 42, 4}, [3]float64{230, 40, 4}, [3]float64{310, 43, 4}), Hints{}, []int{1, 2, 3, 4}, false},
		"a stray of another size":          {about([3]float64{10, 36, 4.2}, [3]float64{200, 40, 4.2}, [3]float64{100, 38, 6.5}), Hints{}, []int{1, 2}, false},
		"a stray of that size, far":        {about([3]float64{10, 36, 4.2}, [3]float64{130, 40, 4.2}, [3]float64{250, 36, 4.2}, [3]float64{300, 90, 4.2}), Hints{}, []int{1, 2, 3}, false},
		"two pairs are as likely":          {about([3]float64{0, 36, 4.2}, [3]float64{180, 36, 4.2}, [3]float64{90, 36, 6.2}, [3]float64{270, 36, 6.2}), Hints{}, nil, true},
		"the diameter settles it":          {about([3]float64{0, 36, 4.2}, [3]float64{180, 36, 4.2}, [3]float64{90, 36, 6.2}, [3]float64{270, 36, 6.2}), Hints{HoleDiameter: 6}, []int{3, 4}, false},
		"a pick settles it":                {about([3]float64{0, 36, 4.2}, [3]float64{180, 36, 4.2}, [3]float64{90, 36, 6.2}, [3]float64{270, 36, 6.2}), Hints{Pick: []int{3}}, []int{3, 4}, false},
		"a drop settles it":                {about([3]float64{0, 36, 4.2}, [3]float64{180, 36, 4.2}, [3]float64{90, 36, 6.2}, [3]float64{270, 36, 6.2}), Hints{Drop: []int{1}}, []int{3, 4}, false},
		"the number settles it":            {about([3]float64{45, 40, 4}, [3]float64{130, 42, 4}, [3]float64{230, 40, 4}, [3]float64{310, 43, 4}, [3]float64{270, 41, 4}, [3]float64{90, 41, 4}), Hints{Holes: 6}, []int{1, 2, 3, 4, 5, 6}, false},
		"one hole is no set":               {about([3]float64{45, 40, 4}), Hints{}, nil, true},
		"one hole is one when so told":     {about([3]float64{45, 40, 4}), Hints{Holes: 1}, []int{1}, false},
		"none":                             {about(), Hints{}, nil, true},
		"more expected than there are":     {about([3]float64{10, 36, 4.2}, [3]float64{200, 40, 4.2}), Hints{Holes: 3}, nil, true},
		"a hole inside the grille is none": {about([3]float64{10, 36, 4.2}, [3]float64{200, 40, 4.2}, [3]float64{105, 12, 4.2}), Hints{}, []int{1, 2}, false},
		"a faint grille":                   {faint(), Hints{}, []int{1, 2}, true},
		"its diameter is known":            {faint(), Hints{GrilleDiameter: 44}, []int{1, 2}, false},
		"perhaps a collar's edge":          {collared(0.4, 19), Hints{}, []int{1, 2}, true},
		"its wall's far end":               {walled(6, 22*(1-6/300.0)), Hints{}, []int{1, 2}, false},
		"that of a chamfered wall":         {walled(6, 22*(1-6/300.0)-0.8), Hints{}, []int{1, 2}, false},
		"a narrower opening as deep":       {walled(6, 19), Hints{}, []int{1, 2}, true},
		"a ring that would stand higher":   {walled(-6, 19), Hints{}, []int{1, 2}, false},
		"its height is known":              {collared(0.4, 19), Hints{GrilleHeight: true}, []int{1, 2}, false},
		"a ring far within":                {collared(0.4, 12), Hints{}, []int{1, 2}, false},
		"a ring in the same plane":         {collared(0.02, 19), Hints{}, []int{1, 2}, false},
		"a collar's foot round it":         {raised(1.5, true, 0, 180), Hints{}, []int{1, 2}, true},
		"a collar's foot, height known":    {raised(1.5, true, 0, 180), Hints{GrilleHeight: true}, []int{1, 2}, false},
		"beside four even holes":           {raised(1.5, false, 45, 135, 225, 315), Hints{}, []int{1, 2, 3, 4}, true},
		"beside four even holes, by less":  {raised(0.5, false, 45, 135, 225, 315), Hints{}, []int{1, 2, 3, 4}, false},
		"beside four even holes, upwards":  {raised(-1.5, false, 45, 135, 225, 315), Hints{}, []int{1, 2, 3, 4}, false},
		"beside three uneven holes":        {raised(1.5, false, 90, 200, 340), Hints{}, []int{1, 2, 3}, false},
		"a collar round it":                {collared(0.4, 25), Hints{}, []int{1, 2}, false},
	} {
		got := Choose(c.cands, c.hints)
		if (len(got.Doubts) > 0) != c.doubts {
			t.Errorf("%s: doubts %q", name, got.Doubts)
		}
		if c.want != nil && !slices.Equal(chosen(got), c.want) {
			t.Errorf("%s: chose %v, want %v", name, chosen(got), c.want)
		}
		if got.Grille != 0 {
			t.Errorf("%s: the grille is %d", name, got.Grille)
		}
	}
}

// Holes made by one pin look alike inside, and most sets lie at one distance
// from the grille's centre: what differs in either is a stray, if of the same size too.
func TestChooseHolesThatAreAlike(t *testing.T) {
	inside := func(cands []Candidate, dark ...float64) []Candidate {
		for i, v := range dark {
			cands[i+1].Inside = v
		}
		return cands
	}
	onBoss := func(cands []Candidate, of ...int) []Candidate {
		for _, i := range of {
			cands[i].Boss = true
		}
		return cands
	}
	// What lies behind a dark panel is as dark: then no hole's edge shows well, and none is
	// fitted. The last is the plain shadow of a post.
	asFace := func(cands []Candidate) []Candidate {
		for i := 1; i < len(cands)-1; i++ {
			cands[i].Quality, cands[i].AsFace, cands[i].RU = -3, -2.8, 0.1
		}
		return cands
	}
	// Light falls on one's floor, so that it is no darker than the face.
	lit := func(cands []Candidate, i int) []Candidate {
		cands[i].Quality, cands[i].AsFace = -2.2, -1.8
		return cands
	}
	evenly := [][3]float64{{40, 45, 6.2}, {128, 43, 6.37}, {221, 44, 5.93}, {310, 45, 5.49}, {30, 42, 6.2}}
	four := [][3]float64{{80, 36, 4.2}, {200, 39, 4.21}, {320, 37, 4.2}, {245, 47, 4.19}}
	three := [][3]float64{{80, 36, 6.2}, {210, 36, 6.22}, {320, 35, 6.21}, {20, 60, 6.15}}
	// A fit that is hardly certain of how wide a hole is.
	uncertain := func(cands []Candidate, i int, u float64) []Candidate {
		cands[i].RU = u
		return cands
	}
	for name, c := range map[string]struct {
		cands  []Candidate
		want   []int
		doubts bool
	}{
		"one of uncertain width":         {uncertain(about([3]float64{52, 60, 5.15}, [3]float64{142, 60, 5.19}, [3]float64{232, 60, 5.15}, [3]float64{322, 60, 4.6}), 4, 0.2), []int{1, 2, 3, 4}, false},
		"screws' heads, light inside":    {inside(about([3]float64{30, 45, 3.9}, [3]float64{180, 45, 3.9}, [3]float64{70, 41, 6.7}, [3]float64{250, 42, 6.6}), 0.85, 0.8, -0.5, -0.3), []int{1, 2}, false},
		"a blind hole farther out":       {inside(about(three...), 0.82, 0.86, 0.83, 0.4), []int{1, 2, 3}, false},
		"light on one's floor":           {lit(about(three[:3]...), 2), []int{1, 2, 3}, false},
		"one of them holds a screw":      {inside(about(three[:3]...), 0.82, 0.86, -0.4), []int{1, 2, 3}, false},
		"a tower's hole among them":      {onBoss(about(four...), 4), []int{1, 2, 3}, false},
		"a stray among bosses":           {onBoss(about(four...), 1, 2, 3), []int{1, 2, 3}, false},
		"all on bosses":                  {onBoss(about(three[:3]...), 1, 2, 3), []int{1, 2, 3}, false},
		"one boss without contrast":      {onBoss(about(three[:3]...), 1, 2), []int{1, 2, 3}, false},
		"uneven, one nearer":             {about([3]float64{103, 34.7, 5.6}, [3]float64{208, 29, 5.59}, [3]float64{315, 34.5, 5.59}), []int{1, 2, 3}, false},
		"one wider, more evenly placed":  {about([3]float64{10, 36, 4.2}, [3]float64{80, 36, 4.2}, [3]float64{200, 36, 4.21}, [3]float64{290, 36, 4.2}, [3]float64{105, 36, 4.36}), []int{1, 2, 3, 4}, true},
		"two alike, two far and roughly": {about([3]float64{156, 30.2, 4.29}, [3]float64{359, 28.9, 4.28}, [3]float64{131, 61.6, 6.99}, [3]float64{307, 63, 6.85}), []int{1, 2}, false},
		"as dark inside as the face":     {asFace(about(evenly...)), []int{1, 2, 3, 4}, true},
		"opposite, and one twice as far": {about([3]float64{300, 36, 5.8}, [3]float64{120, 36.5, 5.8}, [3]float64{118, 66, 5.85}), []int{1, 2}, false},
	} {
		got := Choose(c.cands, Hints{})
		if !slices.Equal(chosen(got), c.want) || (len(got.Doubts) > 0) != c.doubts {
			t.Errorf("%s: chose %v, doubts %q", name, chosen(got), got.Doubts)
		}
	}
}

// Two or more holes that go together are a set, unless one hardly looks like a hole;
// which of two sets it is has no say.
func TestHasSet(t *testing.T) {
	pair := [][3]float64{{10, 36, 4.2}, {200, 40, 4.2}}
	weak := about(pair...)
	weak[2].Quality = -2.5
	scattered := about([3]float64{10, 36, 4.2}, [3]float64{30, 90, 6.5})
	for name, c := range map[string]struct {
		cands []Candidate
		want  bool
	}{
		"two, opposite":                   {about(pair...), true},
		"two pairs are as likely":         {about([3]float64{0, 36, 4.2}, [3]float64{180, 36, 4.2}, [3]float64{90, 36, 6.2}, [3]float64{270, 36, 6.2}), true},
		"one of two hardly is a hole":     {weak, false},
		"two that have nothing in common": {scattered, false},
		"one":                             {about(pair[0]), false},
		"none":                            {about(), false},
		"two about a faint grille":        {faint(), true},
	} {
		if got := HasSet(c.cands); got != c.want {
			t.Errorf("%s: has a set: %v", name, got)
		}
	}
}
