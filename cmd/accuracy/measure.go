package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"trimscribe/calib"
	"trimscribe/cmd/internal/score"
)

// result is one row's outcome.
type result struct {
	name      string
	truth     score.Truth
	status    int  // of trimscribe; -1 when it could not be run
	skipped   bool // its photo is not kept, and was not asked for
	score     score.Score
	took      time.Duration
	complaint string // what trimscribe or this program has to say
}

// asExpected tells whether the row came out as its truth says. Where a doubt is
// to be said, what is chosen under it is the tool's affair.
func (r result) asExpected() bool {
	return r.status == r.truth.Status && (r.status == 3 || r.rightFeatures())
}

// rightFeatures tells whether just what is to be chosen was chosen.
func (r result) rightFeatures() bool { return r.score.Missed == 0 && r.score.Invented == 0 }

// silent tells whether the row came out wrong and the user was not told: a
// panel is drilled by it.
func (r result) silent() bool {
	switch r.status {
	case 0:
		return r.truth.Status == 1 || !r.rightFeatures()
	case 1:
		return false
	case 3:
		return r.truth.Status == 1
	}
	return true // it was not even run to its end
}

// tools is the programs that make a row, and their folder.
type tools struct {
	work                   string
	trimscribe, testphotos string
	large                  bool
}

// measure makes the row of a truth file.
func (t tools) measure(truthFile string) result {
	r := result{name: strings.TrimSuffix(filepath.Base(truthFile), ".json"), status: -1}
	var err error
	if r.truth, err = score.ReadTruth(truthFile); err != nil {
		r.complaint = err.Error()
		return r
	}
	if r.truth.OnDemand && !t.large {
		r.skipped = true
		return r
	}
	photos, err := t.photos(filepath.Dir(truthFile), r)
	if err != nil {
		r.complaint = err.Error()
		return r
	}
	args := []string{"--json", "--out", filepath.Join(t.work, r.name), "--formats", "svg"}
	cmd := exec.Command(t.trimscribe, append(append(args, r.truth.Args...), photos...)...)
	cmd.Dir = filepath.Dir(truthFile)
	start := time.Now()
	stdout, err := cmd.Output()
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

// photos returns a row's photos as paths that the folder of the truths can be
// left out of. Those that are not kept are rendered first.
func (t tools) photos(dir string, r result) ([]string, error) {
	if !r.truth.OnDemand {
		return r.truth.Photos, nil
	}
	var paths []string
	for _, photo := range r.truth.Photos {
		out := filepath.Join(t.work, r.name+"-photos")
		if err := os.MkdirAll(out, 0o777); err != nil {
			return nil, err
		}
		scene := strings.TrimSuffix(photo, ".jpg")
		if said, err := exec.Command(t.testphotos, "--testdata", dir, "--out", out, scene).CombinedOutput(); err != nil {
			return nil, fmt.Errorf("%w: %s", err, said)
		}
		paths = append(paths, filepath.Join(out, photo))
	}
	return paths, nil
}
