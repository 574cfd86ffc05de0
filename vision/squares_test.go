package vision

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"trimscribe/calib"
)

// truth is what a test photo's maker knows of it (testdata/README.md).
type truth struct {
	Camera struct {
		Width  int           `json:"width_px"`
		Height int           `json:"height_px"`
		Fx     float64       `json:"fx_px"`
		Fy     float64       `json:"fy_px"`
		Cx     float64       `json:"cx_px"`
		Cy     float64       `json:"cy_px"`
		R      [3][3]float64 `json:"r"`
		T      [3]float64    `json:"t_mm"`
	} `json:"camera"`
	Square struct {
		Number int        `json:"number"`
		Size   [2]float64 `json:"size_mm"`
	} `json:"square"`
	Holes  []truthCircle `json:"holes"`
	Grille truthCircle   `json:"grille"`
	Others []truthCircle `json:"others"`
}

type truthCircle struct {
	Kind     string  `json:"kind"`
	X        float64 `json:"x_mm"`
	Y        float64 `json:"y_mm"`
	Z        float64 `json:"z_mm"`
	Diameter float64 `json:"diameter_mm"`
}

func (t truth) camera() calib.Camera {
	c := t.Camera
	return calib.Camera{
		Lens: calib.Lens{Width: c.Width, Height: c.Height, Fx: c.Fx, Fy: c.Fy, Cx: c.Cx, Cy: c.Cy},
		Pose: calib.Pose{R: calib.Mat3(c.R), T: calib.Vec3{X: c.T[0], Y: c.T[1], Z: c.T[2]}},
	}
}

// testPhoto opens a photo of testdata with its truth.
func testPhoto(t *testing.T, name string) (*Photo, truth) {
	t.Helper()
	dir := filepath.Join("..", "testdata")
	p, err := Open(filepath.Join(dir, name+".jpg"))
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(filepath.Join(dir, name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	var tr truth
	if err := json.Unmarshal(b, &tr); err != nil {
		t.Fatal(err)
	}
	return p, tr
}

// The square's frame is found where the ray tracer's camera puts it: each edge
// to a tenth of a pixel but for bloom, its centre line to a thirtieth.
func TestSquareIsWhereTheRayTracerPutIt(t *testing.T) {
	for _, name := range []string{"sail-panel", "door-insert-tilt15", "pillar-portrait"} {
		p, tr := testPhoto(t, name)
		found := FindSquares(p)
		if len(found) != 1 || found[0].Number != tr.Square.Number {
			t.Errorf("%s: found %d squares", name, len(found))
			continue
		}
		cam := tr.camera()
		var sum [4][2]float64 // mean distance outward of each side's outer and inner edge, px
		var n [4][2]float64
		for _, e := range found[0].Edges {
			q := cam.ToPlane(e.Px, 0)
			along := [4]float64{q.Y, q.X, -q.Y, -q.X}[e.Side]
			full, k := tr.Square.Size[(e.Side+1)%2], 0
			half := full / 2
			if e.Inner {
				k, half = 1, full*0.4
			}
			sum[e.Side][k] += (along - half) * cam.PxPerMM(q, 0)
			n[e.Side][k]++
		}
		for side := range 4 {
			if n[side][0] < 100 || n[side][1] < 100 {
				t.Errorf("%s: side %d has %v points", name, side, n[side])
			}
			outer, inner := sum[side][0]/n[side][0], sum[side][1]/n[side][1]
			if math.Abs(outer) > 0.5 || math.Abs(inner) > 0.5 || math.Abs(outer+inner)/2 > 0.034 {
				t.Errorf("%s: side %d: outer edge %.3f px off, inner %.3f", name, side, outer, inner)
			}
		}
	}
}

// A strip of paper right across one side leaves a C of the frame, and on a panel as light as
// the paper there is no outline else; the rest of its edges is found where it was.
func TestSquareWithTapeAcrossItsFrame(t *testing.T) {
	p, tr := testPhoto(t, "sail-panel")
	cam := tr.camera()
	for y := range p.Height {
		for x := range p.Width {
			q := cam.ToPlane(calib.Point{X: float64(x), Y: float64(y)}, 0)
			taped := q.X > -45 && q.X < -20 && math.Abs(q.Y-8) < 7
			if taped || math.Max(math.Abs(q.X), math.Abs(q.Y)) > 36 {
				p.Lin[y*p.Width+x] = 0.7
			}
		}
	}
	found := FindSquares(p)
	if len(found) != 1 || found[0].Number != tr.Square.Number {
		t.Fatalf("found %d squares", len(found))
	}
	if n := len(found[0].Edges); n < 1000 {
		t.Errorf("only %d points of its edges", n)
	}
	for _, e := range found[0].Edges {
		q := cam.ToPlane(e.Px, 0)
		half := tr.Square.Size[(e.Side+1)%2] / 2
		if e.Inner {
			half *= 0.8
		}
		if off := [4]float64{q.Y, q.X, -q.Y, -q.X}[e.Side] - half; math.Abs(off) > 0.3 {
			t.Errorf("side %d: an edge point lies %.2f mm off", e.Side, off)
		}
	}
}

// A picture of something else holds no square: neither a photo without one nor
// made patterns that are nearly one.
func TestNoSquareWhereThereIsNone(t *testing.T) {
	p, err := Open(filepath.Join("..", "testdata", "bus-overhead-no-square.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	if n := len(FindSquares(p)); n != 0 {
		t.Errorf("found %d squares in a photo without one", n)
	}
	good := calib.SquareArt(7)
	for name, code := range map[string][calib.SquareCode][calib.SquareCode]bool{
		"empty frame": {},
		"one cell wrong": func() [calib.SquareCode][calib.SquareCode]bool {
			bad := good
			bad[2][3] = !bad[2][3]
			return bad
		}(),
		"mirrored": mirrored(good),
	} {
		if n := len(FindSquares(drawnSquare(code))); n != 0 {
			t.Errorf("%s: found %d squares", name, n)
		}
	}
	if n := len(FindSquares(drawnSquare(good))); n != 1 {
		t.Errorf("the true one: found %d squares", n)
	}
}

func mirrored(code [calib.SquareCode][calib.SquareCode]bool) (out [calib.SquareCode][calib.SquareCode]bool) {
	for r := range code {
		for c := range code[r] {
			out[r][calib.SquareCode-1-c] = code[r][c]
		}
	}
	return out
}

// drawnSquare is a photo of a square seen straight on, 300 px wide.
func drawnSquare(code [calib.SquareCode][calib.SquareCode]bool) *Photo {
	p := &Photo{Width: 1000, Height: 800, Lin: make([]float32, 1000*800)}
	const cell, left, top = 30, 350, 250
	for y := range p.Height {
		for x := range p.Width {
			v := float32(0.2) // plastic
			c, r := (x-left+2*cell)/cell-2, (y-top+2*cell)/cell-2
			switch {
			case c < -1 || r < -1 || c > 10 || r > 10:
			case c < 0 || r < 0 || c > 9 || r > 9:
				v = 0.8 // paper
			case ring(r, c) == 0:
				v = 0.04
			case ring(r, c) == 1:
				v = 0.8
			case code[r-2][c-2]:
				v = 0.04
			default:
				v = 0.8
			}
			p.Lin[y*p.Width+x] = v
		}
	}
	return p
}
