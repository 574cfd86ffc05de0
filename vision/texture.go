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
	busy := gradientSize(full)
	small := gocv.NewMat()
	defer busy.Close()
	defer small.Close()
	gocv.Resize(busy, &small, gocvSize(out.w, out.h), 0, 0, gocv.InterpolationArea)
	gocv.BoxFilter(small, &small, -1, gocvPoint(int(textureReach*textureScale)|1))
	pix, _ := small.DataPtrFloat32()
	out.pix = make([]float32, len(pix))
	for i, v := range pix {
		out.pix[i] = min(10*v, 255) // ten grey levels a pixel is busy
	}
	return out
}

// gradientSize returns the size of the gradient at each pixel. The caller
// closes it.
func gradientSize(m gocv.Mat) gocv.Mat {
	gx, gy, out := gocv.NewMat(), gocv.NewMat(), gocv.NewMat()
	defer gx.Close()
	defer gy.Close()
	gocv.Sobel(m, &gx, gocv.MatTypeCV32F, 1, 0, 3, 0.125, 0, gocv.BorderReplicate)
	gocv.Sobel(m, &gy, gocv.MatTypeCV32F, 0, 1, 3, 0.125, 0, gocv.BorderReplicate)
	gocv.Magnitude(gx, gy, &out)
	return out
}
