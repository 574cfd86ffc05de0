package plate

import (
	"bytes"
	"math"
	"math/rand/v2"
	"regexp"
	"sort"
	"strings"
	"testing"

	"trimscribe/template"
	"trimscribe/template/internal/outside"
)

// crowd is many parts on sheets: both sides, spacers, seats, foam.
func crowd(t *testing.T, change func(*Settings)) *Plate {
	s := settings(43.6)
	s.Both, s.Quantity, s.Sheet, s.Foam, s.Seat = true, 3, [2]float64{300, 200}, Foam{5, 3}, Seat{52, 3}
	s.Hold, s.Kerf = HoldLockTabs, 0.2
	change(&s)
	return mustDesign(t, dashPod(), s)
}

func mustNest(t *testing.T, p *Plate) []*Sheet {
	t.Helper()
	sheets, err := p.Nest()
	if err != nil {
		t.Fatal(err)
	}
	return sheets
}

func TestNestWithoutOverlap(t *testing.T) {
	for name, p := range map[string]*Plate{
		"sheets of a size":     crowd(t, func(*Settings) {}),
		"as large as it takes": crowd(t, func(s *Settings) { s.Sheet = [2]float64{} }),
		"upright sheets":       crowd(t, func(s *Settings) { s.Sheet = [2]float64{110, 300} }),
	} {
		n := 0
		for _, s := range mustNest(t, p) {
			sheet := template.Rect{X1: s.W, Y1: s.H}.Grow(-p.Settings.Gap + 1e-6)
			for i, part := range s.Parts {
				n++
				if part.Stock != s.Stock {
					t.Errorf("%s: a %s on a sheet of %s", name, part.Name, s.Name())
				}
				if !sheet.Holds(part.Outline.Bounds()) {
					t.Errorf("%s: %s at %v on a sheet of %g x %g", name, part.Name, part.Outline.Bounds(), s.W, s.H)
				}
				for _, other := range s.Parts[:i] {
					samples(part.Outline, func(q point) {
						if d := other.Outline.Dist(q); other.Outline.Holds(q) || d < p.Settings.Gap-1e-6 {
							t.Fatalf("%s: %s and %s are %.2f mm apart", name, part.Name, other.Name, d)
						}
					})
				}
			}
		}
		if want := 6 * 4; n != want { // plate, seat, spacer, foam
			t.Errorf("%s: %d parts laid out, want %d", name, n, want)
		}
	}
	p := crowd(t, func(s *Settings) { s.Sheet = [2]float64{80, 60} })
	if _, err := p.Nest(); err == nil || !strings.Contains(err.Error(), "Smallest change: --sheet ") {
		t.Errorf("too small a sheet: %v", err)
	}
}

// Every kerfed line runs at half the kerf from the nominal one: outlines
// outside, openings inside; it is exact, of lines and arcs, and sound.
func TestKerfIsHalfEverywhere(t *testing.T) {
	p := crowd(t, func(*Settings) {})
	for _, part := range append(p.Extras, p.Plate) {
		k, err := part.Kerfed(0.2)
		if err != nil {
			t.Fatal(err)
		}
		if part.Stock.Soft {
			if k != part {
				t.Error("foam is cut with a knife, and has no kerf")
			}
			continue
		}
		if err := k.Check(); err != nil {
			t.Error(err)
		}
		check := func(nominal, cut Path, outside bool) {
			samples(cut, func(q point) {
				if d := nominal.Dist(q); math.Abs(d-0.1) > 1e-9 || nominal.Holds(q) == outside {
					t.Errorf("%s: %v lies %.9f mm from the nominal line", part.Name, q, d)
				}
			})
		}
		check(part.Outline, k.Outline, true)
		for i := range part.Openings {
			check(part.Openings[i], k.Openings[i], false)
		}
	}
}

// ezdxf (Debian's python3-ezdxf) reads the drawing, audits it without errors,
// and finds lines, arcs and circles only. Joined end to end again, they make
// closed outlines with the areas that the parts have.
func TestDXFIsSound(t *testing.T) {
	const script = `
import sys, json, math, ezdxf
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
out = {"errors": len(audit.errors), "units": doc.units, "types": {}, "areas": [], "order": []}
edges = []
for e in doc.modelspace():
    t, l = e.dxftype(), e.dxf.layer
    out["types"].setdefault(l, {}).setdefault(t, 0)
    out["types"][l][t] += 1
    if l not in out["order"]: out["order"].append(l)
    if l not in ("inside-cuts", "outlines"): continue
    if t == "CIRCLE": out["areas"].append(math.pi * e.dxf.radius ** 2)
    if t == "LINE": edges.append((complex(e.dxf.start.x, e.dxf.start.y), complex(e.dxf.end.x, e.dxf.end.y), 0.0))
    if t == "ARC":
        s, r = math.radians((e.dxf.end_angle - e.dxf.start_angle) % 360), e.dxf.radius
        a, b = e.start_point, e.end_point
        edges.append((complex(a.x, a.y), complex(b.x, b.y), r * r * (s - math.sin(s)) / 2))
near = lambda a, b: abs(a - b) < 1e-6
while edges:
    a, b, seg = edges.pop()
    start, sum = a, seg
    area = (a.conjugate() * b).imag / 2 + seg
    while not near(b, start):
        for i, (c, d, seg) in enumerate(edges):
            if near(c, b): area += (c.conjugate() * d).imag / 2 + seg; b = d; break
            if near(d, b): area += (d.conjugate() * c).imag / 2 - seg; b = c; break
        else:
            out["areas"].append(-1); break
        edges.pop(i)
    out["areas"].append(abs(area))
print(json.dumps(out))
`
	sheets := mustNest(t, crowd(t, func(*Settings) {}))
	var b bytes.Buffer
	if err := template.WriteDXF(&b, CutDrawing(sheets, true)); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Errors, Units int
		Types         map[string]map[string]int
		Areas         []float64
		Order         []string
	}
	outside.Python(t, "ezdxf", script, &got, outside.File(t, "cut.dxf", b.Bytes()))
	if got.Errors != 0 || got.Units != 4 { // 4 is millimetres (DXF reference, $INSUNITS)
		t.Errorf("%d errors, units %d", got.Errors, got.Units)
	}
	for layer, types := range got.Types {
		for kind := range types {
			if kind != "LINE" && kind != "ARC" && kind != "CIRCLE" {
				t.Errorf("layer %s has %s", layer, kind)
			}
		}
	}
	if order := strings.Join(got.Order, " "); order != "sheet-edge notes marks inside-cuts outlines" {
		t.Errorf("order of layers: %s", order)
	}
	var want []float64
	for _, s := range sheets {
		for _, p := range s.Parts {
			want = append(want, p.Outline.Area())
			for _, o := range p.Openings {
				want = append(want, o.Area())
			}
		}
	}
	sort.Float64s(want)
	sort.Float64s(got.Areas)
	if len(want) != len(got.Areas) {
		t.Fatalf("%d closed outlines, want %d", len(got.Areas), len(want))
	}
	for i := range want {
		near(t, "area of an outline", got.Areas[i], want[i], 1e-4)
	}
}

// In SVG a cut is a circle, or a closed path of lines and arcs.
func TestSVGCuts(t *testing.T) {
	var b bytes.Buffer
	if err := template.WriteSVG(&b, CutDrawing(mustNest(t, crowd(t, func(*Settings) {})), false)); err != nil {
		t.Fatal(err)
	}
	s := b.String()
	inside, outer := strings.Index(s, `id="inside-cuts"`), strings.Index(s, `id="outlines"`)
	if inside < 0 || outer < inside {
		t.Fatal("inside cuts do not come first")
	}
	paths := 0
	for _, m := range regexp.MustCompile(`<(\w+) ([^>]*)/>`).FindAllStringSubmatch(s[inside:], -1) {
		switch m[1] {
		case "circle":
		case "path":
			paths++
			if !regexp.MustCompile(`^d="M[-0-9. ]+([LA][-0-9. ]+)+Z"$`).MatchString(m[2]) {
				t.Errorf("path %s", m[2])
			}
		default:
			t.Errorf("a cut is a %s", m[1])
		}
	}
	if paths != 12 { // six plates, their tabbed bores
		t.Errorf("%d paths, want 12", paths)
	}
}

// Strokes of every letter lie in their box.
func TestStrokes(t *testing.T) {
	for r := range strokes {
		m := Mark{Height: 6, Text: string(r)}
		lines := m.Lines()
		if len(lines) == 0 {
			t.Errorf("%c has no stroke", r)
		}
		for _, l := range lines {
			if b := l.Bounds(); b.X0 < -2-1e-9 || b.X1 > 2+1e-9 || b.Y0 < -3-1e-9 || b.Y1 > 3+1e-9 {
				t.Errorf("%c: %v", r, b)
			}
		}
	}
}

// Words lie on the material, and are as readable on a mirrored part.
func TestMarksLieOnMaterial(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 9))
	for range 30 {
		s := settings(30 + rnd.Float64()*20)
		s.Both, s.Thickness = true, 3
		p, err := Design(madeUp(point{}, 44, polar(point{}, 35+30*rnd.Float64(), 1), polar(point{}, 35+30*rnd.Float64(), 3)), s)
		if err != nil {
			continue
		}
		sides := ""
		for _, part := range p.Pieces() {
			for _, m := range part.Marks {
				if m.Angle != 0 {
					t.Errorf("%s is turned", m.Text)
				}
				for _, l := range m.Lines() {
					line := l.(template.Line)
					for _, q := range []point{line.A, line.B} {
						if !part.Outline.Holds(q) || part.Openings[0].Holds(q) {
							t.Errorf("%s is off the material at %v", m.Text, q)
						}
					}
				}
				sides += m.Text + " "
			}
		}
		if !strings.Contains(strings.ToLower(sides), "left") || !strings.Contains(strings.ToLower(sides), "right") {
			t.Errorf("marks: %s", sides)
		}
	}
}
