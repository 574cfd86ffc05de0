package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"encoding/gob"
	"trimscribe/calib"
	"trimscribe/vision"
)

type circ struct{ X, Y, Z, D float64 }
type saved struct{ W, H int; Equiv float64; Sq []calib.SquareEdges }

func main() {
	for _, n := range os.Args[1:] {
		b, _ := os.ReadFile(n + ".json")
		var t struct {
			Status int
			Args []string
			Square *struct{ Size [2]float64 `json:"size_mm"` }
			Camera map[string]any
			Holes []map[string]float64
			Grille map[string]float64
		}
		json.Unmarshal(b, &t)
		if t.Status == 1 || t.Square == nil { continue }
		var s saved
		cache := "/tmp/lens/cache-" + fmt.Sprintf("%x", []byte(n))
		if f, err := os.Open(cache); err == nil { gob.NewDecoder(f).Decode(&s); f.Close() } else {
			p, err := vision.Open(n + ".jpg")
			if err != nil { fmt.Println(err); continue }
			s = saved{p.Width, p.Height, p.FocalEquiv, vision.FindSquares(p)}
			f, _ := os.Create(cache); gob.NewEncoder(f).Encode(s); f.Close()
		}
		if len(s.Sq) == 0 { fmt.Println(n, "none"); continue }
		lens, fu := calib.AssumeLens(s.W, s.H, s.Equiv)
		size := [2]float64{60,60}
		for i, a := range t.Args { if a == "--square-size" { fmt.Sscanf(t.Args[i+1], "%fx%f", &size[0], &size[1]) } }
		sol, err := calib.SolvePose(s.Sq, calib.Assumptions{Lens: lens, FocalU: fu, SquareSize: size, SquareSizeU: 0.05, CentreU: calib.CentreU * float64(max(s.W, s.H)), K1U: calib.AssumedK1U})
		if err != nil { fmt.Println(err); continue }
		g := func(k string) float64 { v, _ := t.Camera[k].(float64); return v }
		var tc calib.Camera
		tc.Lens = calib.Lens{Width: s.W, Height: s.H, Fx: g("fx_px"), Fy: g("fy_px"), Cx: g("cx_px"), Cy: g("cy_px"), K1: g("k1"), K2: g("k2"), K3: g("k3"), P1: g("p1"), P2: g("p2")}
		for i, r := range t.Camera["r"].([]any) { for j, v := range r.([]any) { tc.R[i][j] = v.(float64) } }
		tt := t.Camera["t_mm"].([]any)
		tc.T = calib.Vec3{X: tt[0].(float64), Y: tt[1].(float64), Z: tt[2].(float64)}
		var tr []calib.Traced
		var pts []calib.Point
		hs := t.Holes
		if t.Grille != nil { hs = append(hs, t.Grille) }
		for _, h := range hs {
			c := calib.Circle{Centre: calib.Point{X: h["x_mm"], Y: h["y_mm"]}, R: h["diameter_mm"] / 2}
			tr = append(tr, calib.Traced{Points: tc.Around(c, h["z_mm"]), Z: h["z_mm"]})
			pts = append(pts, c.Centre)
		}
		m, err := calib.Measure(sol, tr)
		if err != nil { fmt.Println(err); continue }
		worst, wu, ratio := 0.0, 0.0, 0.0
		for i := range pts { for j := range i {
			d, u := m.Distance(i, j)
			e := math.Abs(d - pts[i].Dist(pts[j]))
			if e >= worst { worst, wu = e, u }
			ratio = math.Max(ratio, e/u)
		} }
		k1, u, shown := sol.K1()
		fmt.Printf("%-28s k1 %8.4f u %.4f shown %-5v true %.3f  bend %.3f rms %.3f dist err %.4f U95 %.4f ratio %.2f  f %.0f/%.0f\n", n[max(0, len(n)-28):], k1, u, shown, tc.K1, sol.Squares[0].Bend, sol.EdgeRMS, worst, wu, ratio, sol.Camera.Fx, tc.Fx)
	}
}
