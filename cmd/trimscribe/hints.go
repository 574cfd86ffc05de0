package main

import (
	"trimscribe/calib"
	"trimscribe/vision"
)

// told is which of what the survey rests on the user gave.
func (f *photoFlags) told() calib.Known {
	return calib.Known{
		SquareSize: f.square.given,
		HoleHeight: f.holeHeight.given || f.heights.tell('H'), GrilleHeight: f.grilleHeight.given || f.heights.tell('G'),
	}
}

// hints is what the flags say of the panel, in the terms of the choice. The
// circles' numbers start at 1; places are in the overlay of the given photo.
func (f *photoFlags) hints(p *vision.Photo, cam calib.Camera, cands []calib.Candidate, heights []calib.HeightFound) (calib.Hints, error) {
	h := calib.Hints{Holes: f.holes.n, HoleDiameter: f.holeDiameter.mm, GrilleDiameter: f.grilleDiameter.mm, Tweeter: f.tweeterDiameter.mm, GrilleHeight: f.grilleHeight.given || f.heights.tell('G')}
	for _, n := range f.pick {
		h.Pick = append(h.Pick, n-1)
	}
	for _, n := range f.drop {
		h.Drop = append(h.Drop, n-1)
	}
	for _, at := range f.near {
		i, err := nearest(p, cam, cands, heights, at.Point)
		if err != nil {
			return h, err
		}
		h.Pick = append(h.Pick, i)
	}
	return h, nil
}
