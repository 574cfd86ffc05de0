package plate

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"trimscribe/template/internal/outside"
	"trimscribe/template/solid"
)

func mustSolids(t *testing.T, p *Plate) []*solid.Mesh {
	t.Helper()
	meshes, err := p.Solids()
	if err != nil {
		t.Fatal(err)
	}
	return meshes
}

// variants are plates of every kind that has a solid of its own.
func variants(t *testing.T) map[string]*Plate {
	plates := map[string]*Plate{}
	add := func(name string, change func(*Settings)) {
		s := settings(43.6)
		change(&s)
		plates[name] = mustDesign(t, sailPanel(), s)
	}
	add("plain", func(s *Settings) {})
	add("mirrored slots", func(s *Settings) { s.Mirror, s.Slot = true, 1.5 })
	add("tabs", func(s *Settings) { s.Hold = HoldLockTabs })
	add("thin tabs", func(s *Settings) { s.Hold, s.Tabs.Thickness = HoldLockTabs, 1.8 })
	add("thin tab, mirrored", func(s *Settings) {
		s.Hold, s.Tabs.Thickness, s.Tabs.Count, s.Mirror, s.Tabs.Angle = HoldLockTabs, 1.8, 1, true, 0
	})
	add("screws", func(s *Settings) { s.Hold, s.RingHoles = HoldScrews, RingHoles{4, 54, 3.2, 10} })
	add("seat", func(s *Settings) { s.Seat = Seat{52, 2} })
	add("seat, screws, round", func(s *Settings) {
		s.Seat, s.Hold, s.RingHoles, s.RoundOver = Seat{58, 2}, HoldScrews, RingHoles{3, 51.5, 2.5, 40}, 1
	})
	add("round", func(s *Settings) { s.RoundOver, s.Thickness = 1.5, 5 })
	return plates
}

// The volume is area times thickness to what the flats of the arcs take off
// or put on, less the round-over by Pappus's theorem along each of the
// outline's pieces. admesh finds one closed part.
func TestSolidsAreSound(t *testing.T) {
	for name, p := range variants(t) {
		m := mustSolids(t, p)[0]
		if err := m.Check(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		s := &p.Settings
		want := p.Plate.Area() * s.Thickness
		tol := p.Plate.CutLength() * s.Thickness * ChordError
		for _, e := range p.Extras {
			want += e.Area() * e.Stock.Thickness
			tol += e.CutLength() * e.Stock.Thickness * ChordError
		}
		if s.Tabs.Thickness > 0 {
			want += (p.Plate.Openings[0].Area() - math.Pi*p.Bore*p.Bore/4) * (s.Thickness - s.Tabs.Thickness)
		}
		if r := s.RoundOver; r > 0 {
			// What rounding takes off a square edge has the area (1 - pi/4) r² and,
			// by the square's moment less the quarter disc's, its centroid
			// r (5/6 - pi/4) / (1 - pi/4) in from the edge.
			off := (1 - math.Pi/4) * r * r
			in := r * (5.0/6 - math.Pi/4) / (1 - math.Pi/4)
			for _, seg := range p.Plate.Outline {
				l := seg.Length()
				if !seg.Straight() {
					l += -in * seg.Sweep // the centroid's way round the arc
				}
				want -= off * l
			}
		}
		near(t, name+": volume", m.Volume(), want, tol)

		var b bytes.Buffer
		if err := solid.WriteSTL(&b, "test", []*solid.Mesh{m}); err != nil {
			t.Fatal(err)
		}
		report := string(outside.Run(t, "admesh", outside.File(t, "plate.stl", b.Bytes())))
		for _, line := range []string{`Number of parts\s+:\s+1\b`, `Total disconnected facets\s+:\s+0\s+0`, `Degenerate facets\s+:\s+0\b`,
			`Edges fixed\s+:\s+0\b`, `Facets removed\s+:\s+0\b`, `Facets added\s+:\s+0\b`, `Facets reversed\s+:\s+0\b`, `Normals fixed\s+:\s+0\b`} {
			if !regexp.MustCompile(line).MatchString(report) {
				t.Errorf("%s: admesh does not say %s:\n%s", name, line, report)
			}
		}
		if v := regexp.MustCompile(`Volume\s+:\s+([0-9.]+)`).FindStringSubmatch(report); v == nil {
			t.Errorf("%s: no volume in %s", name, report)
		} else if got, _ := strconv.ParseFloat(v[1], 64); math.Abs(got-m.Volume()) > 1e-5*got {
			t.Errorf("%s: admesh finds %g mm³, we %g", name, got, m.Volume())
		}
	}
}

// A plain ring with its outer top edge rounded over, against Pappus's theorem
// for the whole profile: the ring, and a ring of rounded profile outside it.
func TestRoundOverByPappus(t *testing.T) {
	s := settings(40)
	s.Clearance, s.Thickness, s.RoundOver, s.Wall, s.ScrewHole, s.EarWidth, s.LeastWall = 0, 4, 1.5, 20, 3, 5, 2
	p := mustDesign(t, madeUp(point{}, 44, point{X: 30}), s)
	if !p.Plate.Outline.isCircle() {
		t.Fatal("the ear was to merge with the ring")
	}
	r, h, R := 1.5, 4.0, 40.0
	// Profile: from the bore at 20 to 38.5 full height; beyond it 2.5 high, and
	// a quarter disc with its centroid 4r/3pi out (any handbook).
	pappus := math.Pi*(38.5*38.5-20*20)*h + math.Pi*(R*R-38.5*38.5)*(h-r) + math.Pi*r*r/4*2*math.Pi*(38.5+4*r/(3*math.Pi))
	pappus -= math.Pi * 1.5 * 1.5 * h // the screw hole
	m := mustSolids(t, p)[0]
	near(t, "volume", m.Volume(), pappus, ChordError*2*math.Pi*(40+20+1.5)*4)
}

// The 3MF is a package with the parts that the core specification asks for,
// and its model has the meshes as they are.
func Test3MF(t *testing.T) {
	s := settings(43.6)
	s.Both, s.Seat = true, Seat{52, 2}
	p := mustDesign(t, dashPod(), s)
	meshes := mustSolids(t, p)
	var b bytes.Buffer
	if err := solid.Write3MF(&b, "sail <panel>", "trimscribe", meshes); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	var model struct {
		Unit    string `xml:"unit,attr"`
		Objects []struct {
			ID       int    `xml:"id,attr"`
			Name     string `xml:"name,attr"`
			Vertices []struct {
				X float64 `xml:"x,attr"`
				Y float64 `xml:"y,attr"`
				Z float64 `xml:"z,attr"`
			} `xml:"mesh>vertices>vertex"`
			Triangles []struct {
				A int `xml:"v1,attr"`
				B int `xml:"v2,attr"`
				C int `xml:"v3,attr"`
			} `xml:"mesh>triangles>triangle"`
		} `xml:"resources>object"`
		Items []struct {
			Object int `xml:"objectid,attr"`
		} `xml:"build>item"`
	}
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
		if f.Name != "3D/3dmodel.model" {
			continue
		}
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if err := xml.NewDecoder(r).Decode(&model); err != nil {
			t.Fatal(err)
		}
	}
	if got := strings.Join(names, " "); got != "[Content_Types].xml _rels/.rels 3D/3dmodel.model" {
		t.Errorf("parts: %s", got)
	}
	if model.Unit != "millimeter" || len(model.Objects) != 4 || len(model.Items) != 4 {
		t.Fatalf("unit %s, %d objects, %d items", model.Unit, len(model.Objects), len(model.Items))
	}
	var objects []string
	for i, o := range model.Objects {
		objects = append(objects, o.Name)
		if len(o.Vertices) != len(meshes[i].Vertices) || len(o.Triangles) != len(meshes[i].Triangles) {
			t.Fatalf("object %d has %d vertices and %d triangles", o.ID, len(o.Vertices), len(o.Triangles))
		}
		for j, v := range meshes[i].Vertices {
			if g := o.Vertices[j]; math.Abs(g.X-v.X)+math.Abs(g.Y-v.Y)+math.Abs(g.Z-v.Z) > 2e-6 {
				t.Fatalf("object %d, vertex %d: %v, want %v", o.ID, j, g, v)
			}
		}
	}
	if got := fmt.Sprint(objects); got != "[left plate spacer H3 right plate spacer H3]" {
		t.Errorf("objects: %s", got)
	}
}
