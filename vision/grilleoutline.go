package vision

import (
	"cmp"
	"math"
	"slices"

	"gocv.io/x/gocv"

	"trimscribe/calib"
)

const (
	grilleScale    = 2.0  // px per mm of the views in which outlines are looked for
	grilleBlur     = 1.2  // mm: a mesh is grey from afar
	grillesTraced  = 12   // blobs traced of each view, the plainest first
	plainGrille    = 0.6  // least coverage
	plainFree      = 0.75 // and of a free outline, which bends to whatever edges there are
	roundGrille    = 0.18 // by how much more of its outline must show an edge than of a circle
	mostGrilleLong = 160.0

	// In a mesh, an edge is never far, and a circle of chance shows as much of one as the
	// mouth does. From afar a mesh is grey: there, what lies inside the mouth differs from
	// what lies outside all round. Round a collar it does too, but the mouth shows all round there, as
	// no circle of chance does.
	plainFromAfar = 0.85 // least share of it where it does
	afar          = 1.5  // how far on either side is looked, mm

	// Where the mouth has no contrast, what shows is the wall's foot or the mesh
	// behind it, half a millimetre inside or more: unseenU is the standard
	// uncertainty, mm, of an outline of which nothing shows.
	unseenU = 0.5
)

// FindGrilleOutlines returns the outlines of a grille's size that are not
// round, the likeliest first. The circles are what FindCircles found: where one
// shows about as much of its edge, the grille is round.
func FindGrilleOutlines(p *Photo, cam calib.Camera, s Search, circles []Rim) []Opening {
	view := flattenAt(p, cam, s.reach(), grilleScale)
	size := blobSize{0.8 * MinGrille, MaxGrille, mostGrilleLong}
	var found []blob
	var in []flat // the view that each was found in
	for _, v := range []flat{blurred(view, grilleBlur), texture(view)} {
		found = append(found, s.notRound(blobs(v, size), leastRound/2, circles, grillesTraced)...)
		for len(in) < len(found) {
			in = append(in, v)
		}
	}
	shapes := []string{calib.ShapeOval, calib.ShapeRoundedSquare, calib.ShapeFree}
	out := findEach(len(found), func(i int) (Opening, bool) {
		o, round, ok := traceOutline(p, cam, s.GrilleZ, found[i], shapes)
		if !ok || !o.isPlain() {
			return o, false
		}
		ringed := 0.0 // as round, from afar
		for _, r := range circles {
			ok = ok && !o.isContent(r)
			if !r.isHole() && o.overlaps(r) {
				round = math.Max(round, r.Coverage)
				ringed = math.Max(ringed, in[i].steps(stationsOn(cam.Carry(r.Circle, r.Z, 0), compared)))
			}
		}
		isBetter := o.beats(round, ringed, func() float64 { return in[i].steps(onFace(cam, o)) })
		return o, ok && isBetter && o.distinct(1/cam.PxPerMM(o.Centre, s.GrilleZ)) && o.isGrille()
	})
	slices.SortStableFunc(out, func(a, b Opening) int { return cmp.Compare(worth(b), worth(a)) })
	out = apart(out)
	Parallel(len(out), func(i int) {
		o := &out[i]
		t := outlineTrace{p, cam, o.Z, 1 / cam.PxPerMM(o.Centre, o.Z), leastJump}
		if o.Shape == calib.ShapeFree {
			t.unrefined(o)
		} else {
			t.refine(o)
		}
		u := unseenU * (1 - o.Coverage)
		for i := range 3 {
			o.Cov[i][i] += u * u
		}
		o.LongU = math.Hypot(o.LongU, u)
	})
	return out
}

// beats tells whether the outline is the grille's and not the circle's there: round is the coverage
// of the plainest, and ringed and steps are the shares of a circle and of the outline across which
// the view steps from afar.
func (o Opening) beats(round, ringed float64, steps func() float64) bool {
	if o.Coverage > round+roundGrille {
		return true
	}
	return o.Shape != calib.ShapeFree && round < allRound && steps() > math.Max(plainFromAfar, ringed+roundGrille)
}

// steps is the share of an outline, in the plane z = 0, across which the view steps plainly,
// and the way that it mostly does.
func (f flat) steps(outline []calib.Station) float64 {
	step := make([]float64, len(outline))
	for k, s := range outline {
		step[k] = f.at(s.At.Add(s.Out.Mul(afar))) - f.at(s.At.Sub(s.Out.Mul(afar)))
	}
	middle := median(step)
	n := 0
	for _, v := range step {
		if v*middle > middle*middle/2 {
			n++
		}
	}
	return float64(n) / float64(len(outline))
}

// onFace is an opening's outline where it seems to lie in the plane z = 0.
func onFace(cam calib.Camera, o Opening) []calib.Station {
	out := o.Stations(compared)
	for k, s := range out {
		out[k].At = cam.ToPlane(cam.Project(calib.Vec3{X: s.At.X, Y: s.At.Y, Z: o.Z}), 0)
	}
	return out
}

// isPlain tells whether enough of the outline shows. Where what is behind the mouth is as
// light as the face, as a mesh may be, some of it does not.
func (o Opening) isPlain() bool {
	if o.Shape == calib.ShapeFree {
		return o.Coverage > plainFree
	}
	return o.Coverage > plainGrille
}

// isGrille tells whether its width is a grille's.
func (o Opening) isGrille() bool {
	long, short := o.Widths()
	return short >= MinGrille && short <= MaxGrille && long <= mostGrilleLong
}

// overlaps tells whether a circle may be the same grille's edge: about the same
// middle, neither much wider than it is long nor narrower than it is wide.
func (o Opening) overlaps(r Rim) bool {
	long, short := o.Widths()
	return o.Centre.Dist(r.Centre) < 0.25*short && 2*r.R > 0.7*short && 2*r.R < 1.3*long
}

// hasAside tells whether a smaller circle lies in the opening, or nearly, but to one side. One in
// its middle may be the grille itself, and the outline a recess.
func (o Opening) hasAside(r Rim) bool {
	_, short := o.Widths()
	return 2*r.R < 0.8*short && o.Distance(r.Centre) < -0.5*r.R && o.Centre.Dist(r.Centre) > 0.15*short
}

// isContent tells whether an outline is but a part of what is seen through a round grille, as where
// light and shadow meet behind it: it lies inside a circle that shows all round, and to one side.
func (o Opening) isContent(r Rim) bool {
	return !r.isHole() && r.Coverage > allRound && o.Centre.Dist(r.Centre) > 0.15*r.R &&
		!slices.ContainsFunc(o.Stations(compared), func(s calib.Station) bool { return s.At.Dist(r.Centre) > 1.03*r.R })
}

// blurred is a view with all that is finer than sigma, mm, smoothed away.
func blurred(f flat, sigma float64) flat {
	full, err := gocv.NewMatFromBytes(f.h, f.w, gocv.MatTypeCV32F, floatBytes(f.pix))
	if err != nil {
		panic(err) // the sizes are ours
	}
	defer full.Close()
	smooth := gocv.NewMat()
	defer smooth.Close()
	gocv.GaussianBlur(full, &smooth, gocvPoint(0), sigma*f.scale, sigma*f.scale, gocv.BorderReplicate)
	pix, _ := smooth.DataPtrFloat32()
	f.pix = slices.Clone(pix)
	return f
}
