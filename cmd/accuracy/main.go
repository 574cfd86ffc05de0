// Command accuracy runs trimscribe on the test photos and prints how far what
// it measured is from the truth.
//
//	go run ./cmd/accuracy [--jobs N] [--markdown] [DIR]
//
// DIR (default testdata) holds NAME.jpg with its truth in NAME.json. It runs
// from the top of the repository. The exit status is 1 when a photo came out
// wrong in silence: something was missed or invented and no doubt was said, or
// what should have been refused was measured. A doubt too many, or an error
// with its doubt, is listed under the table, and no more.
package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/spf13/pflag"

	"trimscribe/calib"
	"trimscribe/cmd/internal/score"
)

func main() {
	jobs := pflag.Int("jobs", 1, "how many photos to measure at once")
	markdown := pflag.Bool("markdown", false, "print the table as Markdown")
	pflag.Parse()
	dir := "testdata"
	if pflag.NArg() > 0 {
		dir = pflag.Arg(0)
	}
	sound, err := run(os.Stdout, dir, *jobs, *markdown)
	if err != nil {
		fmt.Fprintln(os.Stderr, "accuracy:", err)
		os.Exit(2)
	}
	if !sound {
		os.Exit(1)
	}
}

func run(w io.Writer, dir string, jobs int, markdown bool) (sound bool, err error) {
	truths, err := filepath.Glob(filepath.Join(dir, "*.json"))
	if err != nil || len(truths) == 0 {
		return false, fmt.Errorf("there is no truth file in %s; run this from the top of the repository", dir)
	}
	work, err := os.MkdirTemp("", "accuracy")
	if err != nil {
		return false, err
	}
	defer os.RemoveAll(work)
	tool := filepath.Join(work, "trimscribe")
	if out, err := exec.Command("go", "build", "-o", tool, "./cmd/trimscribe").CombinedOutput(); err != nil {
		return false, fmt.Errorf("trimscribe does not build: %w\n%s", err, out)
	}
	results := make([]result, len(truths))
	free := make(chan struct{}, max(jobs, 1))
	var wg sync.WaitGroup
	for i, truth := range truths {
		wg.Add(1)
		go func() {
			defer wg.Done()
			free <- struct{}{}
			defer func() { <-free }()
			results[i] = measure(tool, truth, filepath.Join(work, fmt.Sprint(i)))
		}()
	}
	wg.Wait()
	return printTable(w, results, markdown), nil
}

// result is one photo's outcome.
type result struct {
	name      string
	truth     score.Truth
	status    int // of trimscribe; -1 when it could not be run
	score     score.Score
	took      time.Duration
	complaint string // what trimscribe or this program has to say
}

// asExpected tells whether the photo came out as its truth says.
func (r result) asExpected() bool {
	return r.status == r.truth.Status && r.score.Missed == 0 && r.score.Invented == 0
}

// silent tells whether the photo came out wrong and the user was not told: a
// panel is drilled by it.
func (r result) silent() bool {
	switch r.status {
	case 0:
		return !r.asExpected()
	case 1:
		return false
	case 3:
		return r.truth.Status == 1
	}
	return true // it was not even run to its end
}

// measure runs the tool on the photo of a truth file.
func measure(tool, truthFile, out string) result {
	r := result{name: strings.TrimSuffix(filepath.Base(truthFile), ".json"), status: -1}
	var err error
	if r.truth, err = score.ReadTruth(truthFile); err != nil {
		r.complaint = err.Error()
		return r
	}
	photo := strings.TrimSuffix(truthFile, ".json") + ".jpg"
	args := append([]string{"--json", "--out", out, "--formats", "svg"}, r.truth.Args...)
	start := time.Now()
	stdout, err := exec.Command(tool, append(args, photo)...).Output()
	r.took = time.Since(start)
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		r.complaint = err.Error()
		return r
	}
	var said struct {
		Status int
		Error  string
		calib.Survey
	}
	if err := json.Unmarshal(stdout, &said); err != nil {
		r.complaint = "its --json is not JSON: " + err.Error()
		return r
	}
	r.status = said.Status
	r.complaint = said.Error
	if len(said.Doubts) > 0 {
		r.complaint = strings.Join(said.Doubts, "; ")
	}
	r.score = score.Weigh(r.truth, &said.Survey)
	if r.truth.Status == 1 {
		r.score.Expected, r.score.Missed = 0, 0
	}
	return r
}
