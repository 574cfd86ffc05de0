package calib

import "math/bits"

// The reference square's artwork, on a grid of ten by ten cells:
//
//	cells 0 and 9   the frame: black, all round
//	cells 1 and 8   white, all round, so that the frame's inner edge is clean
//	cells 2 to 7    the code: six by six cells, black or white
//
// Outside the frame the paper is white for SquareMargin cells to the cut line.
//
// The code's four corner cells tell which way is up: the top left is white,
// the others black. The other 32 cells, row by row from the top left, are the
// square's number (8 bits, most significant first) and a 24-bit check: the
// CRC-24 of RFC 4880, 6.1, over that one byte. Black is 1. No error is
// corrected: a damaged code is refused.
const (
	SquareGrid   = 10   // cells across the square, frame included
	SquareCode   = 6    // cells across the code
	SquareMargin = 1.5  // cells of white outside the frame, to the cut line
	SquareSize   = 60.0 // default outside size, mm
	MaxSquare    = 255  // numbers run from 1 to this
)

// SquareArt returns the code of a square: [row][column] from the top left,
// true for black. The number must be from 1 to MaxSquare.
func SquareArt(number int) [SquareCode][SquareCode]bool {
	word := uint32(number)<<24 | crc24(byte(number))
	var art [SquareCode][SquareCode]bool
	bit := 31
	for r := range SquareCode {
		for c := range SquareCode {
			if isCorner(r, c) {
				art[r][c] = !(r == 0 && c == 0)
				continue
			}
			art[r][c] = word>>bit&1 == 1
			bit--
		}
	}
	return art
}

// ReadSquareArt returns the number that a code read from a photo stands for,
// and how many quarter turns clockwise the code was turned in the reading
// (0 to 3). ok is false when no turn of it is a valid code.
func ReadSquareArt(code [SquareCode][SquareCode]bool) (number, turns int, ok bool) {
	for turns = range 4 {
		if n, good := readUpright(code); good {
			return n, turns, true
		}
		code = turnBack(code)
	}
	return 0, 0, false
}

func readUpright(code [SquareCode][SquareCode]bool) (int, bool) {
	var word uint32
	for r := range SquareCode {
		for c := range SquareCode {
			if isCorner(r, c) {
				if code[r][c] == (r == 0 && c == 0) {
					return 0, false
				}
				continue
			}
			word <<= 1
			if code[r][c] {
				word |= 1
			}
		}
	}
	number := byte(word >> 24)
	return int(number), number != 0 && crc24(number) == word&0xffffff
}

// turnBack turns a code by a quarter anticlockwise.
func turnBack(code [SquareCode][SquareCode]bool) [SquareCode][SquareCode]bool {
	var out [SquareCode][SquareCode]bool
	for r := range SquareCode {
		for c := range SquareCode {
			out[SquareCode-1-c][r] = code[r][c]
		}
	}
	return out
}

func isCorner(r, c int) bool {
	return (r == 0 || r == SquareCode-1) && (c == 0 || c == SquareCode-1)
}

// crc24 is the checksum of RFC 4880, 6.1 over one byte.
func crc24(b byte) uint32 { return crc24From(0xb704ce, b) }

func crc24From(crc uint32, b byte) uint32 {
	crc ^= uint32(b) << 16
	for range 8 {
		crc <<= 1
		if bits.Len32(crc) > 24 {
			crc ^= 0x1864cfb
		}
	}
	return crc
}
