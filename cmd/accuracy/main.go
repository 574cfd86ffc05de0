// Command accuracy runs trimscribe on the test photos and prints how far what
// it measured is from the truth.
//
//	go run ./cmd/accuracy [--jobs N] [--only TEXT] [--large] [--markdown | --update FILE] [DIR]
//	go run ./cmd/accuracy --traces [--only TEXT] [--markdown] [DIR]
//
// DIR (default testdata) holds the truth files, NAME.json: each is a row, one
// run of trimscribe on NAME.jpg or on the photos that it names. It runs from
// the top of the repository. The exit status is 1 when a row came out wrong in
// silence: something was missed or invented and no doubt was said, or what
// should have been refused was measured. A doubt too many, or an error with its
// doubt, is listed under the table, and no more. With --traces it is the table of
// traced edges, and the status 0.
package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/pflag"
)

// options is what the command can be told.
type options struct {
	dir      string
	jobs     int
	only     string
	large    bool
	markdown bool
	traces   bool
}

func main() {
	var o options
	pflag.IntVar(&o.jobs, "jobs", 1, "how many rows to measure at once")
	pflag.StringVar(&o.only, "only", "", "only the rows with this `text`, or one of several with commas between, in their name")
	pflag.BoolVar(&o.large, "large", false, "also the photos too large to be kept: they are rendered first, with POV-Ray, many minutes each")
	pflag.BoolVar(&o.markdown, "markdown", false, "print the table as Markdown")
	pflag.BoolVar(&o.traces, "traces", false, "weigh the traced edges against the outlines in the scenes instead; needs POV-Ray")
	update := pflag.String("update", "", "put the table, as Markdown, between the two marks in this `file`: --update DEVELOPERS.md")
	pflag.Parse()
	o.dir = "testdata"
	if pflag.NArg() > 0 {
		o.dir = pflag.Arg(0)
	}
	var table bytes.Buffer
	var to io.Writer = os.Stdout
	if *update != "" {
		o.markdown = true
		to = io.MultiWriter(os.Stdout, &table)
	}
	sound, err := run(to, o)
	if err == nil && *update != "" {
		err = updateFile(*update, table.Bytes())
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "accuracy:", err)
		os.Exit(2)
	}
	if !sound {
		os.Exit(1)
	}
}

// truthFiles lists the truth files with one of the texts, between commas, in their
// name.
func truthFiles(dir, only string) ([]string, error) {
	all, err := filepath.Glob(filepath.Join(dir, "*.json"))
	return slices.DeleteFunc(all, func(file string) bool {
		return !slices.ContainsFunc(strings.Split(only, ","), func(text string) bool {
			return strings.Contains(strings.TrimSuffix(filepath.Base(file), ".json"), text)
		})
	}), err
}

func run(w io.Writer, o options) (sound bool, err error) {
	truths, err := truthFiles(o.dir, o.only)
	if err != nil || len(truths) == 0 {
		return false, fmt.Errorf("there is no such truth file in %s; run this from the top of the repository", o.dir)
	}
	work, err := os.MkdirTemp("", "accuracy")
	if err != nil {
		return false, err
	}
	defer os.RemoveAll(work)
	tools := tools{work: work, large: o.large}
	if tools.trimscribe, err = build(work, "trimscribe"); err != nil {
		return false, err
	}
	if o.large || o.traces {
		if tools.testphotos, err = build(work, "testphotos"); err != nil {
			return false, err
		}
	}
	if o.traces {
		return true, tools.printTraces(w, truths, o.markdown)
	}
	results := make([]result, len(truths))
	free := make(chan struct{}, max(o.jobs, 1))
	var wg sync.WaitGroup
	for i, truth := range truths {
		wg.Add(1)
		go func() {
			defer wg.Done()
			free <- struct{}{}
			defer func() { <-free }()
			results[i] = tools.measure(truth)
		}()
	}
	wg.Wait()
	return printTable(w, results, o.markdown), nil
}

// build compiles one of our commands into a folder and returns its path.
func build(dir, command string) (string, error) {
	tool := filepath.Join(dir, command)
	if out, err := exec.Command("go", "build", "-o", tool, "./cmd/"+command).CombinedOutput(); err != nil {
		return "", fmt.Errorf("%s does not build: %w\n%s", command, err, out)
	}
	return tool, nil
}

// The marks between which updateFile puts the table.
const (
	tableBegins = "<!-- accuracy table: written by go run ./cmd/accuracy --update -->"
	tableEnds   = "<!-- end of the accuracy table -->"
)

// updateFile replaces what stands between the two marks in a file.
func updateFile(path string, table []byte) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	head, rest, ok := strings.Cut(string(text), tableBegins)
	_, tail, ok2 := strings.Cut(rest, tableEnds)
	if !ok || !ok2 {
		return fmt.Errorf("%s does not have the two marks, %q and %q", path, tableBegins, tableEnds)
	}
	text = []byte(head + tableBegins + "\n\n" + string(table) + "\n" + tableEnds + tail)
	if err := os.WriteFile(path+".part", text, 0o644); err != nil {
		return err
	}
	return os.Rename(path+".part", path)
}
