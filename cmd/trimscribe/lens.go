package main

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"trimscribe/calib"
	"trimscribe/template"
	"trimscribe/vision"
)

// boardFile is the board sheet's file name.
const boardFile = "lens-board.pdf"

// lensFlags is what `trimscribe lens` can be told.
type lensFlags struct {
	output
	sheet      bool
	paper      paper
	units      units
	printScale printScale
	board      boardSize
	cell       length
	name       string
	help       bool
}

func (f *lensFlags) groups() []group {
	f.paper.Paper, _ = template.ParsePaper("A4")
	f.board = boardSize{template.BoardColumns, template.BoardRows}
	f.cell = length{least: 1, most: 300, example: "25"}

	board := newGroup("The chessboard")
	board.Var(&f.board, "board", fmt.Sprintf("inner corners along and across: where four cells meet, %v if you do not say: --board 9x6", &f.board))
	board.Var(&f.cell, "cell", fmt.Sprintf("size of a cell, %g if you do not say: --cell 25", template.BoardCell))

	sheet := newGroup("The board's sheet")
	sheet.BoolVar(&f.sheet, "sheet", false, "write "+boardFile+", the board to print, and nothing else")
	sheet.Var(&f.paper, "paper", "sheet to print on, A4 if you do not say: --paper letter")
	sheet.Var(&f.units, "units", "units, mm or in; in adds a scale check in inches: --units in")
	sheet.Var(&f.printScale, "print-scale", "what the 100 mm checks of your last print measure, across and up: --print-scale 99.6,100.2")

	out := f.output.group("this one")
	out.StringVar(&f.name, "name", "", "`name` of the files, that of the first photo if you do not say: --name my-phone")
	return []group{board, sheet, out, general(&f.help, nil)}
}

// lensCommand calibrates a lens from photos of a board, or writes the board.
func lensCommand(args []string, stdout, stderr io.Writer) (int, error) {
	var f lensFlags
	groups := f.groups()
	photos, err := parse(groups, args)
	switch {
	case err != nil:
		return 0, err
	case f.help:
		fmt.Fprint(stdout, lensHelp(groups))
		return statusGood, nil
	case f.name != "" && (f.name != filepath.Base(f.name) || strings.HasPrefix(f.name, ".")):
		return 0, usagef("--name is a name without folders, such as my-phone; the folder is --out")
	}
	if f.dir == "" {
		f.dir = "."
	}
	if f.sheet {
		return f.writeSheet(photos, stdout)
	}
	if len(photos) == 0 {
		return 0, usagef("give 8 to 15 photos of a chessboard, such as trimscribe lens board*.jpg; trimscribe lens --sheet writes one to print")
	}
	if f.name == "" {
		f.name = baseName(photos[0])
	}
	return f.calibrate(photos, stdout, stderr)
}

// writeSheet writes the board to print.
func (f *lensFlags) writeSheet(photos []string, stdout io.Writer) (int, error) {
	if len(photos) > 0 {
		return 0, usagef("--sheet writes the board to print and takes no photo")
	}
	page, err := template.BoardSheet(template.BoardOptions{
		Paper: f.paper.Paper, Columns: f.board[0], Rows: f.board[1], Cell: f.cell.mm, Units: f.units.Units, PrintScale: f.printScale,
	})
	if err != nil {
		return 0, err
	}
	return f.writePrintable(stdout, boardFile, "Lens board", []template.Page{page},
		`Print it at 100 % (not "fit to page"), glue it on something stiff and flat, and take 8 to 15 photos
as the sheet says. Then: trimscribe lens PHOTO...`)
}

// cells is the board with its cells as the flags give them.
func (f *lensFlags) cells() calib.Board {
	cell := template.BoardCell
	if f.cell.given {
		cell = f.cell.mm
	}
	return calib.Board{Columns: f.board[0], Rows: f.board[1], Cell: cell}
}

// calibrate fits the lens and writes its files.
func (f *lensFlags) calibrate(photos []string, stdout, stderr io.Writer) (int, error) {
	board := f.cells()
	names := []string{f.name + ".lens.json", f.name + "-lens.png"}
	if err := checkTargets(f.dir, names, f.force); err != nil {
		return 0, err
	}
	progress := newProgress(stderr, f.json)
	defer progress.done()
	views, err := gatherViews(photos, board, progress.stage)
	if err != nil {
		return 0, err
	}
	progress.stage("calibrating")
	got, err := views.fit(board)
	if err != nil {
		return 0, err
	}
	progress.stage("drawing")
	files, err := got.files(names)
	if err != nil {
		return 0, err
	}
	paths, err := writeAll(f.dir, files)
	if err != nil {
		return 0, err
	}
	progress.done()
	status := statusOf(got.record.Doubts)
	if f.json {
		return status, writeJSON(stdout, struct {
			Status  int       `json:"status"`
			Files   []string  `json:"files"`
			LeftOut []leftOut `json:"left_out"`
			Advice  []string  `json:"advice,omitempty"`
			*calib.LensFile
		}{status, paths, got.leftOut, got.fit.Advice(), got.record})
	}
	got.report(stdout, paths)
	return status, nil
}

func (c *calibrated) files(names []string) ([]file, error) {
	record, err := c.record.Encode()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := writeLensPicture(&b, c); err != nil {
		return nil, err
	}
	return []file{{names[0], record}, {names[1], marked(names[1], b.Bytes())}}, nil
}

// boardSize is a chessboard's inner corners, along and across: "9x6".
type boardSize [2]int

func (v *boardSize) Type() string   { return "CxR" }
func (v *boardSize) String() string { return fmt.Sprintf("%dx%d", v[0], v[1]) }

func (v *boardSize) Set(s string) error {
	const how = "give how many inner corners there are along and across, such as 9x6"
	a, b, ok := strings.Cut(strings.ToLower(strings.ReplaceAll(s, "×", "x")), "x")
	n, m := count{least: vision.MinBoard, most: vision.MaxBoard}, count{least: vision.MinBoard, most: vision.MaxBoard}
	if !ok || n.Set(strings.TrimSpace(a)) != nil || m.Set(strings.TrimSpace(b)) != nil {
		return fmt.Errorf("%s, %d to %d each way", how, vision.MinBoard, vision.MaxBoard)
	}
	*v = boardSize{n.n, m.n}
	return nil
}

func lensHelp(groups []group) string {
	return `trimscribe lens PHOTO... [flags]
trimscribe lens --sheet [flags]

Calibrates a camera's lens from 8 to 15 photos of a chessboard, and writes NAME.lens.json,
for "trimscribe --lens NAME.lens.json PHOTO", and NAME-lens.png, a picture of where the board
was seen and how well the lens fits. --sheet writes the board to print.
` + flagText(groups) + "\nExit status: 0 good; 1 failed, nothing written; 2 wrong usage; 3 written but doubtful.\n"
}
