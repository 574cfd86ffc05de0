package calib

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Advice is one thing about a photo that costs the result, and what it would
// be worth to mend it.
type Advice struct {
	About  string  `json:"about"` // one of the Cost constants
	Text   string  `json:"text"`
	U95    float64 `json:"u95_mm"`        // of the least sure distance, as it is
	Mended float64 `json:"mended_u95_mm"` // the same with this alone mended
}

// What may cost a photo's result.
const (
	CostTilt     = "tilt"
	CostNear     = "distance"
	CostPixels   = "pixels"
	CostBlur     = "blur"
	CostUnseen   = "glare"
	CostBent     = "bent square"
	CostFarApart = "reach"
)

// When advice is worth a line.
const (
	goodEnough = 0.25 // mm: a U95 within which a screw finds its hole (ISO 273, medium: M4 in 4.5 mm)
	worthIt    = 0.25 // share of the U95 that mending must take off
	besideBest = 0.5  // share of what the best mending takes off that another must
)

// Grade says what about a photo costs its result. Each cause is judged by
// taking the photo again without it, in numbers: the same square and circles
// seen by a camera that stands straight, or farther away, or sees more, and
// so on, with the edges' own errors as they were found. What would not make
// the least sure distance clearly surer gets no line.
//
// blur is the standard deviation of the square's edges' spread, px; 0 when it
// is not known.
func Grade(s *Solution, chosen []Traced, blur float64) []Advice {
	u95, ok := leastSure(s, chosen)
	if !ok || u95 <= goodEnough {
		return nil
	}
	asIs := stage(s, chosen)
	base, ok := asIs.u95()
	if !ok {
		return nil
	}
	var out []Advice
	for _, m := range mendings(asIs, blur) {
		mended, ok := m.photo.u95()
		if !ok || mended > (1-worthIt)*base {
			continue
		}
		then := u95 * mended / base
		out = append(out, Advice{m.about, fmt.Sprintf("%s; the least sure distance would be good to %.2f mm then, not %.2f", m.text, then, u95), u95, then})
	}
	slices.SortStableFunc(out, func(a, b Advice) int { return cmp.Compare(a.Mended, b.Mended) })
	return slices.DeleteFunc(out, func(a Advice) bool { return u95-a.Mended < besideBest*(u95-out[0].Mended) })
}

// leastSure is the greatest U95 of the distances between circles.
func leastSure(s *Solution, circles []Traced) (u95 float64, ok bool) {
	if len(circles) < 2 {
		return 0, false
	}
	m, err := Measure(s, circles)
	if err != nil {
		return 0, false
	}
	for i := range circles {
		for j := range i {
			_, u := m.Distance(i, j)
			u95 = math.Max(u95, u)
		}
	}
	return u95, true
}

// A mending is a photo without one of its faults, and the advice for it.
type mending struct {
	about, text string
	photo       staged
}

func mendings(p staged, blur float64) []mending {
	var out []mending
	add := func(about string, mended staged, format string, a ...any) {
		out = append(out, mending{about, fmt.Sprintf(format, a...), mended})
	}
	tilt := degrees(p.cam.Tilt())
	add(CostTilt, p.straight(), "the camera is tilted by %.0f degrees: hold it straight above the panel", tilt)
	if far, ok := p.farther(); ok {
		add(CostNear, far, "the camera is only %.0f mm away, where heights and the lens tell more: step back to %.0f mm and zoom in", p.cam.Eye().Norm(), farEnough)
	}
	add(CostPixels, p.finer(), "the photo has only %.1f pixels a millimetre: let the panel fill it, and keep it as the camera stored it", p.cam.PxPerMM(Point{}, 0))
	if blur > sharp {
		add(CostBlur, p.calmer(math.Sqrt(sharp/blur)), "the photo is blurred, its edges by %.1f pixels: hold still, focus on the panel, give it more light", blur)
	}
	if unseen := p.unseen(); unseen > 0 {
		add(CostUnseen, p.uncovered(), "%.0f %% of the square's frame is not seen for glare, shadow or a cover: keep them off it", 100*unseen)
	}
	if flat, wave := p.flattened(); wave > 0 {
		add(CostBent, flat, "the square's edges are out of line by %.2f mm: it does not lie flat, or the lens bends it; tape it down, or calibrate the lens (trimscribe help lens)", wave)
	}
	if nearer, ok := p.nearer(); ok {
		add(CostFarApart, nearer, "the square lies %.0f mm from the holes: lay it nearer, or a second one beyond them", p.apart())
	}
	return out
}
