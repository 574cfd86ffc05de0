package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"trimscribe/calib"
	"trimscribe/template"
	"trimscribe/template/plate"
	"trimscribe/template/solid"
)

// plateJob is what a plate is made from: a survey, or the file of a plate
// made before.
type plateJob struct {
	path     string
	name     string // of the job: the first part of all its files' names
	survey   *calib.Survey
	before   *plate.Record // nil: a first plate
	revision int
}

// plateCommand designs a plate and writes its files.
func plateCommand(args []string, stdout, stderr io.Writer) (int, error) {
	f, job, err := readPlate(args)
	switch {
	case err != nil:
		return 0, err
	case f.help:
		fmt.Fprint(stdout, plateHelp())
		return statusGood, nil
	}
	names := f.fileNames(job.name)
	if f.dir == "" {
		f.dir = filepath.Dir(job.path)
	}
	if err := checkTargets(f.dir, names, f.force); err != nil {
		return 0, err
	}
	p, err := plate.Design(job.survey, f.set)
	if err != nil {
		return 0, designError(job.path, err)
	}
	if err := job.number(p); err != nil {
		return 0, err
	}
	progress := newProgress(stderr, f.json)
	defer progress.done()
	progress.stage("drawing")
	files, err := f.draw(job, p)
	if err != nil {
		return 0, err
	}
	paths, err := writeAll(f.dir, files)
	if err != nil {
		return 0, err
	}
	progress.done()
	status := statusOf(p.Doubts)
	if f.json {
		return status, writeJSON(stdout, struct {
			Status   int            `json:"status"`
			Files    []string       `json:"files"`
			Revision int            `json:"revision"`
			Doubts   []string       `json:"doubts"`
			Settings plate.Settings `json:"settings"`
			Sizes    *plate.Sizes   `json:"sizes"`
		}{status, paths, job.revision, append([]string{}, p.Doubts...), p.Settings, p.Sizes()})
	}
	plateReport(stdout, p, f.units.Units, paths)
	return status, nil
}

// readPlate reads the command line and the files it names. What was said
// later wins: defaults, the plate's file, the file of settings, a material's
// preset, then each flag. So the flags are read twice: once to learn of the
// files, once over what the files say.
func readPlate(args []string) (*plateFlags, *plateJob, error) {
	var first plateFlags
	rest, err := parse(first.groups(), args)
	switch {
	case err != nil:
		return nil, nil, err
	case first.help:
		return &first, nil, nil
	case len(rest) == 0:
		return nil, nil, usagef("give a survey, such as trimscribe plate panel.survey.json --tweeter-diameter 43.6")
	case len(rest) > 1:
		return nil, nil, usagef("give one survey at a time; %q is one too many", rest[1])
	}
	job, err := openPlateJob(rest[0])
	if err != nil {
		return nil, nil, err
	}
	f := &plateFlags{set: plate.Defaults()}
	if job.before != nil {
		if err := f.set.Read(job.before.Settings); err != nil {
			return nil, nil, fmt.Errorf("%s %w", job.path, err)
		}
	}
	if first.settings != "" {
		if err := readSettings(first.settings, &f.set); err != nil {
			return nil, nil, err
		}
	}
	if first.material != "" {
		m, err := plate.FindMaterial(first.material)
		if err != nil {
			return nil, nil, err
		}
		f.set.UseMaterial(m)
	}
	hold := f.set.Hold
	groups := f.groups()
	if _, err := parse(groups, args); err != nil {
		return nil, nil, err
	}
	return f, job, f.agree(groups, hold)
}

// agree settles what flags imply and tells whether they go together.
func (f *plateFlags) agree(groups []group, hold string) error {
	given := func(name string) bool {
		return slices.ContainsFunc(groups, func(g group) bool { return g.Changed(name) })
	}
	s := &f.set
	for _, way := range []struct{ flag, hold string }{{"tabs", plate.HoldLockTabs}, {"ring-holes", plate.HoldScrews}} {
		switch {
		case !given(way.flag):
		case given("hold") && s.Hold != way.hold:
			return usagef("--%s is for --hold %s, and --hold %s was given; leave one out", way.flag, way.hold, s.Hold)
		case given("hold"):
		case s.Hold != hold:
			return usagef("--tabs and --ring-holes are two ways to hold the tweeter; give one of them")
		default:
			s.Hold = way.hold
		}
	}
	if s.Mirror && s.Both {
		if given("mirror") && given("both") {
			return usagef("--both makes the mirror image too; leave --mirror out")
		}
		s.Mirror, s.Both = given("mirror"), !given("mirror")
	}
	if s.TweeterDiameter == 0 {
		return usagef("how wide is the tweeter? Measure its body with callipers and say --tweeter-diameter 43.6")
	}
	if s.Hold == plate.HoldScrews && s.RingHoles.Circle == 0 {
		return usagef("--hold screw-ring needs to know the flange's holes: --ring-holes 3x52x3.2")
	}
	return nil
}

// openPlateJob reads a survey or a plate's file.
func openPlateJob(path string) (*plateJob, error) {
	b, err := readText(path)
	if err != nil {
		return nil, err
	}
	job := &plateJob{path: path, name: jobName(path)}
	survey, err := calib.DecodeSurvey(b)
	if err == nil {
		job.survey, job.revision = survey, 1
		return job, nil
	}
	if !strings.Contains(string(b[:min(len(b), 200)]), plate.RecordFormat) {
		return nil, fmt.Errorf("%s %w", path, err)
	}
	if job.before, err = plate.DecodeRecord(b); err != nil {
		return nil, fmt.Errorf("%s %w", path, err)
	}
	if job.before.Survey == nil {
		return nil, fmt.Errorf("%s holds settings and no survey; give it with --settings, and a survey", path)
	}
	job.survey = job.before.Survey
	return job, nil
}

// mostText is more than any survey takes, bytes.
const mostText = 8 << 20

// readText reads a file that a person may have confused with another.
func readText(path string) ([]byte, error) {
	st, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("there is no file %s", path)
	case err != nil:
		return nil, fmt.Errorf("%s cannot be read: %w", path, pathReason(err))
	case st.IsDir():
		return nil, fmt.Errorf("%s is a folder; give a survey, such as panel.survey.json", path)
	case slices.Contains([]string{".jpg", ".jpeg", ".png"}, strings.ToLower(filepath.Ext(path))):
		return nil, fmt.Errorf("%s is a photo; measure it first with trimscribe %s, then give its survey", path, path)
	case st.Size() > mostText:
		return nil, fmt.Errorf("%s is too large for a survey", path)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", path, pathReason(err))
	}
	return b, nil
}

// readSettings takes over a file of settings: a plate's file, or an object of
// settings alone.
func readSettings(path string, s *plate.Settings) error {
	b, err := readText(path)
	if err != nil {
		return err
	}
	if r, err := plate.DecodeRecord(b); err == nil {
		b = r.Settings
	}
	if err := s.Read(b); err != nil {
		return fmt.Errorf("%s %w", path, err)
	}
	return nil
}

// jobName is the first part of a file's name: panel.survey.json is panel's.
func jobName(path string) string {
	name := baseName(path)
	for _, end := range []string{".survey", ".plate"} {
		name = strings.TrimSuffix(name, end)
	}
	return name
}

// designError puts the survey's name before what is wrong with it.
func designError(path string, err error) error {
	if strings.HasPrefix(err.Error(), "has ") {
		return fmt.Errorf("%s %w", path, err)
	}
	return err
}

// number gives the plate its revision: a new one when its settings differ
// from those of the file it is made from.
func (j *plateJob) number(p *plate.Plate) error {
	if j.before == nil {
		return nil
	}
	j.revision = j.before.Revision
	was := plate.Defaults()
	if err := was.Read(j.before.Settings); err != nil {
		return fmt.Errorf("%s %w", j.path, err)
	}
	if fmt.Sprintf("%+v", was) != fmt.Sprintf("%+v", p.Settings) {
		j.revision++
	}
	return nil
}

func (f *plateFlags) fileNames(name string) []string {
	names := []string{name + ".plate.json"}
	for _, format := range allPlateFormats {
		if slices.Contains(f.formats, format) {
			names = append(names, name+"-plate."+format)
		}
	}
	return names
}

// draw makes all the files in memory.
func (f *plateFlags) draw(job *plateJob, p *plate.Plate) ([]file, error) {
	photo, photoPath, err := f.flattened(job, p)
	if err != nil {
		return nil, err
	}
	record, err := p.Encode(job.survey, job.revision, photoPath)
	if err != nil {
		return nil, err
	}
	sheets, err := p.Nest()
	if err != nil {
		return nil, err
	}
	var meshes []*solid.Mesh
	if slices.Contains(f.formats, "stl") || slices.Contains(f.formats, "3mf") {
		if meshes, err = p.Solids(); err != nil {
			return nil, err
		}
	}
	title := job.name + " adapter plate"
	files := []file{{job.name + ".plate.json", record}}
	for _, name := range f.fileNames(job.name)[1:] {
		var b bytes.Buffer
		switch filepath.Ext(name) {
		case ".dxf":
			err = template.WriteDXF(&b, plate.CutDrawing(sheets, true))
		case ".svg":
			err = template.WriteSVG(&b, plate.CutDrawing(sheets, false))
		case ".pdf":
			err = template.WritePDF(&b, title, p.Pages(plate.PageOptions{
				Name: job.name, Revision: job.revision, Paper: f.paper.Paper, Units: f.units.Units, PrintScale: f.printScale}))
		case ".stl":
			err = solid.WriteSTL(&b, title+", "+mark, meshes)
		case ".3mf":
			err = solid.Write3MF(&b, title, mark, meshes)
		case ".png":
			err = template.WritePNG(&b, p.Picture(job.name, photo), previewDPI)
		}
		if err != nil {
			return nil, err
		}
		files = append(files, file{name, marked(name, b.Bytes())})
	}
	return files, nil
}
