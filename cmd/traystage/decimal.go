package main

import (
	"strconv"

	"github.com/spf13/pflag"

	"traystage/scoring/instrument"
)

// decimal is a flag's number, with a decimal point or comma.
type decimal float64

// decimalVar adds a flag that takes a number with a decimal point or comma.
func decimalVar(flags *pflag.FlagSet, p *float64, name string, value float64, usage string) {
	*p = value
	flags.Var((*decimal)(p), name, usage)
}

func (d *decimal) String() string { return strconv.FormatFloat(float64(*d), 'g', -1, 64) }

func (d *decimal) Type() string { return "float" }

func (d *decimal) Set(text string) error {
	x, err := instrument.ParseNumber(text)
	if err == nil {
		*d = decimal(x)
	}
	return err
}
