package vision

import (
	"math"
	"testing"
)

// A photo that is blurred more by a known amount has edges that are spread
// more by it: variances of blurs add up (as those of independent errors).
func TestEdgeSpread(t *testing.T) {
	p, err := Open("../testdata/pillar-straight.jpg")
	if err != nil {
		t.Fatal(err)
	}
	squares := FindSquares(p)
	before := EdgeSpread(p, squares)
	if before < 0.3 || before > 1.5 {
		t.Errorf("the edges of a photo in focus are spread by %.2f px", before)
	}
	// A running mean over 2n+1 pixels along a row has a variance of ((2n+1)²-1)/12.
	const n = 6
	q := *p
	q.Lin = make([]float32, len(p.Lin))
	for y := range p.Height {
		row := p.Lin[y*p.Width : (y+1)*p.Width]
		for x := range row {
			sum := float32(0)
			for k := -n; k <= n; k++ {
				sum += row[min(max(x+k, 0), len(row)-1)]
			}
			q.Lin[y*p.Width+x] = sum / (2*n + 1)
		}
	}
	after := EdgeSpread(&q, squares)
	// The square lies turned by an angle that the edge says; its steep edges
	// take nearly all of the blur.
	along := squares[0].Corners[3].Sub(squares[0].Corners[0])
	share := math.Abs(along.Y) / along.Norm()
	want := math.Sqrt(before*before + share*share*(math.Pow(2*n+1, 2)-1)/12)
	// 16 to 84 % of a box's step is 0.68 of its width, a normal one's two deviations.
	if after < 0.9*want || after > 1.3*want {
		t.Errorf("spread by %.2f px, want about %.2f", after, want)
	}
}
