// Command trimscribe turns a phone photo of the back of a trim panel, with a
// printed reference square on it, into a true-scale template of the mounting
// holes and the grille.
//
//	trimscribe PHOTO...  measure a photo, or several of one panel, write the template
//	trimscribe square    write the reference square, to print
//	trimscribe lens      calibrate a camera's lens from photos of a chessboard
//	trimscribe plate     design the plate that holds the tweeter, from a survey
//	trimscribe help      what it does and how
//
// This package parses flags, keeps the order of the stages, writes files and
// talks to the user. The work is done by vision, calib and template.
package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"slices"
	"strings"
)

// The exit statuses.
const (
	statusGood     = 0
	statusFailed   = 1 // nothing was written
	statusUsage    = 2 // the command was given wrongly; nothing was written
	statusDoubtful = 3 // written, but something in it is doubtful, and it says so
)

// statusOf is the exit status of what was written with these doubts.
func statusOf(doubts []string) int {
	if len(doubts) > 0 {
		return statusDoubtful
	}
	return statusGood
}

func main() {
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// run is the whole program but for the process: it returns the exit status.
func run(args []string, stdout, stderr io.Writer) int {
	status, err := dispatch(args, stdout, stderr)
	if err == nil {
		return status
	}
	status = statusFailed
	var usage usageError
	if errors.As(err, &usage) {
		status = statusUsage
	}
	if wantsJSON(args) {
		writeJSON(stdout, struct {
			Error  string `json:"error"`
			Status int    `json:"status"`
		}{err.Error(), status})
		return status
	}
	fmt.Fprintln(stderr, "trimscribe:", err)
	if status == statusUsage {
		fmt.Fprintln(stderr, "See: trimscribe help")
	}
	return status
}

func dispatch(args []string, stdout, stderr io.Writer) (int, error) {
	if len(args) == 0 {
		return 0, usagef("give a photo, or a command: square, lens, plate or help")
	}
	switch args[0] {
	case "square":
		return squareCommand(args[1:], stdout)
	case "lens":
		return lensCommand(args[1:], stdout, stderr)
	case "plate":
		return plateCommand(args[1:], stdout, stderr)
	case "help":
		return helpCommand(args[1:], stdout)
	}
	return photoCommand(args, stdout, stderr)
}

// usageError is a command given wrongly. Its text is a sentence for the user.
type usageError struct{ text string }

func (e usageError) Error() string { return e.text }

func usagef(format string, a ...any) error { return usageError{fmt.Sprintf(format, a...)} }

// wantsJSON tells whether --json was asked for, even when the flags could not
// be parsed: a program that reads our output must be able to read our errors.
func wantsJSON(args []string) bool {
	end := slices.Index(args, "--")
	if end < 0 {
		end = len(args)
	}
	return slices.ContainsFunc(args[:end], func(a string) bool { return a == "--json" || a == "--json=true" })
}

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// version is the release; a build from a checkout adds its commit.
const version = "0.1.0"

func versionLine() string {
	s := "trimscribe " + version
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, set := range info.Settings {
			if set.Key == "vcs.revision" {
				s += " (" + set.Value[:min(12, len(set.Value))] + ")"
			}
		}
	}
	return s
}

// list joins words as a sentence does: "a, b and c".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " and " + words[n]
}
