package main

import (
	"errors"
	"fmt"
	"io"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
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
	var refusal workbench.Refusal
	if errors.As(err, &refusal) {
		tellRefusal(w, refusal)
		return
	}
	fmt.Fprintf(w, "traystage: %v\n", err)
	var h fault.Hinted
	if errors.As(err, &h) {
		fmt.Fprintf(w, "hint: %s\n", h.Hint)
	}
}

// tellRefusal prints what looks like a slip, and how to insist.
func tellRefusal(w io.Writer, r workbench.Refusal) {
	c := language()
	for _, n := range r.Notes {
		fmt.Fprintf(w, "traystage: %s: %s", r.About, c.Say(n))
		if advice := c.Advice(n); advice != "" {
			fmt.Fprintf(w, "; %s", advice)
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintln(w, "hint: nothing was written; --anyway WHY does it all the same, and keeps why")
}
