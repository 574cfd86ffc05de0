package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os/exec"
	"path/filepath"
	"strings"

	"trimscribe/calib"
	"trimscribe/cmd/internal/score"
)

// traceRadius is how far round the tweeter's centre edges are traced and weighed, mm.
const traceRadius = 100

// printTraces prints a line a photo: how its traced edges lie to the outlines of
// its scene's solids. What cannot be measured has no line.
func (t tools) printTraces(w io.Writer, truthFiles []string, markdown bool) error {
	rows := [][]string{{"photo", "traced, mm", "off the true outline, median / 95 %", "on an outline", "on a shadow's edge", "on neither", "of the true outlines, traced"}}
	for _, file := range truthFiles {
		truth, err := score.ReadTruth(file)
		if err != nil {
			return err
		}
		name := strings.TrimSuffix(filepath.Base(file), ".json")
		if truth.Status == 1 || truth.OnDemand || len(truth.Photos) > 1 || truth.Photos[0] != name+".jpg" {
			continue
		}
		v, err := t.traces(filepath.Dir(file), name, truth)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		rows = append(rows, []string{
			name, fmt.Sprintf("%.0f", v.Traced), fmt.Sprintf("%.3f / %.3f", v.Median, v.P95),
			percent(v.On), percent(v.Shadow), percent(v.Neither),
			fmt.Sprintf("%s of %.0f mm", percent(v.Covered), v.Outlines),
		})
	}
	write(w, rows, markdown)
	return nil
}

func percent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }

// traces runs trimscribe --trace on one photo and weighs what it traced.
func (t tools) traces(dir, name string, truth score.Truth) (score.Traces, error) {
	var outlines score.Outlines
	text, err := exec.Command(t.testphotos, "--testdata", dir, "--outlines", name).Output()
	if err == nil {
		err = json.Unmarshal(text, &outlines)
	}
	if err != nil {
		return score.Traces{}, fmt.Errorf("its scene's outlines: %w", err)
	}
	args := []string{"--json", "--out", filepath.Join(t.work, name), "--formats", "svg", fmt.Sprintf("--trace=%d", traceRadius)}
	cmd := exec.Command(t.trimscribe, append(append(args, truth.Args...), truth.Photos...)...)
	cmd.Dir = dir
	stdout, _ := cmd.Output() // the status tells of doubts, which do not matter here
	var s calib.Survey
	if err := json.Unmarshal(stdout, &s); err != nil {
		return score.Traces{}, fmt.Errorf("its --json is not JSON: %w", err)
	}
	return score.WeighTraces(truth, outlines, &s, traceRadius), nil
}
