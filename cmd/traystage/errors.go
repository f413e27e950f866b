package main

import (
	"errors"
	"fmt"
	"io"
)

// usageError is a command line that cannot be carried out as written; it ends with exit code 2.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// hinted is an error with a second line that says what to do.
type hinted struct {
	error
	hint string
}

func (e hinted) Unwrap() error { return e.error }

func withHint(err error, hint string) error { return hinted{err, hint} }

// severalErrors are told one by one.
type severalErrors []error

func (e severalErrors) Error() string { return errors.Join(e...).Error() }

func (e severalErrors) Unwrap() []error { return e }

// tell prints an error as the program speaks: its name, what is wrong, and
// what to do where that is a line of its own.
func tell(w io.Writer, err error) {
	if several, ok := err.(severalErrors); ok {
		for _, e := range several {
			tell(w, e)
		}
		return
	}
	fmt.Fprintf(w, "traystage: %v\n", err)
	var h hinted
	if errors.As(err, &h) {
		fmt.Fprintf(w, "hint: %s\n", h.hint)
	}
}
