package main

import (
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"traystage/cmd/internal/fault"
)

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
