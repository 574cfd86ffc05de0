package calib

import (
	"math"
	"testing"
)

// Pixels from cv2.projectPoints (OpenCV 4.6, Debian's python3-opencv) for
// cameras and points drawn at random.
func TestProjectAgainstOpenCV(t *testing.T) {
	for i, c := range []struct {
		turn, shift Vec3
		lens        Lens
		at          Vec3
		px          Point
	}{
		{Vec3{3.24166903, 0.317771041, 0.220548552}, Vec3{-32.9751372, -23.9800458, 474.710689}, Lens{Fx: 2802.63265, Fy: 3210.61421, Cx: 2059.41389, Cy: 1493.58699, K1: -0.178787029, K2: -0.00823615818, P1: -0.000980521649, P2: -0.000219694776, K3: 0.101819304}, Vec3{12.8393645, 89.190051, 9.51194303}, Point{2050.749827, 748.456229}},
		{Vec3{3.23933604, 0.391168118, -0.227753041}, Vec3{-40.7745559, 13.5047525, 308.788402}, Lens{Fx: 2817.84014, Fy: 3057.44441, Cx: 1993.24121, Cy: 1583.43355, K1: -0.0483094982, K2: 0.027117647, P1: -1.25062584e-05, P2: -0.00100994031, K3: -0.0952823898}, Vec3{-73.8234854, 34.5657818, 2.40728069}, Point{1051.064445, 1215.075380}},
		{Vec3{3.0372217, -0.397012606, 0.264038184}, Vec3{-41.4646703, -27.8880835, 476.066431}, Lens{Fx: 3054.8954, Fy: 3223.57512, Cx: 2027.94343, Cy: 1548.35419, K1: -0.263401758, K2: 0.0311715732, P1: 3.10889452e-05, P2: 0.00148535751, K3: 0.0445056236}, Vec3{23.5641761, -79.3347044, 4.65158161}, Point{2043.420584, 1836.821864}},
		{Vec3{3.00002173, -0.279840217, 0.253070483}, Vec3{-14.4664594, 57.4497461, 417.998339}, Lens{Fx: 3102.52813, Fy: 3118.99829, Cx: 2035.29005, Cy: 1430.1576, K1: -0.123874613, K2: -0.0140654057, P1: -0.000390006808, P2: -0.00161318362, K3: 0.28713122}, Vec3{-68.399031, 30.9177293, 3.60504098}, Point{1379.964944, 1725.481545}},
		{Vec3{3.44085427, 0.129771791, -0.294707347}, Vec3{41.4089185, 53.3937805, 480.783358}, Lens{Fx: 3084.85957, Fy: 2872.72998, Cx: 1938.4927, Cy: 1585.58114, K1: -0.0790694049, K2: -0.0229171252, P1: 0.00153622758, P2: 0.000566286821, K3: 0.12787771}, Vec3{-29.6909193, -16.0280492, 2.87387055}, Point{2007.808480, 1977.018384}},
		{Vec3{2.77203848, 0.300975046, -0.0258158265}, Vec3{5.71622391, -21.3404028, 450.264984}, Lens{Fx: 2812.59844, Fy: 2986.09264, Cx: 1906.07006, Cy: 1424.57842, K1: 0.0868592942, K2: 0.0486641095, P1: -0.000287119014, P2: 9.49604316e-05, K3: 0.249123683}, Vec3{-37.3894399, 16.2523768, 8.20421248}, Point{1735.724545, 1114.292207}},
	} {
		cam := Camera{Lens: c.lens, Pose: Pose{R: Rotation(c.turn), T: c.shift}}
		if d := cam.Project(c.at).Dist(c.px); d > 1e-4 {
			t.Errorf("camera %d: %.6f px off", i, d)
		}
		back := cam.ToPlane(c.px, c.at.Z)
		if d := math.Hypot(back.X-c.at.X, back.Y-c.at.Y); d > 1e-4 {
			t.Errorf("camera %d: %.6f mm off on the way back", i, d)
		}
	}
}

// Pinhole geometry: a face at height h seen from H looks larger by H/(H-h).
func TestHeightsEffect(t *testing.T) {
	cam := lookAt(testLens(3000), Vec3{0, 0, 400}, Vec3{}, 0)
	at := cam.ToPlane(cam.Project(Vec3{60, 0, 8}), 0)
	if want := 60.0 * 400 / (400 - 8); math.Abs(at.X-want) > 1e-9 {
		t.Errorf("got %.6f, want %.6f", at.X, want)
	}
}

// A circle carried to another plane looks the same: the reference is the camera's
// own projection, distortion and all.
func TestCarryKeepsTheLook(t *testing.T) {
	l := testLens(3100)
	l.K1 = -0.05
	cam := lookAt(l, Vec3{60, -40, 380}, Vec3{10, 5, 0}, 0.4)
	on := Circle{Point{25, -30}, 21}
	for _, z := range [][2]float64{{0, 9}, {9, 0}, {4, -6}, {3, 3}} {
		carried := cam.Carry(on, z[0], z[1])
		want := cam.Around(on, z[0])
		for i, px := range cam.Around(carried, z[1]) {
			if px.Dist(want[i]) > 1e-9*3000 {
				t.Fatalf("from height %g to %g: %.6f px off", z[0], z[1], px.Dist(want[i]))
			}
		}
	}
}
