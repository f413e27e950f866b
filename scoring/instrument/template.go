package instrument

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
)

// WriteTemplate writes an empty sheet for a number of fruit, 1 to 9999, that
// ReadSheets takes when it is filled in: headings with the unit of firmness and the
// scale of ground colour of the options, and no temperature where the
// refractometer corrects for it.
func WriteTemplate(w io.Writer, fruit int, opt Options) error {
	if fruit < 1 || fruit > mostFruit {
		return fmt.Errorf("a sheet for %d fruit cannot be made; ask for 1 to %d", fruit, mostFruit)
	}
	if !opt.Unit.Valid() {
		return fmt.Errorf("%q is not a unit of force; give lbf, kgf or N", opt.Unit)
	}
	head := []string{"fruit", fmt.Sprintf("firmness 1 (%s)", opt.Unit), fmt.Sprintf("firmness 2 (%s)", opt.Unit), "brix"}
	if !opt.Compensated {
		head = append(head, "temperature (C)")
	}
	ground := "ground colour"
	if opt.Scale != "" {
		ground += " (" + opt.Scale + ")"
	}
	head = append(head, "red %", ground, "note")
	out := csv.NewWriter(w)
	out.UseCRLF = true // as spreadsheets write
	_ = out.Write(head)
	for n := 1; n <= fruit; n++ {
		row := make([]string, len(head))
		row[0] = strconv.Itoa(n)
		_ = out.Write(row) // the writer keeps its first error
	}
	out.Flush()
	return out.Error()
}
