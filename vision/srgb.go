package vision

import (
	"math"
	"sync"
)

// toLinear undoes the sRGB curve (IEC 61966-2-1): stored value to light, both 0 to 1.
func toLinear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func linearTable(n int) []float32 {
	t := make([]float32, n)
	for i := range t {
		t[i] = float32(toLinear(float64(i) / float64(n-1)))
	}
	return t
}

var (
	linearOf8  = linearTable(1 << 8)
	linearOf16 = sync.OnceValue(func() []float32 { return linearTable(1 << 16) })
)

// srgbCurve maps linear luminance in 4096 steps to an sRGB byte
// (IEC 61966-2-1).
var srgbCurve = func() (table [4097]byte) {
	for i := range table {
		v := float64(i) / 4096
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		table[i] = byte(math.Round(255 * v))
	}
	return table
}()

func encodeSRGB(v float32) byte {
	return srgbCurve[int(4096*min(max(v, 0), 1)+0.5)]
}
