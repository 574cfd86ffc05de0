// Package vision turns a photo into geometry in pixels: it opens and turns
// the photo, finds reference squares and circles, and traces their edges to
// sub-pixel points. It is the one home of OpenCV; no gocv.Mat leaves it.
package vision
