package plate

import (
	"os"
	"testing"

	"trimscribe/calib"
	"trimscribe/template"
)

// TestLook writes drawings to the folder in $LOOK, to be looked at.
func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip("LOOK is not set")
	}
	paper, _ := template.ParsePaper("A4")
	for name, c := range map[string]struct {
		survey *calib.Survey
		change func(*Settings)
	}{
		"sail": {sailPanel(), func(s *Settings) {
			s.Hold, s.Dome, s.Foam = HoldLockTabs, 25, Foam{6, 3}
			m, _ := FindMaterial("acrylic")
			s.UseMaterial(m)
			s.Tabs.Channel = 3
		}},
		"pillar": {pillar(), func(s *Settings) { s.Both, s.Slot = true, 1; s.RoundOver = 1 }},
		"dash": {dashPod(), func(s *Settings) {
			s.Seat, s.Hold, s.RingHoles = Seat{58, 2}, HoldScrews, RingHoles{4, 51.5, 2.5, 45}
		}},
	} {
		s := settings(43.6)
		c.change(&s)
		if name == "pillar" {
			c.survey.Doubts = []string{"Two answers are as likely for H2: candidates C4 and C7 lie as well; choose with --pick."}
		}
		p := mustDesign(t, c.survey, s)
		pages := p.Pages(PageOptions{Name: name, Revision: 1, Paper: paper})
		f, err := os.Create(dir + "/" + name + "-plate.pdf")
		if err != nil {
			t.Fatal(err)
		}
		if err := template.WritePDF(f, name, pages); err != nil {
			t.Fatal(err)
		}
		f.Close()
		sheets, err := p.Nest()
		if err != nil {
			t.Fatal(err)
		}
		f, _ = os.Create(dir + "/" + name + "-plate.svg")
		template.WriteSVG(f, CutDrawing(sheets, false))
		f.Close()
	}
}
