package main

import (
	"errors"
	"fmt"
	"io"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring/words"
)

// tell prints an error as the program speaks: its name, what is wrong, and what to
// do where that is a line of its own. Several errors are told one by one.
func tell(w io.Writer, err error, in *words.Catalogue) {
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range several.Unwrap() {
			tell(w, e, in)
		}
		return
	}
	var refusal workbench.Refusal
	if errors.As(err, &refusal) {
		tellRefusal(w, refusal, in)
		return
	}
	fmt.Fprintf(w, "traystage: %v\n", err)
	var h fault.Hinted
	if errors.As(err, &h) {
		fmt.Fprintf(w, "%s: %s\n", in.Text("command.hint"), h.Hint)
	}
}

// tellRefusal prints what looks like a slip, and how to insist.
func tellRefusal(w io.Writer, r workbench.Refusal, in *words.Catalogue) {
	for _, n := range r.Notes {
		fmt.Fprintf(w, "traystage: %s: %s", r.About, in.Say(n))
		if advice := in.Advice(n); advice != "" {
			fmt.Fprintf(w, "; %s", advice)
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintf(w, "%s: %s\n", in.Text("command.hint"), in.Text("command.insist"))
}
