package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"strconv"
	"strings"
)

// notGraded stands for a half that nobody graded.
var notGraded = math.NaN()

// grading is what one grader said of the halves of one photo, in reading order.
type grading struct {
	by     string // initials; empty where the sheet gives none
	stages []float64
}

// readStages reads what --stages was given: a list in reading order such as
// 1,2,,3.5 with blanks for halves that were not graded, or the name of a CSV file,
// which may hold the stages of several graders.
func readStages(arg string) ([]grading, error) {
	// What can only be a list is not looked for as a file: it may be longer than names can be.
	if strings.Trim(arg, "0123456789.,- ") == "" {
		return readStagesList(arg)
	}
	if _, err := os.Stat(arg); err == nil {
		b, err := readFile(arg)
		if err != nil {
			return nil, err
		}
		gradings, err := parseStagesFile(b)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", arg, err)
		}
		return gradings, nil
	} else if !errors.Is(err, fs.ErrNotExist) || strings.HasSuffix(strings.ToLower(arg), ".csv") {
		return nil, fmt.Errorf("%s: no such file; check the name and the folder", arg)
	}
	return readStagesList(arg)
}

func readStagesList(arg string) ([]grading, error) {
	stages, err := parseStagesList(arg)
	if err != nil {
		return nil, err
	}
	return []grading{{stages: stages}}, nil
}

func parseStagesList(arg string) ([]float64, error) {
	var stages []float64
	for i, field := range strings.Split(arg, ",") {
		stage, err := parseStage(field)
		if err != nil {
			return nil, usageError{fmt.Errorf("--stages: entry %d: %w", i+1, err)}
		}
		stages = append(stages, stage)
	}
	return stages, nil
}

// parseStage reads one grade; blank is notGraded. A comma within a grade is a
// decimal comma: what parts grades has been taken off.
func parseStage(field string) (float64, error) {
	text := strings.Replace(strings.TrimSpace(field), ",", ".", 1)
	if text == "" || text == "-" {
		return notGraded, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is not a stage; write a number such as 3.5, or leave it blank", field)
	}
	return v, nil
}
