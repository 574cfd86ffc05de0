package score

import (
	"math"
	"testing"

	"trimscribe/calib"
)

// over is a camera straight above the face, 300 mm away.
var over = Truth{
	Camera: Camera{Width: 3000, Height: 3000, Fx: 3000, Fy: 3000, Cx: 1499.5, Cy: 1499.5,
		R: [3][3]float64{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}, T: [3]float64{0, 0, 300}},
	Square: Square{Size: [2]float64{20, 20}},
}

func rectangle(x, y, w, h, z float64, top bool) Outline {
	return Outline{Z: z, Top: top, Points: [][2]float64{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}}
}

func traceOf(points ...[2]float64) calib.Trace {
	t := calib.Trace{Points: points}
	for i := 1; i < len(points); i++ {
		t.Length += math.Hypot(points[i][0]-points[i-1][0], points[i][1]-points[i-1][1])
	}
	return t
}

// Two of a slot's four sides traced, one of them 0.05 mm off, and a line 20 mm from
// anything: the shares are those of the lengths.
func TestWeighTraces(t *testing.T) {
	o := Outlines{Outlines: []Outline{rectangle(50, 0, 30, 10, 0, false)}}
	s := &calib.Survey{Tweeter: &calib.TweeterCentre{X: 60}, Traces: []calib.Trace{
		traceOf([2]float64{50, 0.05}, [2]float64{80, 0.05}),
		traceOf([2]float64{80, 0}, [2]float64{80, 10}),
		traceOf([2]float64{50, 30}, [2]float64{60, 30}),
	}}
	w := WeighTraces(over, o, s, 100)
	for name, v := range map[string][2]float64{
		"traced": {w.Traced, 50}, "on": {w.On, 0.8}, "median": {w.Median, 0.05}, "shadow": {w.Shadow, 0}, "neither": {w.Neither, 0.2},
		"outlines": {w.Outlines, 80}, "covered": {w.Covered, 0.5 + 2*0.27/80}, // its ends reach on round two corners
	} {
		if math.Abs(v[0]-v[1]) > 0.01*max(1, v[1]) {
			t.Errorf("%s: got %g, want %g", name, v[0], v[1])
		}
	}
}

// What the paper, a chosen circle or the radius leaves out is not asked for.
func TestTraceable(t *testing.T) {
	o := Outlines{Outlines: []Outline{
		rectangle(-5, -5, 4, 4, 0, false), // under the square's paper
		{X: 40, Diameter: 5},              // a hole that was chosen
		rectangle(120, 0, 4, 4, 0, false), // too far off
		rectangle(60, 0, 4, 4, 0, false),
	}}
	s := &calib.Survey{Tweeter: &calib.TweeterCentre{X: 50}, Features: []calib.Feature{{X: 40, Diameter: 5}}}
	if w := WeighTraces(over, o, s, 50); math.Abs(w.Outlines-16) > 0.1 || w.Covered != 0 {
		t.Errorf("%+v, want 16 mm to be traced and none of it traced", w)
	}
}

// A post 10 mm high and 50 mm off the axis is seen 1.72 mm farther out at its top than at
// its foot (H/(H-h)), which the top hides on the far side alone; in a collar's
// opening the face is seen.
func TestVisible(t *testing.T) {
	count := func(outlines ...Outline) (foot, far float64) {
		for _, p := range (Outlines{Outlines: outlines}).visible(over.Camera.Calib()) {
			foot += p.a.Dist(p.b)
			far = max(far, p.a.X)
		}
		return foot, far
	}
	post := Outline{X: 50, Z: 10, Diameter: 6, Top: true}
	foot := Outline{X: 50, Diameter: 6}
	top, far := count(post)
	if math.Abs(top-6*math.Pi*300/290) > 0.05 || math.Abs(far-53*300/290.0) > 0.01 {
		t.Errorf("a post's top is seen %g mm round and as far as %g", top, far)
	}
	both, _ := count(post, foot)
	if seen := (both - top) / (6 * math.Pi); seen < 0.4 || seen > 0.75 {
		t.Errorf("%.2f of a post's foot is seen, want somewhat more than half", seen)
	}
	post.Opening = 5.9
	if all, _ := count(post, Outline{X: 50 * 300 / 290.0, Diameter: 3}); math.Abs(all-top-3*math.Pi) > 0.05 {
		t.Error("what lies in a collar's opening is hidden")
	}
}

// A lamp 45 degrees up throws a box's shadow by its height; its near edges are no
// shadow's.
func TestShadows(t *testing.T) {
	o := Outlines{Outlines: []Outline{rectangle(50, 0, 10, 4, 5, true)}, Lamps: [][3]float64{{-1e6, 0, 1e6}}}
	far := 0.0
	for _, p := range o.shadows() {
		far = max(far, p.a.X)
	}
	if math.Abs(far-65) > 0.01 {
		t.Errorf("the shadow reaches to %g, want 65", far)
	}
	s := &calib.Survey{Traces: []calib.Trace{traceOf([2]float64{65, 0.5}, [2]float64{65, 3.5})}}
	if w := WeighTraces(over, o, s, 100); w.Shadow != 1 || w.On != 0 {
		t.Errorf("%+v, want all of it on a shadow's edge", w)
	}
}
