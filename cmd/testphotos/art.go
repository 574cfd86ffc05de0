package main

import (
	"bytes"
	"fmt"

	"trimscribe/calib"
)

// squaresInclude returns the include file with the artwork of every square: a
// macro Square_art(N) that declares the array Art, row by row from the top left,
// 1 for black. It is made from calib.SquareArt on each run, so the photos show
// what the tool prints.
func squaresInclude() []byte {
	var b bytes.Buffer
	b.WriteString("#macro Square_art(N)\n#switch (N)\n")
	for n := 1; n <= calib.MaxSquare; n++ {
		fmt.Fprintf(&b, "#case (%d) #declare Art = array[%d] {", n, calib.SquareCode*calib.SquareCode)
		art := calib.SquareArt(n)
		for r, row := range art {
			for c, black := range row {
				if r+c > 0 {
					b.WriteByte(',')
				}
				if black {
					b.WriteByte('1')
				} else {
					b.WriteByte('0')
				}
			}
		}
		b.WriteString("} #break\n")
	}
	b.WriteString("#else #error \"there is no square of this number\\n\"\n#end\n#end\n")
	return b.Bytes()
}
