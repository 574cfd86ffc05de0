package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"path/filepath"
	"strings"
	"unicode/utf16"

	"trimscribe/calib"
	"trimscribe/template/plate"
)

// mark stands in every file we write, where its format keeps such words, so
// that a later run knows the file for its own and may overwrite it. A file
// without it is somebody's work.
const mark = "made by trimscribe"

// markHead is within how many bytes of the front the mark stands in pictures and drawings.
const markHead = 4096

// marked returns a file's bytes with the mark in them, by the file's kind. A
// survey has its format field, and the PDF writer names us as the creator.
func marked(name string, b []byte) []byte {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".svg": // a comment behind the XML declaration
		comment := "<!-- " + mark + " -->\n"
		if end := bytes.Index(b, []byte("?>\n")); bytes.HasPrefix(b, []byte("<?xml")) && end > 0 {
			return insert(b, end+len("?>\n"), comment)
		}
		return insert(b, 0, comment)
	case ".dxf": // group 999 is a comment (DXF reference)
		return insert(b, 0, "999\n"+mark+"\n")
	case ".png": // a text chunk behind IHDR (ISO/IEC 15948, 11.3.4.3)
		data := "tEXtSoftware\x00" + mark
		chunk := binary.BigEndian.AppendUint32(nil, uint32(len(data)-4))
		chunk = append(chunk, data...)
		chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE([]byte(data)))
		return insert(b, 8+25, string(chunk))
	case ".jpg": // a comment segment behind the start of image (ISO/IEC 10918-1, B.2.4.5)
		return insert(b, 2, fmt.Sprintf("\xff\xfe%c%c%s", 0, len(mark)+2, mark))
	}
	return b
}

func insert(b []byte, at int, s string) []byte {
	return append(append(append(make([]byte, 0, len(b)+len(s)), b[:at]...), s...), b[at:]...)
}

// isMarked tells whether we made a file of that name with those bytes.
func isMarked(name string, b []byte) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".json":
		_, errSurvey := calib.DecodeSurvey(b)
		_, errPlate := plate.DecodeRecord(b)
		lens, errLens := calib.DecodeLens(b)
		return errSurvey == nil || errPlate == nil || errLens == nil && lens.Format == calib.LensFormat
	case ".3mf": // a package's comment stands at its end (PKWARE APPNOTE, 4.3.16)
		return bytes.HasSuffix(b, []byte(mark))
	case ".pdf":
		return bytes.Contains(b, []byte("/Creator (trimscribe)")) || bytes.Contains(b, append([]byte("/Creator (\xfe\xff"), utf16Bytes("trimscribe")...))
	}
	return bytes.Contains(b[:min(markHead, len(b))], []byte(mark))
}

func utf16Bytes(s string) (b []byte) {
	for _, u := range utf16.Encode([]rune(s)) {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return b
}
