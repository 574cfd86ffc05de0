package calib

import "testing"

// Every number reads back at every quarter turn, as itself and at that turn
// only: two codes that are turns of one another would put a panel sideways.
func TestSquareArtReadsBackAtEveryTurn(t *testing.T) {
	seen := map[[SquareCode][SquareCode]bool]int{}
	for n := 1; n <= MaxSquare; n++ {
		code := SquareArt(n)
		for back := range 4 {
			turns := (4 - back) % 4
			got, gotTurns, ok := ReadSquareArt(code)
			if !ok || got != n || gotTurns != turns {
				t.Fatalf("number %d turned %d: read %d, %d, %v", n, turns, got, gotTurns, ok)
			}
			if m, dup := seen[code]; dup {
				t.Fatalf("numbers %d and %d look alike", m, n)
			}
			seen[code] = n
			code = turnBack(code)
		}
	}
}

// RFC 4880, 6.1: the CRC of no octets is the initial value 0xB704CE, and the
// generator is 0x864CFB. The check value of "123456789" is 0x21CF02 (the
// CRC catalogue's CRC-24/OPENPGP entry, from memory); crc24 takes one byte,
// so the test chains it by its definition.
func TestCRC24AgainstRFC4880(t *testing.T) {
	crc := uint32(0xb704ce)
	for _, b := range []byte("123456789") {
		crc = crc24From(crc, b)
	}
	if crc != 0x21cf02 {
		t.Fatalf("got %06x", crc)
	}
}
