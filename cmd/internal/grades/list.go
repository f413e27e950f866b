// Package grades reads the stages that people gave to the halves of a photo: a
// list in reading order, or a table with one half a row.
package grades

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"strconv"
	"strings"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
)

// NotGraded stands for a half that nobody graded.
var NotGraded = math.NaN()

// Grading is what one grader said of the halves of one photo, in reading order.
type Grading struct {
	By     string    // initials; empty where the sheet gives none
	Stages []float64 // NotGraded where a half was not
}

// Read reads what --stages was given: a list in reading order such as
// 1,2,,3.5 with blanks for halves that were not graded, or the name of a CSV file,
// which may hold the stages of several graders.
func Read(arg string) ([]Grading, error) {
	// What can only be a list is not looked for as a file: it may be longer than names can be.
	if strings.Trim(arg, "0123456789.,- ") == "" {
		return readList(arg)
	}
	if _, err := os.Stat(arg); err == nil {
		b, err := files.Read(arg)
		if err != nil {
			return nil, err
		}
		gradings, err := ParseFile(b)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", arg, err)
		}
		return gradings, nil
	} else if !errors.Is(err, fs.ErrNotExist) || strings.HasSuffix(strings.ToLower(arg), ".csv") {
		return nil, fmt.Errorf("%s: no such file; check the name and the folder", arg)
	}
	return readList(arg)
}

// List reads a list of stages in reading order, such as 1,2,,3.5 with blanks for
// halves that were not graded.
func List(arg string) ([]Grading, error) { return readList(arg) }

func readList(arg string) ([]Grading, error) {
	stages, err := parseList(arg)
	if err != nil {
		return nil, err
	}
	return []Grading{{Stages: stages}}, nil
}

func parseList(arg string) ([]float64, error) {
	var stages []float64
	for i, field := range strings.Split(arg, ",") {
		stage, err := parseStage(field)
		if err != nil {
			return nil, fault.Usagef("--stages: entry %d: %w", i+1, err)
		}
		stages = append(stages, stage)
	}
	return stages, nil
}

// parseStage reads one grade; blank is NotGraded. A comma within a grade is a
// decimal comma: what parts grades has been taken off.
func parseStage(field string) (float64, error) {
	text := strings.Replace(strings.TrimSpace(field), ",", ".", 1)
	if text == "" || text == "-" {
		return NotGraded, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is not a stage; write a number such as 3.5, or leave it blank", field)
	}
	return v, nil
}
