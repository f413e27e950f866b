package instrument

import (
	"fmt"
	"strings"
)

// mostFaults is the number of faults that are told at once.
const mostFaults = 10

// Fault is one thing that is wrong in a file of readings.
type Fault struct {
	Row    int    // line where the row begins, from 1; 0 when it is about the file
	Column string // the column's heading; empty when it is about the row
	Text   string // what is wrong, and what to do
}

// String is the fault in one line: `row 4, firmness 1 (lbf): "x" is not a
// number; write it like 17.2`.
func (f Fault) String() string {
	switch {
	case f.Row == 0:
		return f.Text
	case f.Column == "":
		return fmt.Sprintf("row %d: %s", f.Row, f.Text)
	}
	return fmt.Sprintf("row %d, %s: %s", f.Row, f.Column, f.Text)
}

// FileError is why a file of readings was refused.
type FileError struct {
	Faults []Fault // in the order found, 1 to 10
	More   int     // faults that are not listed
}

// Error lists the faults, one a line.
func (e *FileError) Error() string {
	lines := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		lines[i] = f.String()
	}
	if e.More > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", e.More))
	}
	return strings.Join(lines, "\n")
}

// add lists a fault, or counts it when the list is full.
func (e *FileError) add(f Fault) {
	if len(e.Faults) == mostFaults {
		e.More++
		return
	}
	e.Faults = append(e.Faults, f)
}

// orNil is the error, when there is any.
func (e *FileError) orNil() error {
	if len(e.Faults) == 0 {
		return nil
	}
	return e
}

// wrong is an error of one fault that is about the whole file.
func wrong(format string, args ...any) error {
	return &FileError{Faults: []Fault{{Text: fmt.Sprintf(format, args...)}}}
}
