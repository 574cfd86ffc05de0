package vision

import (
	"math"

	"trimscribe/calib"
)

// Rays are the lines along which a photo is sampled in the plane at height z:
// from the middle of a circle, or across an outline.
type rays struct {
	photo *Photo
	cam   calib.Camera
	z     float64
	n     int
	// ray is where one starts and which way it goes, by its number; by a number
	// between two, the one between them.
	ray func(at float64) calib.Station
}

// raysFrom are n rays from one place, evenly all round.
func raysFrom(p *Photo, cam calib.Camera, z float64, middle calib.Point, n int) rays {
	sector := 2 * math.Pi / float64(n)
	return rays{p, cam, z, n, func(at float64) calib.Station {
		s, c := math.Sincos(at * sector)
		return calib.Station{At: middle, Out: calib.Point{X: c, Y: s}}
	}}
}

// raysAcross are rays across an outline, one at each of its stations.
func raysAcross(p *Photo, cam calib.Camera, z float64, stations []calib.Station) rays {
	n := len(stations)
	return rays{p, cam, z, n, func(at float64) calib.Station {
		k := int(math.Round(at))
		s, share := stations[k], at-float64(k)
		if share == 0 {
			return s
		}
		other := stations[(k+int(math.Copysign(1, share))+n)%n]
		if s.Out.Dot(other.Out) <= 0.95 { // round a corner
			return s
		}
		share = math.Abs(share)
		turned := s.Out.Add(other.Out.Sub(s.Out).Mul(share))
		return calib.Station{At: s.At.Add(other.At.Sub(s.At).Mul(share)), Out: turned.Mul(1 / turned.Norm())}
	}}
}

// profile fills in the luminance along a ray, between two distances from where it
// starts: the mean of so many lines, evenly over the ray's share of the way round.
// More of them make for less noise, and less of a textured face's grain.
func (s rays) profile(k int, low, high float64, lines int, into []float64) {
	clear(into)
	for i := range lines {
		ray := s.ray(float64(k) + (float64(i)+0.5)/float64(lines) - 0.5)
		sight := newSightline(s.cam, ray.At, ray.Out, s.z, low, high)
		for i := range into {
			into[i] += s.photo.At(sight.at(float64(i) / float64(len(into)-1)))
		}
	}
	for i := range into {
		into[i] /= float64(lines)
	}
}

// A sightline is where the photo shows a straight stretch of a plane, by the
// parabola through its ends and its middle: over the stretches used here that
// is right to a thousandth of a pixel, and much quicker than the camera.
type sightline struct{ from, slope, bend calib.Point }

func newSightline(cam calib.Camera, centre, dir calib.Point, z, low, high float64) sightline {
	see := func(rho float64) calib.Point {
		return cam.Project(calib.Vec3{X: centre.X + rho*dir.X, Y: centre.Y + rho*dir.Y, Z: z})
	}
	a, m, b := see(low), see((low+high)/2), see(high)
	bend := a.Add(b).Sub(m.Mul(2)).Mul(2)
	return sightline{a, b.Sub(a).Sub(bend), bend}
}

// at returns the pixel a share t of the way.
func (l sightline) at(t float64) calib.Point {
	return calib.Point{
		X: l.from.X + t*(l.slope.X+t*l.bend.X),
		Y: l.from.Y + t*(l.slope.Y+t*l.bend.Y),
	}
}

// stationsOn is n stations all round a circle.
func stationsOn(c calib.Circle, n int) []calib.Station {
	out := make([]calib.Station, n)
	for i := range out {
		s, co := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		dir := calib.Point{X: co, Y: s}
		out[i] = calib.Station{At: c.Centre.Add(dir.Mul(c.R)), Out: dir}
	}
	return out
}

// holds tells whether the photo shows all of an outline in the plane at height
// z, by its stations.
func (p *Photo) holds(cam calib.Camera, z float64, stations []calib.Station) bool {
	for _, s := range stations {
		if !p.inside(cam.Project(calib.Vec3{X: s.At.X, Y: s.At.Y, Z: z}), 2) {
			return false
		}
	}
	return true
}

// Sees tells whether the photo shows the whole circle in the plane at height z.
func Sees(p *Photo, cam calib.Camera, c calib.Circle, z float64) bool {
	return p.holds(cam, z, stationsOn(c, 16))
}
