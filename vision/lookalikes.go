package vision

import (
	"cmp"
	"image"
	"math"
	"slices"

	"gocv.io/x/gocv"

	"trimscribe/calib"
)

// The holes of one panel look alike: they are made by one core pin, in bosses of one form, and lie
// in one light. Where the edges of some hardly show, they may still be told by looking as one does that
// shows well: by the normalised correlation of the pictures of both as seen from above. In seven rendered photos that was
// 0.47 to 0.97 for holes of one kind, and up to 0.81 for what is none: so a circle of their size must show there too.
const (
	alikeRadius = 9.0   // of the hole in the pictures compared, px, or as the photo has it if that is less
	alikeRound  = 1.7   // what is compared, as a share of the hole's radius: its surroundings too
	alikeBoss   = 1.15  // or as a share of its boss's
	alikeReach  = 150.0 // how far about a hole others are looked for, mm
	alikeLeast  = 0.65  // least correlation
	alikeMost   = 12    // places
	alikeAside  = 0.2   // how far from such a place the hole may be, as a share of its radius
	alikeWider  = 0.03  // how much wider or narrower it may be, likewise
	alikeShown  = 0.6   // least share of its circumference that must show; a chance circle of one size shows half
	alikeCrowd  = 6     // so many are a mesh's openings, or whatever there is all over
	alikeTells  = 0.5   // the odds that being alike gives, whatever shows of the edge
)

// TraceAlikes finds the holes that look as one does, the likest first.
func (s Search) TraceAlikes(p *Photo, cam calib.Camera, kin Rim) []Rim {
	places := lookAlikes(p, cam, kin)
	places = slices.DeleteFunc(places, func(a alike) bool { return s.onPaper(a.at) })
	found := findEach(len(places), func(i int) (Rim, bool) { return traceAlike(p, cam, kin, places[i]) })
	if len(found) >= alikeCrowd {
		return nil
	}
	return found
}

// traceAlike traces the hole at a place that looks as another does: its size is known, and its place to a part of it.
func traceAlike(p *Photo, cam calib.Camera, kin Rim, place alike) (Rim, bool) {
	c := calib.Circle{Centre: place.at, R: kin.R}
	if !Sees(p, cam, c, kin.Z) {
		return Rim{}, false
	}
	r, ok := traceSized(p, cam, kin.Z, c, alikeAside*kin.R, alikeWider*kin.R, leastJump, alikeShown)
	if !ok || r.isOpen() {
		return r, false
	}
	r.Told = alikeTells
	r.Boss = r.bossAs(p, cam, kin)
	return r.Refined(p, cam), true
}

// An alike place looks like a hole.
type alike struct {
	at   calib.Point // mm, in the hole's plane
	much float64     // correlation, to 1
}

// lookAlikes lists the places about a hole that look as it does, the likest first.
func lookAlikes(p *Photo, cam calib.Camera, hole Rim) []alike {
	scale := math.Min(alikeRadius/hole.R, cam.PxPerMM(hole.Centre, hole.Z))
	round := math.Max(alikeRound*hole.R, alikeBoss*hole.Boss)
	all := pictureAbout(p, cam, hole, scale, alikeReach)
	defer all.Close()
	middle, half := all.Cols()/2, min(int(round*scale), all.Cols()/2)
	one := all.Region(image.Rect(middle-half, middle-half, middle+half+1, middle+half+1))
	defer one.Close()
	mask, much := gocv.NewMat(), gocv.NewMat()
	defer mask.Close()
	defer much.Close()
	gocv.MatchTemplate(all, one, &much, gocv.TmCcoeffNormed, mask)
	score, err := much.DataPtrFloat32()
	if err != nil {
		return nil
	}
	width := much.Cols()
	near := int(hole.R * scale)
	var out []alike
	for y := range much.Rows() {
		for x := range width {
			s := score[y*width+x]
			if s < alikeLeast || !isHighest(score, width, x, y, near) {
				continue
			}
			off := calib.Point{X: float64(x - width/2), Y: float64(much.Rows()/2 - y)}.Mul(1 / scale)
			if off.Norm() > hole.R {
				out = append(out, alike{hole.Centre.Add(off), float64(s)})
			}
		}
	}
	slices.SortFunc(out, func(a, b alike) int { return cmp.Compare(b.much, a.much) })
	return out[:min(len(out), alikeMost)]
}

// isHighest tells whether no value within so many pixels is higher.
func isHighest(v []float32, width, x, y, near int) bool {
	for j := max(0, y-near); j <= min(len(v)/width-1, y+near); j++ {
		for i := max(0, x-near); i <= min(width-1, x+near); i++ {
			if v[j*width+i] > v[y*width+x] {
				return false
			}
		}
	}
	return true
}

// pictureAbout is what lies so far about a hole, mm, in its plane, as seen from above. It is as bright as the square root
// of the light, so that dark holes in dark plastic count as well, and black where the photo does not show it.
func pictureAbout(p *Photo, cam calib.Camera, hole Rim, scale, reach float64) gocv.Mat {
	half := int(reach * scale)
	n := 2*half + 1
	samples := max(1, int(math.Ceil(cam.PxPerMM(hole.Centre, hole.Z)/scale)))
	step := 1 / (scale * float64(samples))
	pix := make([]float32, n*n)
	Parallel(n, func(y int) {
		for x := range n {
			middle := hole.Centre.Add(calib.Point{X: float64(x - half), Y: float64(half - y)}.Mul(1 / scale))
			if !p.inside(cam.Project(calib.Vec3{X: middle.X, Y: middle.Y, Z: hole.Z}), 0) {
				continue
			}
			sum := 0.0
			for k := range samples * samples {
				at := middle.Add(calib.Point{X: float64(k%samples) - float64(samples-1)/2, Y: float64(k/samples) - float64(samples-1)/2}.Mul(step))
				sum += p.At(cam.Project(calib.Vec3{X: at.X, Y: at.Y, Z: hole.Z}))
			}
			pix[y*n+x] = float32(math.Sqrt(math.Max(sum, 0) / float64(samples*samples)))
		}
	})
	m, err := gocv.NewMatFromBytes(n, n, gocv.MatTypeCV32F, floatBytes(pix))
	if err != nil {
		panic(err) // the sizes are ours
	}
	return m
}
