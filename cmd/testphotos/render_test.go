package main

import (
	"image"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"trimscribe/calib"
)

// A lone square on a bench, tilted and turned, in a small photo.
const squareScene = `
#include "photo.inc"
#declare Photo_width = 900;
#declare Photo_height = 700;
#include "panel.inc"
Camera(<6, -4, 0>, 110, 13, 40, 21)
Lamp(60, 60, 50, 0.8)
Plastic(0.2, 0, 0)
Square(37, 60, 58, <0, 0>, 0)
Bench(3, Mat(<0.3, 0.3, 0.3>))
Write_truth()
`

// renderText renders a scene that a test wrote, with the real include files.
func renderText(t *testing.T, text string) (image.RGBA64Image, *scene) {
	t.Helper()
	if _, err := exec.LookPath("povray"); err != nil {
		t.Skip("needs Debian's povray")
	}
	dir := t.TempDir()
	for _, name := range []string{"photo.inc", "panel.inc"} {
		b, err := os.ReadFile(filepath.Join("../../testdata/scenes", name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "test.pov"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	picture, s, err := render(dir, "test", 1)
	if err != nil {
		t.Fatal(err)
	}
	return picture, s
}

// The truth's camera must put the frame's edges and corners where the picture
// has them: it guards the conventions (pixel centres, axes, R and T) and that
// anti-aliasing does not shift an edge.
func TestTruthCameraAgainstPicture(t *testing.T) {
	picture, s := renderText(t, squareScene)
	p := newPlane(picture, 1, 1)
	camera := s.Truth.Camera.Calib()
	size := s.Truth.Square.Size
	a, b := size[0]/2, size[1]/2
	corners := []calib.Vec3{{X: -a, Y: b}, {X: a, Y: b}, {X: a, Y: -b}, {X: -a, Y: -b}}

	var lines [4]foundLine
	for i := range corners {
		lines[i] = findEdge(p, camera.Project(corners[i]), camera.Project(corners[(i+1)%4]))
		if math.Abs(lines[i].offset) > 0.02 {
			t.Errorf("edge %d lies %.3f px from where the truth's camera puts it", i, lines[i].offset)
		}
	}
	for i, v := range corners {
		want := camera.Project(v)
		got := lines[(i+3)%4].meet(lines[i])
		if d := got.Dist(want); d > 0.05 {
			t.Errorf("corner %d lies %.3f px from where the truth's camera puts it", i, d)
		}
	}
}

// The picture must show the square that its truth names, the right way up.
func TestArtworkReadsBack(t *testing.T) {
	picture, s := renderText(t, squareScene)
	p := newPlane(picture, 1, 1)
	camera := s.Truth.Camera.Calib()
	size := s.Truth.Square.Size
	var code [calib.SquareCode][calib.SquareCode]bool
	for r := range code {
		for c := range code[r] {
			px := camera.Project(calib.Vec3{
				X: (float64(c) - 2.5) * size[0] / calib.SquareGrid,
				Y: (2.5 - float64(r)) * size[1] / calib.SquareGrid,
			})
			code[r][c] = p.at(px) < 0.2
		}
	}
	number, turns, ok := calib.ReadSquareArt(code)
	if !ok || number != s.Truth.Square.Number || turns != 0 {
		t.Errorf("read number %d, turned %d, ok %v; the truth says %d", number, turns, ok, s.Truth.Square.Number)
	}
}

// A hole's mouth must be the circle that the truth says, also in near black
// plastic, where an adaptive renderer is tempted to skip faint edges.
func TestHoleAgainstPicture(t *testing.T) {
	picture, s := renderText(t, `
#include "photo.inc"
#declare Photo_width = 900;
#declare Photo_height = 700;
#include "panel.inc"
#declare Sheet = 0.05; // so thin that no wall shows
Camera(<40, 10, 0>, 120, 0, 0, 0)
Lamp(60, 30, 10, 1.6) // so low that no light falls on the floor one sees
Plastic(0.03, 0, 0)
Outline(array[4] {<-30, -30>, <90, -30>, <90, 60>, <-30, 60>}, 5, 0)
Mounting_hole(<41.3, 17.7>, 6.2)
Panel()
Write_truth()
`)
	p := newPlane(picture, 1, 1)
	camera := s.Truth.Camera.Calib()
	hole := s.Truth.Holes[0]
	middle := camera.Project(calib.Vec3{X: hole.X, Y: hole.Y, Z: hole.Z})
	want := hole.Diameter / 2 * camera.PxPerMM(calib.Point{X: hole.X, Y: hole.Y}, hole.Z)

	var sum calib.Point
	mean := 0.0
	const rays = 720
	for i := range rays {
		a := 2 * math.Pi * float64(i) / rays
		out := calib.Point{X: math.Cos(a), Y: math.Sin(a)}
		r := want + p.step(middle.Add(out.Mul(want)), out)
		sum = sum.Add(out.Mul(r))
		mean += r / rays
	}
	centre := sum.Mul(2.0 / rays) // first harmonic of the radius: the centre's offset
	if centre.Norm() > 0.05 {
		t.Errorf("the mouth's centre lies %.3f px from the truth", centre.Norm())
	}
	if math.Abs(mean-want) > 0.05 {
		t.Errorf("the mouth's radius is %.3f px, the truth says %.3f", mean, want)
	}
}

// foundLine is an edge found in a picture.
type foundLine struct {
	from, along calib.Point
	offset      float64 // mean distance from the line that was asked for
}

func (l foundLine) meet(m foundLine) calib.Point {
	d := m.from.Sub(l.from)
	det := l.along.X*m.along.Y - l.along.Y*m.along.X
	return l.from.Add(l.along.Mul((d.X*m.along.Y - d.Y*m.along.X) / det))
}

// findEdge fits a line to the steps of light found across the expected line from
// a to b, clear of its ends.
func findEdge(p *plane, a, b calib.Point) foundLine {
	along := b.Sub(a).Mul(1 / a.Dist(b))
	across := calib.Point{X: -along.Y, Y: along.X}
	length := a.Dist(b)
	var n, st, stt, so, sto float64
	for t := 0.1 * length; t < 0.9*length; t++ {
		o := p.step(a.Add(along.Mul(t)), across)
		n, st, stt, so, sto = n+1, st+t, stt+t*t, so+o, sto+t*o
	}
	slope := (n*sto - st*so) / (n*stt - st*st)
	start := (so - slope*st) / n
	return foundLine{
		from:   a.Add(across.Mul(start)),
		along:  along.Add(across.Mul(slope)),
		offset: so / n,
	}
}

// step returns how far from a place, along a direction, a step of light lies:
// by the sum of light between two flat ends, which does not depend on how the
// step is smeared.
func (p *plane) step(at, direction calib.Point) float64 {
	const reach, fine = 3.0, 0.05
	first := p.at(at.Sub(direction.Mul(reach)))
	last := p.at(at.Add(direction.Mul(reach)))
	sum, n := 0.0, 0.0
	for s := -reach; s <= reach; s += fine {
		sum += (p.at(at.Add(direction.Mul(s))) - last) / (first - last)
		n++
	}
	return (sum/n)*2*reach - reach
}

// at returns the light at a place between pixels, bilinear.
func (p *plane) at(q calib.Point) float64 {
	x, y := math.Floor(q.X), math.Floor(q.Y)
	fx, fy := q.X-x, q.Y-y
	v := func(dx, dy int) float64 { return float64(p.light[(int(y)+dy)*p.width+int(x)+dx]) }
	return (v(0, 0)*(1-fx)+v(1, 0)*fx)*(1-fy) + (v(0, 1)*(1-fx)+v(1, 1)*fx)*fy
}
