package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"trimscribe/calib"
)

// report tells a person what was found, what to do better, and the files.
func (c *calibrated) report(w io.Writer, paths []string) {
	l, u := c.fit.Lens, c.fit.U
	rms, n := c.fit.RMS()
	for _, line := range []struct{ head, text string }{
		{"photos", fmt.Sprintf("%d of %d used, of %s, %d x %d pixels", len(c.record.Photos), c.given, cameraWordsOf(c.record.Make, c.record.Model), l.Width, l.Height)},
		{"lens", fmt.Sprintf("focal length %.1f px, +-%.1f; middle at %.1f, %.1f, +-%.1f px", l.Fx, 2*u.Fx, l.Cx, l.Cy, 2*math.Max(u.Cx, u.Cy))},
		{"bends", c.bendWords()},
		{"fit", fmt.Sprintf("%d corners lie %.2f px off it (root mean square)", n, rms)},
		{"seen", c.seenWords()},
	} {
		fmt.Fprintf(w, "%-8s%s\n", line.head, line.text)
	}
	if len(c.leftOut) > 0 {
		fmt.Fprintln(w, "\nLeft out:")
		for _, l := range c.leftOut {
			fmt.Fprintf(w, "  %s: %s\n", l.File, l.Why)
		}
	}
	for _, list := range []struct {
		head  string
		lines []string
	}{{"Doubtful:", c.record.Doubts}, {"To make it better:", c.fit.Advice()}} {
		if len(list.lines) > 0 {
			fmt.Fprintln(w, "\n"+list.head)
		}
		for _, line := range list.lines {
			fmt.Fprintln(w, "  "+line)
		}
	}
	fmt.Fprintln(w)
	for _, p := range paths {
		fmt.Fprintln(w, p)
	}
}

func cameraWordsOf(make, model string) string {
	if s := strings.TrimSpace(make + " " + model); s != "" {
		return s
	}
	return "a camera not named in them"
}

// bendWords says how far the lens moves what it sees from where a pinhole
// would have it, at the farthest corner of the board in any photo.
func (c *calibrated) bendWords() string {
	l := c.fit.Lens
	_, reach := c.fit.Coverage()
	far := reach * math.Hypot(float64(l.Width), float64(l.Height)) / 2
	seen := calib.Point{X: far / l.Fx}
	bend, way := (l.Undistort(seen).Norm()-seen.Norm())*l.Fx, "inward"
	if bend < 0 {
		way = "outward"
	}
	return fmt.Sprintf("points %.0f px from the middle by %.1f px %s", far, math.Abs(bend), way)
}

func (c *calibrated) seenWords() string {
	minTilt, maxTilt := math.Inf(1), 0.0
	near, far := math.Inf(1), 0.0
	for v := range c.fit.Views {
		if _, n := c.fit.ViewRMS(v); n == 0 {
			continue
		}
		tilt, d := c.fit.Tilt(v)*180/math.Pi, c.fit.Distance(v)
		minTilt, maxTilt = math.Min(minTilt, tilt), math.Max(maxTilt, tilt)
		near, far = math.Min(near, d), math.Max(far, d)
	}
	share, reach := c.fit.Coverage()
	return fmt.Sprintf("tilted by %.0f to %.0f degrees, from %.0f to %.0f mm away, in %.0f %% of the picture and out to %.0f %% of the way to its corners", minTilt, maxTilt, near, far, 100*share, 100*reach)
}
