package calib

import (
	"fmt"
	"math"
)

// What makes a calibration a good one. Common practice, but for the first,
// which is what half a percent of focal length costs: at 9 mm of height,
// 60 mm off the axis and 400 mm away, 0.007 mm.
const (
	focalU95     = 0.005 // relative, above which the focal length is a doubt
	tiltWanted   = 20.0  // degrees: at least three photos should be tilted so
	tiltedWanted = 3
	viewsWanted  = 8
	shareWanted  = 0.75
	roughShare   = 1.0 / 2500 // rms in the picture's diagonal above which corners lie badly
)

// zoneNames are the picture's nine parts by row and column.
var zoneNames = [3][3]string{
	{"upper left", "top", "upper right"},
	{"left", "middle", "right"},
	{"lower left", "bottom", "lower right"},
}

// Covered tells, by row and column, in which tiles of the picture (as
// stored) used corners lie.
func (f *LensFit) Covered(columns, rows int) [][]bool {
	out := make([][]bool, rows)
	for r := range out {
		out[r] = make([]bool, columns)
	}
	for _, view := range f.Views {
		for k, used := range view.Used {
			c := view.Corners[k]
			col := math.Floor(float64(columns) * (c.X + 0.5) / float64(f.Lens.Width))
			row := math.Floor(float64(rows) * (c.Y + 0.5) / float64(f.Lens.Height))
			if used && col >= 0 && row >= 0 && col < float64(columns) && row < float64(rows) {
				out[int(row)][int(col)] = true
			}
		}
	}
	return out
}

// Tiles is the grid by which coverage is judged: square tiles, about twelve
// along the picture's longer side.
func (f *LensFit) Tiles() (columns, rows int) {
	side := float64(max(f.Lens.Width, f.Lens.Height)) / 12
	return max(1, int(math.Round(float64(f.Lens.Width)/side))), max(1, int(math.Round(float64(f.Lens.Height)/side)))
}

// Coverage returns the share of the tiles that corners lie in, and how far
// the farthest corner lies from the lens's middle, as a share of the
// picture's half diagonal.
func (f *LensFit) Coverage() (share, reach float64) {
	columns, rows := f.Tiles()
	for _, row := range f.Covered(columns, rows) {
		for _, seen := range row {
			if seen {
				share += 1 / float64(columns*rows)
			}
		}
	}
	middle := Point{f.Lens.Cx, f.Lens.Cy}
	for _, view := range f.Views {
		for k, used := range view.Used {
			if used {
				reach = math.Max(reach, view.Corners[k].Dist(middle))
			}
		}
	}
	return share, reach / (math.Hypot(float64(f.Lens.Width), float64(f.Lens.Height)) / 2)
}

// Advice returns what would make a calibration better that is good enough,
// each a sentence or two.
func (f *LensFit) Advice() []string {
	var out []string
	if share, _ := f.Coverage(); share < shareWanted {
		out = append(out, fmt.Sprintf("The board was seen in %.0f %% of the picture. What lies outside is corrected by guess: take more photos with the board at the picture's edges and in its corners.", 100*share))
	}
	if n, _ := f.tilted(); n < viewsWanted {
		out = append(out, fmt.Sprintf("%d photos are few. Take %d to 15.", n, viewsWanted))
	}
	return out
}

// Doubts returns what is wrong with a calibration and what to do about it,
// each a sentence or two; none when all is well. shown is how the pictures are
// turned when a person looks at them (Exif's orientation), so that "left" is
// the left.
func (f *LensFit) Doubts(shown int) []string {
	var out []string
	if u95 := 2 * f.U.Fx / f.Lens.Fx; u95 > focalU95 {
		out = append(out, fmt.Sprintf("The focal length is known to +-%.1f %% only. Take more photos with the board tilted by 30 to 45 degrees, to the left, right, front and back.", 100*u95))
	}
	if n, tilted := f.tilted(); tilted < min(tiltedWanted, n) {
		text := "All photos are taken square-on"
		if tilted > 0 {
			text = fmt.Sprintf("Only %d of %d photos are tilted by more than %.0f degrees", tilted, n, tiltWanted)
		}
		out = append(out, text+", and those cannot tell the focal length from the distance. Tilt the board, or the camera, by 30 to 45 degrees in half of the photos.")
	}
	if missing := f.missing(shown); len(missing) > 0 {
		out = append(out, fmt.Sprintf("No photo has the board in the picture's %s, so the lens's distortion there is a guess. Take photos with the board there.", enumerate(missing)))
	}
	if !f.Lens.OneToOne(1) {
		out = append(out, "The lens's distortion runs wild in the picture's far corners. Take photos with the board there.")
	}
	if rms, _ := f.RMS(); rms > roughShare*math.Hypot(float64(f.Lens.Width), float64(f.Lens.Height)) {
		out = append(out, fmt.Sprintf("The corners lie %.2f px off the fit, which is much. Glue the board on something stiff and flat, hold still, and let the camera focus.", rms))
	}
	return out
}

// tilted counts the used views, and those that are tilted.
func (f *LensFit) tilted() (views, tilted int) {
	for v := range f.Views {
		if _, n := f.ViewRMS(v); n > 0 {
			views++
			if f.Tilt(v) > tiltWanted*math.Pi/180 {
				tilted++
			}
		}
	}
	return views, tilted
}

// missing names the zones without corners.
func (f *LensFit) missing(shown int) (names []string) {
	covered := f.Covered(3, 3)
	for row := range 3 {
		for col := range 3 {
			if at := UnturnPoint(Point{float64(col), float64(row)}, 3, 3, shown); !covered[int(at.Y)][int(at.X)] {
				names = append(names, zoneNames[row][col])
			}
		}
	}
	return names
}

// enumerate joins words as a sentence does: "a, b and c".
func enumerate(words []string) (s string) {
	for i, w := range words {
		switch {
		case i == 0:
		case i == len(words)-1:
			s += " and "
		default:
			s += ", "
		}
		s += w
	}
	return s
}
