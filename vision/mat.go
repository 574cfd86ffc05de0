package vision

import (
	"image"
	"unsafe"
)

// floatBytes views floats as the bytes that gocv makes a Mat of. The Mat refers to
// them and keeps them alive.
func floatBytes(f []float32) []byte {
	return unsafe.Slice((*byte)(unsafe.Pointer(unsafe.SliceData(f))), 4*len(f))
}

func gocvPoint(n int) image.Point   { return image.Pt(n, n) }
func gocvSize(w, h int) image.Point { return image.Pt(w, h) }
