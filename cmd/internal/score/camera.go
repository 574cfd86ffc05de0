package score

import "trimscribe/calib"

// Square is a reference square where it lies on the face; the first lies at the
// origin, unturned.
type Square struct {
	Number int        `json:"number"`
	Size   [2]float64 `json:"size_mm"`
	X      float64    `json:"x_mm"`
	Y      float64    `json:"y_mm"`
	Turn   float64    `json:"turn_deg"`
}

// Camera is the scene's camera in OpenCV's terms.
type Camera struct {
	Width    int           `json:"width_px"`
	Height   int           `json:"height_px"`
	Fx       float64       `json:"fx_px"`
	Fy       float64       `json:"fy_px"`
	Cx       float64       `json:"cx_px"`
	Cy       float64       `json:"cy_px"`
	K1       float64       `json:"k1"`
	K2       float64       `json:"k2"`
	P1       float64       `json:"p1"`
	P2       float64       `json:"p2"`
	K3       float64       `json:"k3"`
	R        [3][3]float64 `json:"r"` // panel to camera
	T        [3]float64    `json:"t_mm"`
	Tilt     float64       `json:"tilt_deg"`
	Distance float64       `json:"distance_mm"` // to the first square's centre
}

// Calib returns the truth's camera as the tool's own type.
func (c Camera) Calib() calib.Camera {
	return calib.Camera{
		Lens: calib.Lens{
			Width: c.Width, Height: c.Height,
			Fx: c.Fx, Fy: c.Fy, Cx: c.Cx, Cy: c.Cy,
			K1: c.K1, K2: c.K2, P1: c.P1, P2: c.P2, K3: c.K3,
		},
		Pose: calib.Pose{R: c.R, T: calib.Vec3{X: c.T[0], Y: c.T[1], Z: c.T[2]}},
	}
}
