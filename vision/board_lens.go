package vision

import (
	"errors"
	"image"
	"math"
	"slices"

	"gocv.io/x/gocv"

	"trimscribe/calib"
)

// MinViews is the fewest photos of a board that a lens is calibrated from:
// two leave the distortion to chance.
const MinViews = 3

// OpenCV's flags of calibrateCamera. The constants that gocv has under such
// names are those of its fisheye model, with other values.
const (
	useGuess    gocv.CalibFlag = 0x01
	fixedAspect gocv.CalibFlag = 0x02 // fx = fy: the pixels of a camera are square
	fixedK3     gocv.CalibFlag = 0x80
)

// A corner further off the fit than this many standard deviations is not
// used, and a view that loses half its corners so is not used at all.
const boardOutlier = 5

// CalibrateLens fits a lens to what photos of one board show of its inner
// corners, in the order of Board.Corners, by OpenCV's calibrateCamera
// (Z. Zhang, IEEE PAMI 22 (2000); distortion after Brown). The lens has one
// focal length for both axes. k3 is solved for only when the photos settle it:
// when it is as small as its own U95 it is left at 0, for a free k3 that only
// fits noise runs wild where no corner lay.
//
// guess is a first focal length, px; 0 leaves it to OpenCV. A view without
// any used corner in the result did not fit the others.
//
// The standard uncertainties are the greater of two: the fit's covariance,
// for which each corner errs by itself, and the jackknife over the photos
// (B. Efron and C. Stein, Annals of Statistics 9 (1981)), for which the
// corners of a photo may err together, as on a board that is not flat.
func CalibrateLens(board calib.Board, width, height int, guess float64, seen [][]calib.Point) (*calib.LensFit, error) {
	c := calibration{board: board, width: width, height: height, guess: guess}
	fit := &calib.LensFit{Board: board}
	for _, corners := range seen {
		fit.Views = append(fit.Views, calib.BoardView{Corners: corners, Used: slices.Repeat([]bool{true}, len(corners))})
	}
	if err := c.settle(fit); err != nil {
		return nil, err
	}
	u, ok := fit.Spread(true)
	if !ok || math.Abs(fit.Lens.K3) < 2*u.K3 {
		c.holdK3 = true
		if err := c.settle(fit); err != nil {
			return nil, err
		}
		if u, ok = fit.Spread(false); !ok {
			return nil, errNoLens
		}
	}
	if !fit.Lens.OneToOne(calib.InnerPart) {
		return nil, errNoLens
	}
	fit.U = larger(u, c.jackknife(fit))
	return fit, nil
}

// calibration is what all fits of one calibration share.
type calibration struct {
	board         calib.Board
	width, height int
	guess         float64
	holdK3        bool
}

var errNoLens = errors.New("no lens fits the photos of the board: take new ones, the board flat, in more places and tilts")

// settle fits, puts aside the corners that are off, and fits again until they
// stay the same. Early on a bad view draws the fit off good corners, so those
// may come back.
func (c calibration) settle(fit *calib.LensFit) error {
	for range 20 {
		if viewsUsed(fit) < MinViews {
			return errNoLens
		}
		if err := c.fit(fit); err != nil {
			return err
		}
		if !sortOut(fit) {
			break
		}
	}
	return nil
}

// sortOut marks which corners of the used views lie close to the fit; it
// tells whether that changed. A view in which less than half do is not used
// any more.
func sortOut(fit *calib.LensFit) (changed bool) {
	var off []float64
	for v, view := range fit.Views {
		for k, used := range view.Used {
			if used {
				off = append(off, fit.Residual(v, k).Norm())
			}
		}
	}
	slices.Sort(off)
	sigma := off[len(off)/2] / 1.1774 // the median of a Rayleigh distribution is sigma sqrt(2 ln 2)
	limit := max(boardOutlier*sigma, 0.02)
	for v := range fit.Views {
		used := fit.Views[v].Used
		if count(used) == 0 {
			continue
		}
		for k := range used {
			near := fit.Residual(v, k).Norm() <= limit
			changed = changed || near != used[k]
			used[k] = near
		}
		if count(used) < (len(used)+1)/2 {
			clear(used)
		}
	}
	return changed
}

func viewsUsed(fit *calib.LensFit) (n int) {
	for _, v := range fit.Views {
		if count(v.Used) > 0 {
			n++
		}
	}
	return n
}

func count(used []bool) (n int) {
	for _, u := range used {
		if u {
			n++
		}
	}
	return n
}

// fit sets the lens and the poses of the views that have used corners.
func (c calibration) fit(fit *calib.LensFit) error {
	var object [][]gocv.Point3f
	var seen [][]gocv.Point2f
	var which []int
	at := c.board.Corners()
	for v, view := range fit.Views {
		if count(view.Used) == 0 {
			continue
		}
		var o []gocv.Point3f
		var s []gocv.Point2f
		for k, p := range view.Corners {
			if view.Used[k] {
				o = append(o, gocv.NewPoint3f(float32(at[k].X), float32(at[k].Y), 0))
				s = append(s, gocv.NewPoint2f(float32(p.X), float32(p.Y)))
			}
		}
		object, seen, which = append(object, o), append(seen, s), append(which, v)
	}
	lens, poses, err := c.openCV(object, seen)
	if err != nil {
		return err
	}
	fit.Lens = lens
	for i, v := range which {
		fit.Views[v].Pose = poses[i]
	}
	return nil
}

// openCV runs calibrateCamera.
func (c calibration) openCV(object [][]gocv.Point3f, seen [][]gocv.Point2f) (calib.Lens, []calib.Pose, error) {
	objects := gocv.NewPoints3fVectorFromPoints(object)
	defer objects.Close()
	images := gocv.NewPoints2fVectorFromPoints(seen)
	defer images.Close()
	matrix := gocv.NewMatWithSize(3, 3, gocv.MatTypeCV64F)
	defer matrix.Close()
	distortion, turns, shifts := gocv.NewMat(), gocv.NewMat(), gocv.NewMat()
	defer distortion.Close()
	defer turns.Close()
	defer shifts.Close()

	// With a fixed aspect the matrix tells the ratio, even without a guess.
	k, err := matrix.DataPtrFloat64()
	if err != nil {
		return calib.Lens{}, nil, err
	}
	copy(k, []float64{1, 0, 0, 0, 1, 0, 0, 0, 1})
	flags := fixedAspect
	if c.guess > 0 {
		flags |= useGuess
		copy(k, []float64{c.guess, 0, float64(c.width-1) / 2, 0, c.guess, float64(c.height-1) / 2, 0, 0, 1})
	}
	if c.holdK3 {
		flags |= fixedK3
	}
	gocv.CalibrateCamera(objects, images, image.Pt(c.width, c.height), &matrix, &distortion, &turns, &shifts, flags)

	k, errK := matrix.DataPtrFloat64()
	d, errD := distortion.DataPtrFloat64()
	r, errR := turns.DataPtrFloat64()
	t, errT := shifts.DataPtrFloat64()
	n := len(object)
	if err := errors.Join(errK, errD, errR, errT); err != nil || len(k) != 9 || len(d) < 5 || len(r) != 3*n || len(t) != 3*n {
		return calib.Lens{}, nil, errNoLens
	}
	for _, v := range slices.Concat(k, d, r, t) {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return calib.Lens{}, nil, errNoLens
		}
	}
	lens := calib.Lens{
		Width: c.width, Height: c.height, Fx: k[0], Fy: k[4], Cx: k[2], Cy: k[5],
		K1: d[0], K2: d[1], P1: d[2], P2: d[3], K3: d[4],
	}
	poses := make([]calib.Pose, n)
	for i := range poses {
		poses[i] = calib.Pose{
			R: calib.Rotation(calib.Vec3{X: r[3*i], Y: r[3*i+1], Z: r[3*i+2]}),
			T: calib.Vec3{X: t[3*i], Y: t[3*i+1], Z: t[3*i+2]},
		}
	}
	return lens, poses, nil
}

// jackknife returns the standard uncertainties that show when each photo in
// turn is left out.
func (c calibration) jackknife(fit *calib.LensFit) calib.Lens {
	var each [][9]float64
	for out, view := range fit.Views {
		if count(view.Used) == 0 {
			continue
		}
		less := *fit
		less.Views = slices.Clone(fit.Views)
		less.Views[out].Used = make([]bool, len(view.Used))
		if c.fit(&less) == nil {
			each = append(each, less.Lens.Values())
		}
	}
	n := float64(len(each))
	var u [9]float64
	for i := range u {
		mean, sum := 0.0, 0.0
		for _, v := range each {
			mean += v[i] / n
		}
		for _, v := range each {
			sum += (v[i] - mean) * (v[i] - mean)
		}
		u[i] = math.Sqrt((n - 1) / n * sum)
	}
	return calib.Lens{}.With(u)
}

// larger takes each parameter from the lens where it is larger.
func larger(a, b calib.Lens) calib.Lens {
	v, w := a.Values(), b.Values()
	for i := range v {
		v[i] = max(v[i], w[i])
	}
	return a.With(v)
}
