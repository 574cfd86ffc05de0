package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// A partLook is how a part looks: the sum of its cells' colours, linear.
type partLook struct {
	cells int
	rgb   [3]float64
}

func (l *partLook) add(p *Photo, cam calib.Camera, q calib.Point) {
	seen := p.seen(cam, calib.Vec3{X: q.X, Y: q.Y})
	l.cells++
	for k := range l.rgb {
		l.rgb[k] += float64(linearOf8[int(seen[k]+0.5)])
	}
}

// light is the mean of a part, kept above the noise of black.
func (l *partLook) light() float64 {
	return (l.rgb[0]+l.rgb[1]+l.rgb[2])/float64(l.cells) + 0.003
}

func (z zones) looks(p *Photo, cam calib.Camera, parts []int32) map[int32]*partLook {
	looks := map[int32]*partLook{}
	for i, part := range parts {
		if part == 0 {
			continue
		}
		if looks[part] == nil {
			looks[part] = &partLook{}
		}
		looks[part].add(p, cam, z.view.mm(float64(i%z.view.w), float64(i/z.view.w)))
	}
	return looks
}

// alike tells whether two parts are of one stuff in one light.
func (l *partLook) alike(o *partLook) bool {
	if math.Abs(math.Log(l.light()/o.light())) > 0.2 {
		return false
	}
	for k := range l.rgb {
		if math.Abs(l.rgb[k]/float64(l.cells)/l.light()-o.rgb[k]/float64(o.cells)/o.light()) > 0.02 {
			return false
		}
	}
	return true
}

// faceAt tells whether it looks like the panel's face on one side of a place.
func (z zones) faceAt(p *Photo, cam calib.Camera, q, across calib.Point) bool {
	return z.faceBeside(p, cam, q, across) || z.faceBeside(p, cam, q, across.Mul(-1))
}

// faceBeside tells whether it looks like the panel's face on that side.
func (z zones) faceBeside(p *Photo, cam calib.Camera, q, way calib.Point) bool {
	here := &partLook{}
	for _, off := range []float64{0.4, 0.6, 0.8} { // mm
		here.add(p, cam, q.Add(way.Mul(off)))
	}
	return slices.ContainsFunc(z.face, here.alike)
}
