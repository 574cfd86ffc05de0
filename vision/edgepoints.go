package vision

import (
	"math"
	"slices"

	"gocv.io/x/gocv"

	"trimscribe/calib"
)

// edgeSigma is the Gaussian that edges are looked for behind, px of the view:
// little enough to keep a rib's two sides apart.
const edgeSigma = 1.2

// What makes an edge point, in grey levels (of 255) a pixel. Plain plastic is
// mostly noise, a mesh or foam mostly texture: the median change round a place
// tells how much of it is usual there.
const (
	weakEdge   = 2.5 // times the usual
	strongEdge = 2.0 // times a weak one
	leastEdge  = 0.7
)

// edgePoints is the edge points of a view, each linked to the next along its
// edge with the lighter side to the left: F. Devernay's way (INRIA RR-2724, 1995), as R. Grompone
// von Gioi and G. Randall describe it (Image Processing On Line 7 (2017) 347).
type edgePoints struct {
	view       flat
	at         []calib.Point // px of the view, sub-pixel
	dir        []calib.Point // of the gradient, unit
	strength   []float32     // of the gradient, in the least that makes an edge here
	cell       []int32       // for each pixel of the view the point in it, or -1
	next, prev []int32       // or -1
}

func findEdgePoints(view flat) *edgePoints {
	e := &edgePoints{view: view, cell: make([]int32, view.w*view.h)}
	for i := range e.cell {
		e.cell[i] = -1
	}
	gx, gy := smoothGradient(view)
	mag := make([]float32, len(gx))
	Parallel(view.h, func(y int) {
		for i := y * view.w; i < (y+1)*view.w; i++ {
			mag[i] = float32(math.Hypot(float64(gx[i]), float64(gy[i])))
		}
	})
	usual := usualChange(view, mag)
	for y := 2; y < view.h-2; y++ {
		for x := 2; x < view.w-2; x++ {
			i := y*view.w + x
			m := mag[i]
			if m < leastEdge {
				continue
			}
			limit := max(leastEdge, weakEdge*usual.at(x, y))
			if m < limit {
				continue
			}
			step, along := 1, calib.Point{X: 1}
			if math.Abs(float64(gy[i])) > math.Abs(float64(gx[i])) {
				step, along = view.w, calib.Point{Y: 1}
			}
			a, c := mag[i-step], mag[i+step]
			if m < a || m <= c {
				continue
			}
			off := 0.5 * float64(a-c) / float64(a-2*m+c)
			e.cell[i] = int32(len(e.at))
			e.at = append(e.at, calib.Point{X: float64(x), Y: float64(y)}.Add(along.Mul(off)))
			e.dir = append(e.dir, calib.Point{X: float64(gx[i] / m), Y: float64(gy[i] / m)})
			e.strength = append(e.strength, m/limit)
		}
	}
	e.link()
	return e
}

// smoothGradient returns the change per pixel along x and y behind the Gaussian.
func smoothGradient(view flat) (x, y []float32) {
	m, err := gocv.NewMatFromBytes(view.h, view.w, gocv.MatTypeCV32F, floatBytes(view.pix))
	if err != nil {
		panic(err) // the sizes are ours
	}
	defer m.Close()
	soft, gx, gy := gocv.NewMat(), gocv.NewMat(), gocv.NewMat()
	defer soft.Close()
	defer gx.Close()
	defer gy.Close()
	gocv.GaussianBlur(m, &soft, gocvPoint(0), edgeSigma, edgeSigma, gocv.BorderReplicate)
	gradient(soft, &gx, &gy)
	xs, _ := gx.DataPtrFloat32()
	ys, _ := gy.DataPtrFloat32()
	return slices.Clone(xs), slices.Clone(ys)
}

// usual is the median change round each tile of a view.
type usual struct {
	tile, w int // px, tiles
	median  []float32
}

// How large a tile is, and how far round it the median goes, mm.
const (
	usualTile  = 2.0
	usualReach = 3.0
)

func (u usual) at(x, y int) float32 { return u.median[y/u.tile*u.w+x/u.tile] }

func usualChange(view flat, mag []float32) usual {
	u := usual{tile: max(1, int(usualTile*view.scale))}
	u.w = (view.w + u.tile - 1) / u.tile
	h := (view.h + u.tile - 1) / u.tile
	u.median = make([]float32, u.w*h)
	reach := int(usualReach * view.scale)
	step := max(1, reach/16)
	Parallel(h, func(ty int) {
		var around []float32
		for tx := range u.w {
			around = around[:0]
			cx, cy := tx*u.tile+u.tile/2, ty*u.tile+u.tile/2
			for y := max(0, cy-reach); y < min(view.h, cy+reach+1); y += step {
				for x := max(0, cx-reach); x < min(view.w, cx+reach+1); x += step {
					around = append(around, mag[y*view.w+x])
				}
			}
			slices.Sort(around)
			u.median[ty*u.w+tx] = around[len(around)/2]
		}
	})
	return u
}

// link joins each point with the nearest on either side along its edge, where
// both agree on what is along.
func (e *edgePoints) link() {
	e.next, e.prev = make([]int32, len(e.at)), make([]int32, len(e.at))
	for i := range e.next {
		e.next[i], e.prev[i] = -1, -1
	}
	for i := range e.at {
		from := int32(i)
		x, y := int(e.at[i].X+0.5), int(e.at[i].Y+0.5)
		ahead, behind := int32(-1), int32(-1)
		var mostAhead, mostBehind float64
		for dy := -2; dy <= 2; dy++ {
			for dx := -2; dx <= 2; dx++ {
				if x+dx < 0 || y+dy < 0 || x+dx >= e.view.w || y+dy >= e.view.h {
					continue
				}
				to := e.cell[(y+dy)*e.view.w+x+dx]
				if to < 0 || to == from {
					continue
				}
				switch s := e.nearness(from, to); {
				case s > mostAhead:
					ahead, mostAhead = to, s
				case s < mostBehind:
					behind, mostBehind = to, s
				}
			}
		}
		// A link takes the place of a farther one.
		if ahead >= 0 && e.next[from] != ahead {
			if o := e.prev[ahead]; o < 0 || e.nearness(o, ahead) < mostAhead {
				e.join(from, ahead)
			}
		}
		if behind >= 0 && e.prev[from] != behind {
			if o := e.next[behind]; o < 0 || e.nearness(behind, o) < -mostBehind {
				e.join(behind, from)
			}
		}
	}
}

func (e *edgePoints) join(from, to int32) {
	if o := e.next[from]; o >= 0 {
		e.prev[o] = -1
	}
	if o := e.prev[to]; o >= 0 {
		e.next[o] = -1
	}
	e.next[from], e.prev[to] = to, from
}

// nearness is the reciprocal of the distance of two points of one edge,
// negative when to lies behind from, 0 when they are not of one edge.
func (e *edgePoints) nearness(from, to int32) float64 {
	d := e.at[to].Sub(e.at[from])
	g, h := e.dir[from], e.dir[to]
	a, b := g.Y*d.X-g.X*d.Y, h.Y*d.X-h.X*d.Y
	if a*b <= 0 || g.Dot(h) <= 0 {
		return 0
	}
	return math.Copysign(1/d.Norm(), a)
}

// A chain is edge points in order, mm on the panel.
type chain struct {
	points []calib.Point
	light  []calib.Point // for each, the direction in which the panel gets lighter, unit
	closed bool
}

// leastChain is the least length, mm, at which a chain is taken for an edge at
// all, and leastStrong the share of it that must be strong.
const (
	leastChain  = 2.0
	leastStrong = 0.25
)

// chains follows the links.
func (e *edgePoints) chains() []chain {
	done := make([]bool, len(e.at))
	var out []chain
	for i := range e.at {
		if done[i] {
			continue
		}
		first := int32(i)
		closed := false
		for e.prev[first] >= 0 {
			first = e.prev[first]
			if first == int32(i) {
				closed = true
				break
			}
		}
		c := chain{closed: closed}
		strong := 0
		for k := first; k >= 0 && !done[k]; k = e.next[k] {
			done[k] = true
			c.points = append(c.points, e.view.mm(e.at[k].X, e.at[k].Y))
			c.light = append(c.light, calib.Point{X: e.dir[k].X, Y: -e.dir[k].Y})
			if e.strength[k] >= strongEdge {
				strong++
			}
		}
		if length(c.points) >= leastChain && float64(strong) >= leastStrong*float64(len(c.points)) {
			out = append(out, c)
		}
	}
	return out
}

func length(points []calib.Point) (sum float64) {
	for i := 1; i < len(points); i++ {
		sum += points[i].Dist(points[i-1])
	}
	return sum
}

// runs returns the parts of a chain whose points are good.
func (c chain) runs(good func(i int) bool) []chain {
	n := len(c.points)
	ok := make([]bool, n)
	bad := -1
	for i := range ok {
		if ok[i] = good(i); !ok[i] && bad < 0 {
			bad = i
		}
	}
	if bad < 0 {
		return []chain{c}
	}
	start := 0
	if c.closed { // begin where it is broken
		start = bad
	}
	var out []chain
	var run chain
	for k := range n {
		if i := (start + k) % n; ok[i] {
			run.points = append(run.points, c.points[i])
			run.light = append(run.light, c.light[i])
			continue
		}
		out = append(out, run)
		run = chain{}
	}
	return append(out, run)
}
