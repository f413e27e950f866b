package main

import (
	"errors"
	"fmt"
	"io"

	"traystage/cmd/internal/fault"
)

// tell prints an error as the program speaks: its name, what is wrong, and what to
// do where that is a line of its own. Several errors are told one by one.
func tell(w io.Writer, err error) {
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range several.Unwrap() {
			tell(w, e)
		}
		return
	}
	fmt.Fprintf(w, "traystage: %v\n", err)
	var h fault.Hinted
	if errors.As(err, &h) {
		fmt.Fprintf(w, "hint: %s\n", h.Hint)
	}
}
