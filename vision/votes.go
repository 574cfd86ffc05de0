package vision

import (
	"cmp"
	"math"
	"slices"

	"gocv.io/x/gocv"

	"trimscribe/calib"
)

// A guess is a circle that edges in the flattened view vote for.
type guess struct {
	calib.Circle         // mm, in the plane z = 0
	votes        float64 // share of its circumference that votes for it, 0 to about 1
}

// Radii of a level's votes, px. Each level halves the view, so that a large
// circle is looked for where it is small: texture and grain are blurred away
// with it.
const (
	leastRadius = 5.0
	midRadius   = 8.0
	mostRadius  = 16.0
	radiusStep  = 1.07
)

// mostPeaks is the most guesses taken at one radius, the best first: on a
// grainy panel, small circles of noise would else be without end.
const mostPeaks = 100

// voteShare is the least share of its circumference that makes a guess.
const voteShare = 0.25

// guessCircles finds circles of radius from to to (mm) in the view: each edge
// pixel votes for the centres that lie one radius along its gradient (the
// gradient form of the Hough transform; C. Kimme, D. Ballard, J. Sklansky,
// Comm. ACM 18 (1975) 120), a radius at a time, an octave a level.
func guessCircles(f flat, from, to float64) []guess {
	level, err := gocv.NewMatFromBytes(f.h, f.w, gocv.MatTypeCV32F, floatBytes(f.pix))
	if err != nil {
		panic(err) // the sizes are ours
	}
	defer func() { level.Close() }()
	var out []guess
	scale := f.scale
	for first := true; ; first = false {
		least := midRadius
		if first {
			least = leastRadius
		}
		edges := thinEdges(level)
		var radii []float64
		for r := math.Max(least, from*scale); r < mostRadius && r <= to*scale; r *= radiusStep {
			radii = append(radii, r)
		}
		peaks := make([][]votePeak, len(radii))
		Parallel(len(radii), func(i int) {
			peaks[i] = castVotes(edges, level.Cols(), level.Rows(), radii[i])
		})
		for i, r := range radii {
			for _, peak := range peaks[i] {
				k := f.scale / scale
				// Pixel centres of a halved level: (x + 0.5) k - 0.5.
				q := f.mm((peak.x+0.5)*k-0.5, (peak.y+0.5)*k-0.5)
				out = append(out, guess{calib.Circle{Centre: q, R: r / scale}, peak.share})
			}
		}
		if mostRadius > to*scale || min(level.Cols(), level.Rows()) < 4*midRadius {
			break
		}
		next := gocv.NewMat()
		gocv.GaussianBlur(level, &level, gocvPoint(5), 1, 1, gocv.BorderDefault)
		gocv.Resize(level, &next, gocvSize(level.Cols()/2, level.Rows()/2), 0, 0, gocv.InterpolationArea)
		level.Close()
		level = next
		scale = f.scale * float64(level.Cols()) / float64(f.w)
	}
	return distinct(out)
}

// distinct keeps the best of each heap of guesses at about the same place and
// size.
func distinct(all []guess) []guess {
	slices.SortFunc(all, func(a, b guess) int { return cmp.Compare(b.votes, a.votes) })
	var kept []guess
	for _, g := range all {
		if !slices.ContainsFunc(kept, func(k guess) bool {
			return g.Centre.Dist(k.Centre) < 0.12*k.R && math.Abs(math.Log(g.R/k.R)) < 0.08
		}) {
			kept = append(kept, g)
		}
	}
	return kept
}

// An edgel is an edge pixel with the direction in which the view gets lighter.
type edgel struct{ x, y, dx, dy float32 }

// thinEdges returns the pixels where the gradient is clear of the noise and
// greatest across the edge.
func thinEdges(level gocv.Mat) []edgel {
	gx, gy := gocv.NewMat(), gocv.NewMat()
	defer gx.Close()
	defer gy.Close()
	gradient(level, &gx, &gy)
	w, h := level.Cols(), level.Rows()
	xs, _ := gx.DataPtrFloat32()
	ys, _ := gy.DataPtrFloat32()
	mag := make([]float32, w*h)
	Parallel(h, func(y int) {
		for i := y * w; i < (y+1)*w; i++ {
			mag[i] = float32(math.Hypot(float64(xs[i]), float64(ys[i])))
		}
	})
	limit := edgeLimit(mag)
	var out []edgel
	for y := 1; y < h-1; y++ {
		for x := 1; x < w-1; x++ {
			i := y*w + x
			m := mag[i]
			if m < limit {
				continue
			}
			dx, dy := xs[i]/m, ys[i]/m
			// The neighbour across the edge, to the nearest of eight.
			sx, sy := int(math.Round(float64(dx))), int(math.Round(float64(dy)))
			if sx == 0 && sy == 0 {
				sx = 1
			}
			if m < mag[i+sy*w+sx] || m <= mag[i-sy*w-sx] {
				continue
			}
			out = append(out, edgel{float32(x), float32(y), dx, dy})
		}
	}
	return out
}

// edgeLimit is the least gradient that counts, in grey levels a pixel: four
// times the median, which in a view that is mostly plain plastic is its noise
// and grain.
func edgeLimit(mag []float32) float32 {
	var histogram [1024]int
	n := 0
	for i := 0; i < len(mag); i += 7 {
		histogram[min(int(mag[i]*16), len(histogram)-1)]++
		n++
	}
	seen := 0
	for bin, count := range histogram {
		seen += count
		if 2*seen >= n {
			return max(1.2, min(4*float32(bin+1)/16, 6))
		}
	}
	return 6
}

type votePeak struct{ x, y, share float64 }

// castVotes returns the places where the votes at one radius pile up, for
// circles darker inside and for circles lighter inside.
func castVotes(edges []edgel, w, h int, r float64) []votePeak {
	var out []votePeak
	for _, sign := range []float32{1, -1} {
		acc := make([]float32, w*h)
		reach := float32(r) * sign
		for _, e := range edges {
			x, y := int(e.x-e.dx*reach+0.5), int(e.y-e.dy*reach+0.5)
			if x >= 0 && y >= 0 && x < w && y < h {
				acc[y*w+x]++
			}
		}
		out = append(out, votePeaks(acc, w, h, r)...)
	}
	return out
}

// votePeaks gathers votes over five by five pixels and returns the places
// that have more than any near.
func votePeaks(acc []float32, w, h int, r float64) []votePeak {
	raw, err := gocv.NewMatFromBytes(h, w, gocv.MatTypeCV32F, floatBytes(acc))
	if err != nil {
		panic(err)
	}
	defer raw.Close()
	sum, top := gocv.NewMat(), gocv.NewMat()
	defer sum.Close()
	defer top.Close()
	gocv.BoxFilter(raw, &sum, -1, gocvPoint(5))
	kernel := gocv.GetStructuringElement(gocv.MorphRect, gocvPoint(7))
	defer kernel.Close()
	gocv.Dilate(sum, &top, kernel)
	s, _ := sum.DataPtrFloat32()
	t, _ := top.DataPtrFloat32()
	full := 2 * math.Pi * r / 25 // the box filter gives means
	limit := float32(voteShare * full)
	var out []votePeak
	for i, v := range s {
		if v >= limit && v == t[i] {
			out = append(out, votePeak{float64(i % w), float64(i / w), float64(v) / full})
		}
	}
	slices.SortFunc(out, func(a, b votePeak) int { return cmp.Compare(b.share, a.share) })
	return out[:min(len(out), mostPeaks)]
}
