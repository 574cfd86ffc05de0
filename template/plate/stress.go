package plate

import "math"

// sharpCorner is the greatest ratio of step to radius for which the factor's
// formula holds. A corner left sharp is worse than that.
const sharpCorner = 20.0

// shoulderFactor returns by how much the stress at the fillet is greater than
// that in the narrow part, for a flat bar that widens from width d to width
// wide with fillets of radius r, bent in its plane. The curves are those of
// Peterson's Stress Concentration Factors for the stepped flat bar, in the
// form that Roark's Formulas for Stress and Strain gives them (from memory). With
// no step it is 1. Steps greater than twenty radii are taken as twenty.
func shoulderFactor(wide, d, r float64) float64 {
	h := (wide - d) / 2
	if h <= 0 {
		return 1
	}
	hr := math.Min(h/r, sharpCorner)
	if hr < 0.1 { // below the formula's range: on to 1 at no step
		return 1 + (shoulderCurve(0.1, 2*h/wide)-1)*hr/0.1
	}
	return math.Max(1, shoulderCurve(hr, 2*h/wide))
}

func shoulderCurve(hr, x float64) float64 {
	q := math.Sqrt(hr)
	c := [4]float64{1.007 + q - 0.031*hr, -0.270 - 2.404*q + 0.749*hr, 0.677 + 1.133*q - 0.904*hr, -0.414 + 0.271*q + 0.186*hr}
	if hr > 2 {
		c = [4]float64{1.042 + 0.982*q - 0.036*hr, -3.599 + 1.619*q - 0.431*hr, 6.084 - 5.607*q + 1.158*hr, -2.527 + 3.006*q - 0.691*hr}
	}
	return c[0] + x*(c[1]+x*(c[2]+x*c[3]))
}
