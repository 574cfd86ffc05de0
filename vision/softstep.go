package vision

import "math"

// A softStep is a step as the camera shows it: blurred, and sharpened again by
// taking away a share of a wider blur, which leaves a halo on either side.
type softStep struct{ blur, wide, halo float64 } // the blurs inverted, 1/px

// haloWidth is the sigma, px, of the wider blur's part that phones commonly
// sharpen by.
const haloWidth = 1.5

func newSoftStep(blur, halo float64) softStep {
	return softStep{1 / blur, 1 / math.Hypot(blur, haloWidth), halo}
}

// at returns the step at u pixels from it: 0 far below, 1 far above.
func (s softStep) at(u float64) float64 {
	if s.halo == 0 {
		return step(u * s.blur)
	}
	wide := step(u * s.wide)
	if wide == 0 || wide == 1 { // the narrower is then the same
		return wide
	}
	return (1+s.halo)*step(u*s.blur) - s.halo*wide
}

// spread is half the way, px, from 16 to 84 % of the step: a normal blur's standard deviation.
func (s softStep) spread() float64 {
	const pace = 0.02 // px
	u := 0.0
	for u < 20 && s.at(u) < 0.8413 {
		u += pace
	}
	return u
}

// slopes returns by how much the step at u rises with u, with the logarithm of
// its blur and with its halo.
func (s softStep) slopes(u float64) (byU, byBlur, byHalo float64) {
	sharp, wide := (1+s.halo)*bell(u*s.blur)*s.blur, s.halo*bell(u*s.wide)*s.wide
	narrower := s.wide / s.blur
	return sharp - wide, -u * (sharp - wide*narrower*narrower), step(u*s.blur) - step(u*s.wide)
}

// stepTable holds the normal distribution function, to steepTo deviations on
// either side: it is asked for some ten million times a photo.
var stepTable = func() (t [2*steepTo*stepsPer + 2]float64) {
	for i := range t {
		t[i] = 0.5 * (1 + math.Erf((float64(i)/stepsPer-steepTo)/math.Sqrt2))
	}
	return t
}()

const (
	steepTo  = 5
	stepsPer = 64
)

// step is a blurred step: the normal distribution function.
func step(u float64) float64 {
	at := (u + steepTo) * stepsPer
	switch {
	case at <= 0:
		return 0
	case at >= 2*steepTo*stepsPer:
		return 1
	}
	i := int(at)
	return stepTable[i] + (at-float64(i))*(stepTable[i+1]-stepTable[i])
}

// bell is the slope of step: the normal density.
func bell(u float64) float64 {
	at := (u + steepTo) * stepsPer
	if at <= 0 || at >= 2*steepTo*stepsPer {
		return 0
	}
	i := int(at)
	return (stepTable[i+1] - stepTable[i]) * stepsPer
}
