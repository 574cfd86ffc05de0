package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// plateSurvey is a survey of the invented sail panel, as its scene has it.
const plateSurvey = `{"format":"trimscribe-survey","version":1,"photos":[{"file":"sail-panel.jpg","width_px":4032,"height_px":3024,"focal_px":3180.1}],
"squares":[{"number":1,"size_mm":[60,60]}],"candidates":[],"distances":[],"doubts":[],
"features":[{"id":"H1","number":1,"kind":"hole","x_mm":24.4,"y_mm":87.6,"diameter_mm":4.2,"u95_mm":0.06},
{"id":"H2","number":2,"kind":"hole","x_mm":92.3,"y_mm":83.9,"diameter_mm":4.2,"u95_mm":0.06},
{"id":"H3","number":3,"kind":"hole","x_mm":60.8,"y_mm":29.1,"diameter_mm":4.2,"u95_mm":0.06},
{"id":"G","number":4,"kind":"grille","x_mm":56,"y_mm":68,"diameter_mm":44.2,"u95_mm":0.05}],
"tweeter_centre":{"x_mm":56,"y_mm":68,"u95_mm":0.05,"from":"grille"}}`

// cpuTime returns what this process has spent so far.
func cpuTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkPlate takes a survey to all the plate's files, with the photo of 12
// megapixels under the picture and without, and reports the CPU it takes.
func BenchmarkPlate(b *testing.B) {
	photo, err := filepath.Abs("../../testdata/sail-panel.jpg")
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		extra []string
	}{{"with-photo", []string{"--photo", photo}}, {"without-photo", nil}} {
		b.Run(c.name, func(b *testing.B) {
			dir := b.TempDir()
			survey := filepath.Join(dir, "panel.survey.json")
			if err := os.WriteFile(survey, []byte(plateSurvey), 0o666); err != nil {
				b.Fatal(err)
			}
			args := append(strings.Fields(survey+" --tweeter-diameter 43.6 --tabs 3x6x1.5 --foam 6x3 --dome 25 --both --round-over 1"), c.extra...)
			start := cpuTime()
			for b.Loop() {
				if status, err := plateCommand(args, io.Discard, io.Discard); err != nil || status != statusGood {
					b.Fatal(status, err)
				}
			}
			b.ReportMetric(float64((cpuTime()-start).Milliseconds())/float64(b.N), "cpu-ms/op")
		})
	}
}
