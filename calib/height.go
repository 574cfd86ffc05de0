package calib

import "math"

// HeightShift is how a circle's measured centre and diameter change, mm per mm,
// when its plane is taken higher: what stands nearer the camera looks bigger, so
// it is taken for less, and nearer to the point right below the camera.
type HeightShift struct {
	X        float64 `json:"x_mm"`
	Y        float64 `json:"y_mm"`
	Diameter float64 `json:"diameter_mm"`
}

// Shift returns how a circle in the plane at height z follows its height, seen
// by this camera (pinhole geometry: a line of sight to p passes p + (eye - p)/H
// one millimetre higher, H being the eye's height above the plane).
func (c Camera) Shift(circle Circle, z float64) HeightShift {
	eye := c.Eye()
	h := eye.Z - z
	return HeightShift{(eye.X - circle.Centre.X) / h, (eye.Y - circle.Centre.Y) / h, -2 * circle.R / h}
}

// Carry returns the circle in the plane at height to that looks to this camera as
// the given one does in the plane at height from: the lines of sight to the one
// pass through the other, so that it lies about as far along them and is as much
// smaller or larger (a homothety about the eye).
func (c Camera) Carry(circle Circle, from, to float64) Circle {
	eye := c.Eye()
	share := (to - from) / (eye.Z - from) // of the way to the eye
	off := Point{eye.X, eye.Y}.Sub(circle.Centre)
	return Circle{Centre: circle.Centre.Add(off.Mul(share)), R: circle.R * (1 - share)}
}

// Heading names the direction of a vector on the panel, as the square lies:
// "left", "up and left".
func Heading(v Point) string {
	names := [8]string{"right", "up and right", "up", "up and left", "left", "down and left", "down", "down and right"}
	eighths := math.Round(math.Atan2(v.Y, v.X) / (math.Pi / 4))
	return names[(int(eighths)+8)%8]
}
