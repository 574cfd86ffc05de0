package plate

import (
	"encoding/json"
	"errors"
	"fmt"

	"trimscribe/calib"
)

// Record is a plate's file: the survey and every number that made the plate,
// so that it can be made again, or the next version of it.
type Record struct {
	Format   string          `json:"format"`  // always RecordFormat
	Version  int             `json:"version"` // always RecordVersion
	Revision int             `json:"revision"`
	Photo    string          `json:"photo,omitempty"` // where the photo lies, from the record's folder
	Settings json.RawMessage `json:"settings"`
	Sizes    *Sizes          `json:"sizes,omitempty"` // what came of the settings; not read
	Survey   *calib.Survey   `json:"survey,omitempty"`
}

// The record file's own name and version.
const (
	RecordFormat  = "trimscribe-plate"
	RecordVersion = 1
)

// Sizes is what came of the settings.
type Sizes struct {
	CentreX  float64  `json:"centre_x_mm"` // the tweeter's, in the survey's frame
	CentreY  float64  `json:"centre_y_mm"`
	Bore     float64  `json:"bore_mm"`
	Ring     float64  `json:"ring_mm"`
	Screw    string   `json:"screw"`
	Hole     float64  `json:"screw_hole_mm"`
	Ear      float64  `json:"ear_width_mm"`
	Fillet   float64  `json:"fillet_mm"`
	Width    float64  `json:"width_mm"`
	Height   float64  `json:"height_mm"`
	Area     float64  `json:"area_mm2"`
	CutLine  float64  `json:"cut_length_mm"`
	Stress   float64  `json:"fillet_stress_factor"`
	Strip    float64  `json:"foam_strip_mm,omitempty"`
	Rules    []Rule   `json:"rules"`
	Notes    []string `json:"notes"`
	Warnings int      `json:"rules_broken"`
}

// Sizes returns the plate's sizes for its record.
func (p *Plate) Sizes() *Sizes {
	b := p.Plate.Outline.Bounds()
	factor, _ := p.stress()
	return &Sizes{
		CentreX: p.Centre.X, CentreY: p.Centre.Y, Bore: p.Bore, Ring: p.Ring, Screw: p.Screw, Hole: p.Hole,
		Ear: 2 * p.EarHalf, Fillet: p.Fillet, Width: b.W(), Height: b.H(),
		Area: p.Plate.Area(), CutLine: p.Plate.CutLength(), Stress: factor, Strip: p.Strip,
		Rules: p.Rules, Notes: p.Notes, Warnings: len(p.Broken()),
	}
}

// Encode returns a record of the plate as it stands in a file, ending in a
// newline.
func (p *Plate) Encode(survey *calib.Survey, revision int, photo string) ([]byte, error) {
	settings, err := json.Marshal(p.Settings)
	if err != nil {
		return nil, err
	}
	b, err := json.MarshalIndent(Record{
		Format: RecordFormat, Version: RecordVersion, Revision: revision, Photo: photo,
		Settings: settings, Sizes: p.Sizes(), Survey: survey,
	}, "", "  ")
	if err != nil {
		return nil, err
	}
	return append(b, '\n'), nil
}

// DecodeRecord reads a record's bytes: a plate's file, or one of settings
// alone, which has no survey. Its errors are sentences for the user, without
// the file's name.
func DecodeRecord(b []byte) (*Record, error) {
	var r Record
	if err := json.Unmarshal(b, &r); err != nil {
		return nil, fmt.Errorf("is not a plate's file: %w", err)
	}
	if r.Format != RecordFormat {
		return nil, errors.New(`is not a plate's file: its "format" is not "` + RecordFormat + `"`)
	}
	if r.Version != RecordVersion {
		return nil, fmt.Errorf("is a plate's file of version %d, and this trimscribe reads version %d", r.Version, RecordVersion)
	}
	if len(r.Settings) == 0 {
		return nil, errors.New(`is a plate's file without "settings"`)
	}
	return &r, nil
}
