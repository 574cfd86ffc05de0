package vision

import (
	"gocv.io/x/gocv"
)

// The scale at which texture is judged, px per mm, and how far round a place,
// mm: a mesh's openings come every 1.5 to 4 mm.
const (
	textureScale = 2.0
	textureReach = 4.0
)

// texture maps how busy each place of a view is, as a view: the mean gradient
// around. A perforated grille stands out in it as a disc, whatever its colour,
// even where its rim has none.
func texture(f flat) flat {
	full, err := gocv.NewMatFromBytes(f.h, f.w, gocv.MatTypeCV32F, floatBytes(f.pix))
	if err != nil {
		panic(err) // the sizes are ours
	}
	defer full.Close()
	k := textureScale / f.scale
	out := flat{region: f.region, scale: textureScale, w: max(1, int(float64(f.w)*k)), h: max(1, int(float64(f.h)*k))}
	busy, small := gocv.NewMat(), gocv.NewMat()
	defer busy.Close()
	defer small.Close()
	gradientSize(full, &busy)
	gocv.Resize(busy, &small, gocvSize(out.w, out.h), 0, 0, gocv.InterpolationArea)
	gocv.BoxFilter(small, &small, -1, gocvPoint(int(textureReach*textureScale)|1))
	pix, _ := small.DataPtrFloat32()
	out.pix = make([]float32, len(pix))
	for i, v := range pix {
		out.pix[i] = min(10*v, 255) // ten grey levels a pixel is busy
	}
	return out
}

// gradientSize writes the size of the gradient at each pixel of m to out.
func gradientSize(m gocv.Mat, out *gocv.Mat) {
	gx, gy := gocv.NewMat(), gocv.NewMat()
	defer gx.Close()
	defer gy.Close()
	gradient(m, &gx, &gy)
	gocv.Magnitude(gx, gy, out)
}

// gradient writes the change per pixel along x and y (Sobel's 3 x 3 filter).
func gradient(m gocv.Mat, gx, gy *gocv.Mat) {
	gocv.Sobel(m, gx, gocv.MatTypeCV32F, 1, 0, 3, 0.125, 0, gocv.BorderReplicate)
	gocv.Sobel(m, gy, gocv.MatTypeCV32F, 0, 1, 3, 0.125, 0, gocv.BorderReplicate)
}
