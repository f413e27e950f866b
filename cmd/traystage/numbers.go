package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"traystage/cmd/internal/fault"
)

// unparsed tells what a value is not that is none of its flag's, not in the words of a library.
// Flags of the program's own tell it themselves.
func unparsed(e *pflag.InvalidValueError) error {
	var number *strconv.NumError
	if !errors.As(e, &number) {
		return fmt.Errorf("--%s: %w", e.GetFlag().Name, errors.Unwrap(e))
	}
	is := "is no whole number"
	switch kind := e.GetFlag().Value.Type(); {
	case kind == "bool":
		is = "is neither true nor false"
	case errors.Is(number.Err, strconv.ErrRange):
		is = "is too large a number"
	}
	return fmt.Errorf("--%s %q: %s", e.GetFlag().Name, e.GetValue(), is)
}

// numbers are a flag's numbers of fruit, parted by commas; given again, they are added.
type numbers []int

// numbersVar adds a flag that takes numbers of fruit.
func numbersVar(flags *pflag.FlagSet, p *[]int, name, usage string) {
	flags.Var((*numbers)(p), name, usage)
}

func (n *numbers) String() string {
	var out []string
	for _, i := range *n {
		out = append(out, strconv.Itoa(i))
	}
	return strings.Join(out, ",")
}

func (n *numbers) Type() string { return "numbers" }

func (n *numbers) Set(text string) error {
	for _, field := range strings.Split(text, ",") {
		field = strings.TrimSpace(field)
		i, err := strconv.Atoi(field)
		if err != nil || i < 1 {
			return fault.Usagef("%q is no number of a fruit; write them as in 7,12", field)
		}
		*n = append(*n, i)
	}
	return nil
}
