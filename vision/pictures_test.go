package vision

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"trimscribe/calib"
)

// flatCamera looks straight down from 400 mm, 7.5 px a millimetre.
func flatCamera(w, h int) calib.Camera {
	return calib.Camera{
		Lens: calib.Lens{Width: w, Height: h, Fx: 3000, Fy: 3000, Cx: float64(w-1) / 2, Cy: float64(h-1) / 2},
		Pose: calib.Pose{R: calib.Mat3{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}, T: calib.Vec3{Z: 400}},
	}
}

// leaning looks at the panel from one side, so that walls show.
func leaning() calib.Camera {
	tilt := calib.Rotation(calib.Vec3{X: 0.12, Y: -0.16})
	return calib.Camera{
		Lens: calib.Lens{Width: 560, Height: 520, Fx: 3000, Fy: 3000, Cx: 279.5, Cy: 259.5},
		Pose: calib.Pose{R: tilt.Mul(calib.Mat3{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}), T: calib.Vec3{Z: 400}},
	}
}

// tiltedCamera looks at the panel from 400 mm, tilted by 20 degrees, with the
// panel's y up in the photo.
func tiltedCamera(w, h int) calib.Camera {
	upright := calib.Mat3{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}
	return calib.Camera{
		Lens: calib.Lens{Width: w, Height: h, Fx: 1200, Fy: 1200, Cx: float64(w-1) / 2, Cy: float64(h-1) / 2, K1: -0.1},
		Pose: calib.Pose{R: calib.Rotation(calib.Vec3{Y: 20 * math.Pi / 180, X: 0.1}).Mul(upright), T: calib.Vec3{X: 5, Y: -3, Z: 400}},
	}
}

// pictured is a photo of what has the given light, each pixel the mean over its
// area, blurred by a box of three pixels.
func pictured(cam calib.Camera, light func(px calib.Point) float64) *Photo {
	p := &Photo{Width: cam.Width, Height: cam.Height, Lin: make([]float32, cam.Width*cam.Height)}
	sharp := make([]float32, len(p.Lin))
	const n = 4
	Parallel(p.Height, func(y int) {
		for x := range p.Width {
			at := func(i, j int) float64 {
				return light(calib.Point{X: float64(x) + (float64(i)+0.5)/n - 0.5, Y: float64(y) + (float64(j)+0.5)/n - 0.5})
			}
			sum := at(0, 0)
			if at(n-1, 0) == sum && at(0, n-1) == sum && at(n-1, n-1) == sum { // nothing's edge, as most are
				sharp[y*p.Width+x] = float32(sum)
				continue
			}
			sum = 0
			for i := range n * n {
				sum += at(i%n, i/n)
			}
			sharp[y*p.Width+x] = float32(sum / (n * n))
		}
	})
	for y := range p.Height {
		for x := range p.Width {
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					p.Lin[y*p.Width+x] += sharp[min(max(y+dy, 0), p.Height-1)*p.Width+min(max(x+dx, 0), p.Width-1)] / 9
				}
			}
		}
	}
	return p
}

// drawn is a photo by a flatCamera of a face whose light at each place, mm, is
// given.
func drawn(cam calib.Camera, light func(q calib.Point) float64) *Photo {
	scale := cam.T.Z / cam.Fx
	return pictured(cam, func(px calib.Point) float64 {
		return light(calib.Point{X: (px.X - cam.Cx) * scale, Y: (cam.Cy - px.Y) * scale})
	})
}

// publishedPhotos is where Debian's opencv-doc keeps the photos that OpenCV's
// calibration was published with.
const publishedPhotos = "/usr/share/doc/opencv-doc/examples/data"

// publishedBoard is the chessboard on them.
var publishedBoard = calib.Board{Columns: 9, Rows: 6, Cell: 25}

// A boardPhoto is one of them, with the board's corners.
type boardPhoto struct {
	*Photo
	corners []calib.Point
}

// publishedBoards opens the 13 published photos of the board (left01.jpg to
// left14.jpg, no 10) and finds it on them. Without the photos the test is skipped.
func publishedBoards(t *testing.T) []boardPhoto {
	t.Helper()
	var out []boardPhoto
	for i := 1; i <= 14; i++ {
		if i == 10 {
			continue
		}
		path := filepath.Join(publishedPhotos, fmt.Sprintf("left%02d.jpg", i))
		if _, err := os.Stat(path); err != nil {
			if os.Getenv("CI") != "" {
				t.Fatalf("%v; apt-get install opencv-doc", err)
			}
			t.Skipf("%v; apt-get install opencv-doc", err)
		}
		p, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		corners, ok := FindBoard(p, publishedBoard.Columns, publishedBoard.Rows)
		if !ok {
			t.Fatalf("no board in %s", path)
		}
		out = append(out, boardPhoto{p, corners})
	}
	return out
}
