package main

import (
	"fmt"
	"io"
	"os"
)

// progress tells a person at a terminal what is being done. A file or a pipe
// gets nothing of it.
type progress struct{ w io.Writer }

func newProgress(stderr io.Writer, quiet bool) *progress {
	f, ok := stderr.(*os.File)
	if !ok || quiet {
		return &progress{}
	}
	if st, err := f.Stat(); err != nil || st.Mode()&os.ModeCharDevice == 0 {
		return &progress{}
	}
	return &progress{stderr}
}

// clearLine goes to the line's start and clears it (ECMA-48, EL).
const clearLine = "\r\x1b[K"

func (p *progress) stage(doing string) {
	if p.w != nil {
		fmt.Fprintf(p.w, "%s%s ...", clearLine, doing)
	}
}

// done takes the line away. It may be called again.
func (p *progress) done() {
	if p.w != nil {
		fmt.Fprint(p.w, clearLine)
	}
}
