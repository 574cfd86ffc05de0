package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
)

// topic is a page of help beyond the flags.
type topic struct{ name, about, text string }

var topics = []topic{
	{"start", "the whole way, from printing the square to the plate", `
1. trimscribe square
   Print reference-square.pdf at 100 %, and measure the square with callipers,
   across and up: say 59.7 and 60.2 mm.
2. Cut it out along the cut line and lay it flat on the panel's back, on the face
   that the holes are in, near the grille. Tape down the white margin if it curls.
3. Take one photo (trimscribe help photo).
4. trimscribe --square-size 59.7x60.2 panel.jpg
5. Look at panel-overlay.jpg: are the right circles marked? If not, see
   trimscribe help choosing.
6. Print panel-template.pdf at 100 %. Both 100 mm checks must measure 100 mm; if
   not, say what they do with --print-scale and print again.
7. Lay the print on the panel and look through the holes: each cross must sit in
   the middle of its hole. Only then cut anything.
8. trimscribe plate panel.survey.json --tweeter-diameter 43.6
   From the survey and the callipers to the plate (trimscribe help plate).
`},
	{"photo", "how to lay the square and take the photo", `
The square and what is measured belong on one face. Where they cannot be, say how
much higher the holes stand (trimscribe help heights).
  - Square flat, all its white margin seen, nothing over it.
  - Camera straight above, tilted by 10 degrees at most; the panel fills the picture
    and the square is at least a sixth of its width.
  - Not nearer than 30 cm: rather step back and zoom than hold the phone close. Use
    the main lens, not the wide one.
  - Even light, no flash, no shine on the plastic, no hard shadow over the holes.
  - Send the file as the camera stored it. Messengers shrink photos and drop what the
    camera wrote about its lens.
JPEG and PNG are read. Phones that store HEIC can be set to JPEG.
`},
	{"heights", "faces that do not lie at the square's height", `
What stands nearer the lens looks bigger and further out. A boss 8 mm above the square,
seen from 400 mm, puts a hole that is 60 mm off the picture's middle 1.2 mm wrong.
Measure the step with the callipers' depth rod, from the square's face to the face the
hole is in:
  trimscribe --hole-height 8 --grille-height -2 panel.jpg
Above the square's face is positive, below it negative. With --rectangle they count
from the face of the card: the panel's own is at -0.76. For one feature alone, and for
how far off the reading may be (0.2 mm if you do not say):
  trimscribe --height H1=8.5+-0.3 --height G=-2 panel.jpg
Without these, everything is taken to lie on the square's face, and you are told how
far and which way each millimetre would move it.

Or let photos tell: leave the square where it lies, take three from different sides, 5
to 15 degrees from straight on, and give them together.
  trimscribe panel-1.jpg panel-2.jpg panel-3.jpg
Each hole's height is then solved, with its U95, and so are the spacers that even
bosses out: on each lower boss what it lacks to the highest. Photos that do not agree,
as the square was moved or one is of another panel, are named and refused. Heights
that you give as well are held to.
`},
	{"mock-up", "a tweeter that sits in the opening; what is not round", `
Set the tweeter in the opening with putty, its back to the camera, and say what the
callipers measure: the diameter of its body's rim, the widest part, and how far that rim
stands above the square's face.
  trimscribe --tweeter-diameter 43.6 --tweeter-height 1.5 panel.jpg
The tweeter centre is then the middle of that rim, B in the drawings; magnet, basket and
terminals do not matter. Where the grille shows round it, both are reported, and how far
they are apart. Leave at least half of the rim free of putty.
Slots, D-holes and rectangles are among the circles in the overlay picture, and --pick
takes them. A grille that is not round gives its centre by its outline: its middle if it
is oval or a square with rounded corners, else the centroid of its area.
`},
	{"choosing", "when the wrong circles were chosen", `
The set is chosen whose holes are of like size, at like distances from the grille's
centre, and spread evenly about it: two, three or four. The overlay picture shows every
circle that was considered, with its number; the survey says why each was chosen or not
("why"). If the wrong ones were chosen, say what you know:
  trimscribe --holes 3 panel.jpg          there are three mounting holes
  trimscribe --hole-diameter 4.2 ...      and they are about so wide
  trimscribe --grille-diameter 44 ...     the grille is about so wide
  trimscribe --pick 7 --drop 4 ...        this circle is one, that one is not
  trimscribe --near 812,640 ...           the circle at this place of the overlay is one
The numbers stay the same from run to run on one photo with one --square-size.
`},
	{"files", "what is written, and where", `
For panel.jpg, next to it or in the folder given by --out (of several photos, all by the
first one's name, and an overlay for each):
  panel.survey.json    the record: every number, with its U95 (JSON, mm)
  panel-template.pdf   to print at 100 %; on as many sheets as it takes
  panel-template.svg   the same lines for a drawing program or a laser, mm
  panel-template.dxf   for CAD, mm, circles as circles
  panel-template.png   to look at
  panel-overlay.jpg    the photo with what was found
Either all are written or none. A file of one of these names that trimscribe did not
make is never overwritten, unless with --force; one that it did make is.
--json prints one object instead of words: the survey's own fields with "status" and
"files" beside them, or "error" and "status".
`},
	{"status", "exit statuses", `
  0  good
  1  failed: one sentence says why; nothing was written
  2  wrong usage; nothing was written
  3  written, but something is doubtful: something expected was not found or may have
     been missed, two answers are about as likely, or a --check does not agree. The
     survey and the template say what.
`},
	{"cautions", "before you cut", `
  - Airbags may sit behind pillar trim: keep out of them and of the way they open.
  - Follow the vehicle maker's service manual, and disconnect the battery as it says.
  - Cutting makes fumes and splinters: air the room, wear eye protection, and never cut
    PVC on a laser.
  - Local rules and licensed practice come first.
  - A template is a drawing made from a photo. Check it on the panel before you cut.
`},
}

const overview = `trimscribe measures a photo of the back of a trim panel with a printed reference
square on it, and writes a true-scale template of its mounting holes and its grille.

  trimscribe PHOTO [flags]     measure a photo, write its template
  trimscribe PHOTO PHOTO...    the same from several photos, which tell heights
  trimscribe square [flags]    write the reference square, to print
  trimscribe lens PHOTO...     calibrate a camera's lens, for --lens
  trimscribe plate SURVEY      design the plate that holds the tweeter
  trimscribe help [TOPIC]      more about:
`

// helpCommand prints the overview, or one topic.
func helpCommand(args []string, stdout io.Writer) (int, error) {
	switch {
	case len(args) > 1:
		return 0, usagef("give one topic, such as trimscribe help photo")
	case len(args) == 0 || args[0] == "-h" || args[0] == "--help":
		fmt.Fprint(stdout, overview+topicList()+"\nTo begin: trimscribe help start\n")
		return statusGood, nil
	case args[0] == "square":
		var f squareFlags
		fmt.Fprint(stdout, squareHelp(f.groups()))
		return statusGood, nil
	case args[0] == "lens":
		var f lensFlags
		fmt.Fprint(stdout, lensHelp(f.groups()))
		return statusGood, nil
	case args[0] == "plate":
		fmt.Fprint(stdout, plateHelp())
		return statusGood, nil
	case args[0] == "flags":
		var f photoFlags
		fmt.Fprint(stdout, photoHelp(f.groups()))
		return statusGood, nil
	}
	i := slices.IndexFunc(topics, func(t topic) bool { return t.name == args[0] })
	if i < 0 {
		return 0, usagef("there is no help on %q; there is on %s", args[0], list(topicNames()))
	}
	fmt.Fprint(stdout, strings.TrimPrefix(topics[i].text, "\n"))
	return statusGood, nil
}

func topicNames() []string {
	names := []string{}
	for _, t := range topics {
		names = append(names, t.name)
	}
	return append(names, "flags", "square", "lens", "plate")
}

func topicList() string {
	var b strings.Builder
	for _, t := range topics {
		fmt.Fprintf(&b, "      %-10s %s\n", t.name, t.about)
	}
	for _, command := range [][2]string{{"flags", "PHOTO"}, {"square", "square"}, {"lens", "lens"}, {"plate", "plate"}} {
		fmt.Fprintf(&b, "      %-10s all flags of trimscribe %s\n", command[0], command[1])
	}
	return b.String()
}

func photoHelp(groups []group) string {
	return "trimscribe PHOTO... [flags]\n\nMeasures a photo of a panel with the reference square on it, or several of one panel\ntogether, and writes a survey, a template and an overlay picture of each. Lengths are in mm; 0.165in works too.\n" +
		flagText(groups) + "\nExit status: 0 good; 1 failed, nothing written; 2 wrong usage; 3 written but doubtful.\n"
}

func squareHelp(groups []group) string {
	return "trimscribe square [flags]\n\nWrites " + squareFile + ", the square to print, measure and lay on the panel.\n" + flagText(groups)
}
