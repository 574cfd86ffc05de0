package score

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"trimscribe/calib"
)

func round(x, y, d float64) Circle { return Circle{X: x, Y: y, Diameter: d} }

// A hole that is missed, one that is invented, a grille taken for a hole and
// an error of known size must each show: a scale that weighs everything as
// good proves nothing.
func TestWeigh(t *testing.T) {
	grille := round(10, 10, 44)
	truth := Truth{Holes: []Circle{round(0, 0, 4), round(30, 0, 4), round(0, 40, 4)}, Grille: &grille}
	s := &calib.Survey{
		Features: []calib.Feature{
			{ID: "H1", Kind: calib.KindHole, X: 30.03, Y: 0, Diameter: 4.1},
			{ID: "H2", Kind: calib.KindHole, X: 0, Y: 0.04, Diameter: 3.98, U95: 0.05, DiameterU95: 0.1},
			{ID: "H3", Kind: calib.KindHole, X: 80, Y: 80, Diameter: 4},
			{ID: "G", Kind: calib.KindGrille, X: 10, Y: 10, Diameter: 44},
		},
		Distances: []calib.DistanceEntry{{From: "H1", To: "H2", MM: 30, U95: 0.06}, {From: "G", To: "H2", U95: 0.05}},
	}
	got := Weigh(truth, s)
	if got.Expected != 4 || got.Found != 3 || got.Missed != 1 || got.Invented != 1 {
		t.Errorf("counts: %+v", got)
	}
	worst := Worst(got.Distances)
	for name, v := range map[string][2]float64{
		"centre": {Worst(got.Centres).MM, 0.04}, "diameter": {Worst(got.Diameters).MM, 0.1}, "distance": {worst.MM, math.Hypot(30.03, 0.04) - 30}, "U95": {worst.U95, 0.06},
		"ratio of a distance": {WorstRatio(got.Distances), math.Abs(math.Hypot(10, 9.96)-math.Hypot(10, 10)) / 0.05},
		"ratio of a centre":   {WorstRatio(got.Centres), 0.8}, "ratio of a diameter": {WorstRatio(got.Diameters), 0.2},
	} {
		if math.Abs(v[0]-v[1]) > 1e-9 {
			t.Errorf("%s: got %g, want %g", name, v[0], v[1])
		}
	}
	// A grille where a hole is to be is no hole, and one more hole at a found one's place is invented.
	s.Features = []calib.Feature{{ID: "G", Kind: calib.KindGrille}, {ID: "H1", Kind: calib.KindHole}, {ID: "H2", Kind: calib.KindHole, X: 0.1}}
	if got := Weigh(truth, s); got.Found != 1 || got.Missed != 3 || got.Invented != 2 {
		t.Errorf("kinds: %+v", got)
	}
	// What is half hidden may be missed; a hole may not.
	truth.Grille.Hidden, s.Features = true, s.Features[1:]
	if got := Weigh(truth, s); got.Expected != 3 || got.Found != 1 || got.Missed != 2 {
		t.Errorf("half hidden: %+v", got)
	}
}

// A height that was solved is weighed; one that was told wrong, or not at all,
// is counted apart.
func TestHeights(t *testing.T) {
	hole := Circle{X: 5, Z: 9, Diameter: 4}
	feature := calib.Feature{ID: "H1", Kind: calib.KindHole, X: 5, Z: 9.2, Diameter: 4, HeightSource: "solved"}
	weigh := func() Score {
		return Weigh(Truth{Holes: []Circle{hole}}, &calib.Survey{Features: []calib.Feature{feature}})
	}
	if got := weigh(); got.Solved != 1 || math.Abs(got.Height-0.2) > 1e-9 || got.Untold != 0 {
		t.Errorf("solved: %+v", got)
	}
	feature.HeightSource = ""
	if got := weigh(); got.Solved != 0 || got.Untold != 0 {
		t.Errorf("told: %+v", got)
	}
	feature.Z = 0
	if got := weigh(); got.Untold != 1 {
		t.Errorf("not told: %+v", got)
	}
	// A boss 9 mm high, seen as if in the face, lies millimetres off: it is the
	// right one all the same. No height explains 7 mm.
	feature.X = 8.5
	if got := weigh(); got.Found != 1 || got.Untold != 1 {
		t.Errorf("not told, and 3.5 mm off by it: %+v", got)
	}
	feature.X = 12
	if got := weigh(); got.Found != 0 {
		t.Errorf("7 mm off: %+v", got)
	}
}

// A chamfered hole's mouth is the chamfer's outer edge on the face; a rounded
// one may be anywhere on its rounding; an oval has no diameter; and a tweeter's
// body is neither hole nor grille.
func TestKindsOfEdge(t *testing.T) {
	measured := calib.Feature{ID: "H1", Kind: calib.KindHole, Diameter: 5}
	for name, c := range map[string]struct {
		circle Circle
		kind   string
		want   float64
	}{
		"sharp":   {Circle{Diameter: 4.2}, calib.KindHole, 0.8},
		"chamfer": {Circle{Diameter: 4.2, Mouth: 4.9}, calib.KindHole, 0.1},
		"fillet":  {Circle{Diameter: 4.2, Fillet: 0.5}, calib.KindHole, 0},
		"beyond":  {Circle{Diameter: 4.2, Fillet: 0.3}, calib.KindHole, 0.2},
		"oval":    {Circle{Diameter: 4.2, Shape: "oval"}, calib.KindHole, 0}, // none is weighed
	} {
		got := Weigh(Truth{Holes: []Circle{c.circle}}, &calib.Survey{Features: []calib.Feature{measured}})
		if got.Found != 1 || math.Abs(Worst(got.Diameters).MM-c.want) > 1e-9 {
			t.Errorf("%s: %+v, want %g", name, got, c.want)
		}
	}
	body := round(0, 0, 43.6)
	truth := Truth{Tweeter: &body}
	for kind, found := range map[string]int{calib.KindTweeter: 1, calib.KindGrille: 0} {
		got := Weigh(truth, &calib.Survey{Features: []calib.Feature{{ID: "B", Kind: kind, Diameter: 43.6}}})
		if got.Found != found || got.Missed != 1-found || got.Invented != 1-found {
			t.Errorf("a tweeter found as %s: %+v", kind, got)
		}
	}
}

// A row of several photos, or with other arguments, takes the features of its
// first photo; a photo's own truth need not name it.
func TestReadTruth(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"a.json":       `{"args":["--holes","1"],"holes":[{"x_mm":1,"y_mm":2,"z_mm":9,"diameter_mm":4.2}],"grille":{"x_mm":3,"diameter_mm":44}}`,
		"three.json":   `{"args":[],"status":3,"photos":["a.jpg","b.jpg"]}`,
		"own.json":     `{"photos":["a.jpg","b.jpg"],"holes":[{"x_mm":7}]}`,
		"no-such.json": `{"photos":["missing.jpg"]}`,
		"bad.json":     `{"photos":`,
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	single, err := ReadTruth(filepath.Join(dir, "a.json"))
	if err != nil || !reflect.DeepEqual(single.Photos, []string{"a.jpg"}) || single.Expected() != 2 {
		t.Errorf("%+v, %v", single, err)
	}
	three, err := ReadTruth(filepath.Join(dir, "three.json"))
	if err != nil || three.Status != 3 || len(three.Args) != 0 || len(three.Photos) != 2 || !reflect.DeepEqual(three.Holes, single.Holes) || three.Grille == nil {
		t.Errorf("%+v, %v", three, err)
	}
	own, err := ReadTruth(filepath.Join(dir, "own.json"))
	if err != nil || own.Expected() != 1 || own.Holes[0].X != 7 {
		t.Errorf("%+v, %v", own, err)
	}
	for _, name := range []string{"no-such.json", "bad.json", "none.json"} {
		if _, err := ReadTruth(filepath.Join(dir, name)); err == nil {
			t.Errorf("%s was read", name)
		}
	}
}
