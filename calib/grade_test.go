package calib

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// gradeScene is a made photo: three holes about a grille, so far from the
// square, seen by a camera.
type gradeScene struct {
	eye, target Vec3
	hub         Point
	noise       float64 // of edges and rims, px
	focal       float64 // px
	focalU      float64
	heightU     float64                           // of each circle by itself, mm
	bend        func(x float64) float64           // the sheet's height along its x, mm
	hidden      func(e EdgePoint, x float64) bool // whether a point at x of 0 to 1 along its edge is not traced
	blur        float64
}

func plainScene() gradeScene {
	return gradeScene{eye: Vec3{60, 40, 420}, target: Vec3{50, 40, 0}, hub: Point{80, 50}, noise: 0.1, focal: 3100, focalU: 0.02, blur: 0.8}
}

func (g gradeScene) grade(t *testing.T) (about []string, all []Advice) {
	t.Helper()
	rnd := rand.New(rand.NewPCG(3, 4))
	cam := lookAt(testLens(g.focal), g.eye, g.target, 0.2)
	edges := seenSquare(cam, 1, Point{}, 0, [2]float64{60, 60}, 0.04, g.noise, rnd)
	for i := range edges.Edges {
		e := &edges.Edges[i]
		if g.bend != nil { // a point of the sheet is higher: seen there
			at := cam.ToPlane(e.Px, 0)
			flat := cam.Project(Vec3{at.X, at.Y, 0})
			e.Px = e.Px.Add(cam.Project(Vec3{at.X, at.Y, g.bend(at.X)}).Sub(flat))
		}
	}
	if g.hidden != nil {
		k := -1
		edges.Edges = slices.DeleteFunc(edges.Edges, func(e EdgePoint) bool {
			k++
			return g.hidden(e, float64(k%200)/200)
		})
	}
	a := exact(testLens(g.focal))
	a.FocalU = g.focalU
	s, err := SolvePose([]SquareEdges{edges}, a)
	if err != nil {
		t.Fatal(err)
	}
	var circles []Traced
	for _, c := range []Circle{{Point{40, 5}, 2.1}, {Point{-38, 12}, 2.1}, {Point{3, -41}, 2.1}, {Point{}, 22}} {
		c.Centre = c.Centre.Add(g.hub)
		tr := Traced{HeightU: g.heightU}
		for _, px := range cam.Around(c, 0) {
			tr.Points = append(tr.Points, px.Add(Point{g.noise * rnd.NormFloat64(), g.noise * rnd.NormFloat64()}))
		}
		circles = append(circles, tr)
	}
	all = Grade(s, circles, g.blur)
	for _, v := range all {
		about = append(about, v.About)
	}
	if testing.Verbose() {
		u, _ := leastSure(s, circles)
		p := stage(s, circles)
		base, _ := p.u95()
		t.Logf("U95 %.3f, staged %.3f", u, base)
		for _, m := range mendings(p, g.blur) {
			v, _ := m.photo.u95()
			t.Logf("   %-9s %.3f", m.about, v)
		}
	}
	return about, all
}

// Each fault is made, and gets its own line; a plain photo gets none.
func TestGrade(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change func(g *gradeScene)
		want   []string // that must be among the advice
		never  []string
	}{
		"plain":                {func(g *gradeScene) {}, nil, []string{CostTilt, CostNear, CostPixels, CostBlur, CostUnseen, CostBent, CostFarApart}},
		"plain, a little tilt": {func(g *gradeScene) { g.eye.X += 60 }, nil, []string{CostTilt, CostNear, CostPixels, CostBlur, CostUnseen, CostBent, CostFarApart}},
		"tilted, lens unsure":  {func(g *gradeScene) { g.eye = Vec3{300, 40, 300}; g.focalU = 0.02 }, []string{CostTilt}, []string{CostBent, CostUnseen}},
		"near, heights unsure": {func(g *gradeScene) { g.eye.Z, g.focal, g.heightU = 180, 1400, 0.5 }, []string{CostNear}, []string{CostBent, CostUnseen}},
		"far, few pixels":      {func(g *gradeScene) { g.focal, g.noise = 400, 0.3 }, []string{CostPixels}, []string{CostBent, CostUnseen, CostTilt}},
		"blurred":              {func(g *gradeScene) { g.noise, g.blur, g.focal = 0.9, 6, 1500 }, []string{CostBlur}, []string{CostBent, CostUnseen}},
		"half hidden": {func(g *gradeScene) {
			g.noise = 0.6
			g.hidden = func(e EdgePoint, x float64) bool { return e.Side != Left && x > 0.1 }
		}, []string{CostUnseen}, nil},
		"bent":                {func(g *gradeScene) { g.bend = func(x float64) float64 { return 3 * math.Sin(x/4) } }, []string{CostBent}, []string{CostUnseen}},
		"far from the square": {func(g *gradeScene) { g.hub = Point{260, 120}; g.noise = 0.3 }, []string{CostFarApart}, []string{CostBent, CostUnseen}},
	} {
		g := plainScene()
		c.change(&g)
		t.Log(name)
		about, all := g.grade(t)
		for _, w := range c.want {
			if !slices.Contains(about, w) {
				t.Errorf("%s: advice on %v, none on %s", name, about, w)
			}
		}
		for _, n := range c.never {
			if slices.Contains(about, n) {
				t.Errorf("%s: advice on %v", name, about)
			}
		}
		for _, a := range all {
			if !(a.Mended <= 0.75*a.U95) || a.U95 <= 0.25 || !strings.Contains(a.Text, "good to") {
				t.Errorf("%s: %+v", name, a)
			}
		}
	}
}
