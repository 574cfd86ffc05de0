package calib

import (
	"fmt"
	"math"
	"slices"
)

// leastBody is the log odds below which a tweeter's body is doubtful.
const leastBody = 2.0

// chooseAboutTweeter is Choose where a tweeter sits in the opening: the holes
// lie about its body. A grille that shows round it is reported beside it.
func chooseAboutTweeter(cands []Candidate, h Hints) Choice {
	body, rivals, doubt := chooseBody(cands, h)
	if body < 0 {
		c := chooseAboutGrille(cands, h)
		c.Doubts = append([]string{doubt}, c.Doubts...)
		return c
	}
	options := layouts(cands, h, body)
	told := h
	told.GrilleHeight = true // the body is no collar
	c := decide(cands, told, options)
	c.Mocked, c.Tweeter = true, body
	c.Rivals = rivals
	c.Grille = grilleRound(cands, h, body)
	for i := range cands {
		switch {
		case i == c.Grille:
			c.Why[i] = "chosen: it shows round the tweeter's body"
		case cands[i].Kind == KindTweeter && i != body && !slices.Contains(h.Drop, i):
			c.Why[i] = fmt.Sprintf("not chosen: circle %d is likelier the tweeter's body", body+1)
		}
	}
	if doubt != "" {
		c.Doubts = append([]string{doubt}, c.Doubts...)
	}
	return c
}

// chooseBody returns the likeliest body, or -1, what else may be it, and what is doubtful about it.
func chooseBody(cands []Candidate, h Hints) (body int, rivals []Rival, doubt string) {
	body, second := -1, -1
	for i, c := range cands {
		if c.Kind != KindTweeter || slices.Contains(h.Drop, i) {
			continue
		}
		if slices.Contains(h.Pick, i) {
			return i, nil, ""
		}
		switch {
		case body < 0 || c.Quality > cands[body].Quality:
			body, second = i, body
		case second < 0 || c.Quality > cands[second].Quality:
			second = i
		}
	}
	const how = "measure it again and say what it is with --tweeter-diameter, and how high its rim stands with --tweeter-height"
	switch {
	case body < 0:
		return -1, nil, fmt.Sprintf("no tweeter's body %.2f mm wide was found, so what is given for the tweeter's centre is not its body's; %s", h.Tweeter, how)
	case cands[body].Quality < leastBody:
		return body, nil, fmt.Sprintf("circle %d is hardly seen to be the tweeter's body; %s", body+1, how)
	case second >= 0 && cands[body].Quality-cands[second].Quality < clearOdds:
		return body, []Rival{{second, evenShare}}, fmt.Sprintf("circles %d and %d are about as likely to be the tweeter's body; settle it with --pick or --drop", body+1, second+1)
	}
	return body, nil, ""
}

// grilleRound returns the grille that shows round a body, or -1.
func grilleRound(cands []Candidate, h Hints, body int) int {
	best := -1
	b := cands[body]
	for _, i := range usable(cands, h, KindGrille) {
		c := cands[i]
		round := c.R > b.R+0.3 && c.R < 2*b.R && c.Centre.Dist(b.Centre) < math.Min(0.2*b.R, c.R-b.R+2)
		if (round && c.Quality > 0 || slices.Contains(h.Pick, i)) && (best < 0 || c.Quality > cands[best].Quality) {
			best = i
		}
	}
	return best
}
