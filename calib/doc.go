// Package calib turns geometry seen in photos into millimetres on the panel.
//
// It is pure Go: it knows no image library and opens no file but surveys and
// lens files. What it takes in are edge points in pixels; what it gives back
// is a camera, circles in the panel's plane, and how sure each number is.
//
// # Frames
//
// Photo: pixels, x right, y down, the centre of the first pixel is (0, 0).
//
// Panel: millimetres, right-handed, origin at the centre of the first square,
// x to the square's right, y to its top, z out of the panel towards the
// camera. z = 0 is the square's printed face.
//
// Camera: millimetres, x right, y down, z forward (OpenCV's convention).
//
// Angles are radians inside, degrees in files and in words to the user.
package calib
